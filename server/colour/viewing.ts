import { ILLUMINANTS, type Illuminant, isIlluminant } from './illuminants.ts';
import { isObserver, type Observer } from './observers.ts';

/** Under what light and by which observer a colour is computed, written `D65/10`. */
export interface Viewing {
  readonly illuminant: Illuminant;
  readonly observer: Observer;
}

export function viewing(illuminant: Illuminant, observer: Observer): Viewing {
  return { illuminant, observer };
}

/**
 * Reads `D65/10`, `A/2`, `LED-B3/10`. FL2, FL7 and FL11, the CIE's own names, are taken for F2, F7 and F11.
 * @throws RangeError that says what may be written instead.
 */
export function parseViewing(text: string): Viewing {
  const slash = text.lastIndexOf('/');
  if (slash < 0) throw new RangeError(`'${text}' lacks the observer: write ${text || 'D65'}/10 or ${text || 'D65'}/2.`);
  return { illuminant: parseIlluminant(text.slice(0, slash)), observer: parseObserver(text.slice(slash + 1)) };
}

/** @throws RangeError that lists the illuminants. */
export function parseIlluminant(text: string): Illuminant {
  const name = text.toUpperCase().replace(/^FL(?=\d)/, 'F');
  if (isIlluminant(name)) return name;
  throw new RangeError(`'${text}' is not an illuminant known here: write one of ${ILLUMINANTS.join(', ')}.`);
}

/** @throws RangeError that says which observers there are. */
export function parseObserver(text: string): Observer {
  if (isObserver(text)) return text;
  throw new RangeError(`'${text}' is not an observer: write 10 (CIE 1964, 10 degrees) or 2 (CIE 1931, 2 degrees).`);
}

/** The one way it is written: `D65/10`. */
export function viewingText({ illuminant, observer }: Viewing): string {
  return `${illuminant}/${observer}`;
}
