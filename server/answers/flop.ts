/** The flop index of what was read, or why there is none. */
import { type Colours, labOf } from '../book/colours.ts';
import { flopIndexOf } from '../colour/repeat.ts';
import { type Viewing, viewingText } from '../colour/viewing.ts';
import { rounded } from './number.ts';

export interface Flop {
  readonly flopIndex: number | null;
  /** Why there is none; null where there is one. */
  readonly flopReason: string | null;
}

const NEEDED = ['45as15', '45as45', '45as110'];

export function flopOf(colours: Colours, viewing: Viewing): Flop {
  const labs = new Map(
    colours.angles.flatMap((angle) => {
      const lab = labOf(angle, viewing, colours.bandpass);
      return lab ? [[angle.geometry, lab] as const] : [];
    }),
  );
  const missing = NEEDED.filter((geometry) => !labs.has(geometry));
  if (missing.length > 0)
    return none(
      `it needs ${NEEDED.join(', ')} under ${viewingText(viewing)}${missing.length < NEEDED.length ? `; ${missing.join(', ')} missing` : ''}`,
    );
  const index = flopIndexOf(labs);
  if (index === undefined) return none('it has no value where the flop is lighter than the face');
  return { flopIndex: rounded(index), flopReason: null };
}

const none = (flopReason: string): Flop => ({ flopIndex: null, flopReason });
