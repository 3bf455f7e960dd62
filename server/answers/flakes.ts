/** The look of flakes, as far as instruments of one model saw it on both. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import type { AppearanceLine, Measured } from '../book/entries/measured.ts';
import { measuredIn } from '../book/known.ts';
import { compareFlakes } from '../colour/comparable.ts';
import { rounded } from './number.ts';

export interface Flakes {
  readonly compared: boolean;
  /** Why they were not compared, or the differences in words. */
  readonly text: string;
  /** Sample less standard, in the units of the instrument. */
  readonly sparkle: readonly { readonly geometry: string; readonly difference: number }[];
  readonly graininess: number | null;
}

export function flakesOf(book: Book, standard: EntryCell, sample: EntryCell): Flakes {
  const [a, b] = [measuredIn(book, standard), measuredIn(book, sample)];
  const angles = new Set(a.sparkle.flatMap((one) => one.geometry ?? []));
  const read = (measured: Measured, geometry: string | undefined) => ({
    instrumentModel: measured.instrument,
    sparkle: geometry === undefined ? undefined : meanOf(measured, measured.sparkle, geometry),
    graininess: meanOf(measured, measured.graininess, undefined),
  });
  const whole = compareFlakes(read(a, undefined), read(b, undefined));
  const graininess = whole.compared && whole.graininess !== undefined ? rounded(whole.graininess) : null;
  const found = [...angles].map((geometry) => ({ geometry, ...compareFlakes(read(a, geometry), read(b, geometry)) }));
  const sparkle = found.flatMap((one) =>
    one.compared && one.sparkle !== undefined ? [{ geometry: one.geometry, difference: rounded(one.sparkle) }] : [],
  );
  if (graininess === null && sparkle.length === 0)
    return { compared: false, text: reasonOf([...found, whole]), sparkle, graininess };
  return { compared: true, text: worded(sparkle, graininess), sparkle, graininess };
}

/** Unlike instruments are a better reason than one angle that only one of them has. */
function reasonOf(found: readonly { readonly compared: boolean; readonly text?: string }[]): string {
  const texts = found.flatMap((one) => (one.compared ? [] : (one.text ?? [])));
  return texts.find((text) => !text.includes('not measured')) ?? texts[0] ?? 'flake appearance not compared';
}

/** The mean of the takes that count. */
function meanOf(
  { leftOut }: Measured,
  lines: readonly AppearanceLine[],
  geometry: string | undefined,
): number | undefined {
  const counting = lines.filter(
    (line) =>
      line.geometry === geometry &&
      !leftOut.some((out) => out.take === line.take && (out.geometry === undefined || out.geometry === geometry)),
  );
  if (counting.length === 0) return undefined;
  return counting.reduce((total, { value }) => total + value, 0) / counting.length;
}

function worded(sparkle: Flakes['sparkle'], graininess: number | null): string {
  const told = sparkle.map(
    ({ geometry, difference }) => `sparkle ${more(difference, 'stronger', 'weaker')} at ${geometry}`,
  );
  if (graininess !== null) told.push(`grain ${more(graininess, 'coarser', 'finer')}`);
  return `flakes: ${told.join('; ')}`;
}

const more = (by: number, above: string, below: string): string =>
  by === 0 ? 'the same' : `${Math.abs(by).toFixed(1)} ${by > 0 ? above : below}`;
