import type { Finding } from '../../../grammar/finding.ts';
import type { Span } from '../../../grammar/tree.ts';
import { type Repeatability, repeatability } from '../../colour/repeat.ts';
import { viewingText } from '../../colour/viewing.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { type Angle, coloursIn, type LabTake, takesOf } from '../colours.ts';
import { measuredIn, shopOf } from '../known.ts';
import { type Check, finding, headOf, listed } from './check.ts';

export const takes: Check = {
  pages: [
    {
      code: 'takes-few',
      title: 'A reading with too few takes',
      text: 'One take says nothing about how well it repeats. The `takes` line of the book says how many there should be at each angle (three, where it says nothing; common practice is three to five, of flake colours five, lifted and put down again in another place). Takes that are left out with `without` do not count. A card whose values carry no take numbers is let stand: instruments give their own mean.',
    },
    {
      code: 'takes-wide',
      title: 'Takes that lie wide apart',
      text: 'A take lies further from the mean of its angle than the book accepts (`takes 3 within 0.5 dE00`, also used when the book does not say). The surface was dirty, curved, warm or not polished alike, or the instrument was not held flat. A difference from such a reading is worth no more than this spread. Clean the panel and take the reading again.',
    },
    {
      code: 'take-out',
      title: 'A take that does not belong to the others',
      text: 'One take lies far from where the others lie together: its distance from their median colour has a modified z-score above 3.5 (Iglewicz and Hoaglin 1993). Look at what happened; if the take was bad, leave it out with `without take 2 "finger on the panel"`. The line stays in the record.',
    },
  ],
  in: ['reading', 'sprayout', 'drawdown'],
  acrossFiles: true,
  *find(book, cell) {
    const angles = coloursIn(book, cell).angles;
    yield* tooFew(book, cell, angles);
    for (const angle of angles) yield* apart(book, cell, angle);
  },
};

function* tooFew(book: Book, cell: EntryCell, angles: readonly Angle[]): Generator<Finding> {
  const { takes: wanted } = shopOf(book);
  const few = angles
    .map((angle) => ({ geometry: angle.geometry, count: countOf(angle) }))
    .filter(({ count }) => count < wanted);
  if (few.length === 0 || isMeanOfInstrument(cell, few)) return;
  const counts = [...new Set(few.map(({ count }) => count))].sort((a, b) => a - b);
  const told = counts.map((count) => {
    const where = few.filter((one) => one.count === count).map((one) => one.geometry);
    const all = where.length === angles.length && angles.length > 1;
    return `${all ? 'every angle' : listed(where)} ${where.length > 1 && !all ? 'have' : 'has'} ${count === 1 ? 'one take' : `${count} takes`}`;
  });
  yield finding(
    'takes-few',
    'warning',
    headOf(cell.entry),
    `${capital(told.join('; '))}; there should be ${wanted}.`,
    `Take it again at other places of the panel, and write the takes as 'take 1', 'take 2' and so on.`,
  );
}

/** Of a card, values that nobody has numbered are taken for the mean that the instrument gave. */
function isMeanOfInstrument({ entry }: EntryCell, few: readonly { readonly count: number }[]): boolean {
  if (entry.kind === 'reading' || few.some(({ count }) => count > 1)) return false;
  return !entry.lines.some((line) => line.word !== 'without' && line.values.some((value) => value.place === 'take'));
}

/** A geometry, such as 45/0 or d/8, keeps its letters. */
const capital = (text: string): string => (/^(\d|d\/)/.test(text) ? text : text[0]!.toUpperCase() + text.slice(1));

/** Takes under the viewing that has most, or spectra. */
const countOf = (angle: Angle): number =>
  Math.max(angle.spectra.length, 0, ...[...angle.labs.values()].map((labs) => labs.length));

function* apart(book: Book, cell: EntryCell, angle: Angle): Generator<Finding> {
  const { bandpass } = coloursIn(book, cell);
  const { viewings, spread } = shopOf(book);
  const viewing = viewings[0]!;
  const taken = takesOf(angle, viewing, bandpass);
  if (taken.length < 2) return;
  const result = repeatability(taken.map((take) => take.lab));
  const { geometry } = angle;
  if (result.outlier !== undefined) yield out(book, cell, geometry, taken, result.outlier, result, spread);
  else if (result.largest.dE00 > spread) {
    yield finding(
      'takes-wide',
      'warning',
      placeOf(book, cell, geometry, taken[0]!.take),
      `At ${geometry} the takes lie up to ${told(result.largest.dE00)} dE00 from their mean (${viewingText(viewing)}); ${told(spread)} is accepted.`,
      'Clean the panel, hold the instrument flat, and take the reading again.',
    );
  }
}

function out(
  book: Book,
  cell: EntryCell,
  geometry: string,
  taken: readonly LabTake[],
  index: number,
  result: Repeatability,
  spread: number,
): Finding {
  const { take } = taken[index]!;
  const others = repeatability(taken.filter((_, other) => other !== index).map((one) => one.lab));
  const at = placeOf(book, cell, geometry, take);
  const line = cell.entry.lines.find((one) => one.from <= at.from && at.to <= one.to);
  const newline = cell.slice.text.includes('\r\n') ? '\r\n' : '\n';
  return finding(
    'take-out',
    result.largest.dE00 > spread ? 'warning' : 'info',
    at,
    `Take ${take} at ${geometry} lies apart; without it the takes are within ${told(others.largest.dE00)} dE00 of their mean, with it within ${told(result.largest.dE00)}.`,
    `Find out why; if the take was bad, leave it out: without take ${take} at ${geometry} "finger on the panel"`,
    line
      ? {
          fixes: [
            {
              title: `Leave take ${take} out at ${geometry}`,
              edits: [
                {
                  from: line.to,
                  to: line.to,
                  text: `${newline}  without take ${take} at ${geometry} "lies apart from the others"`,
                },
              ],
            },
          ],
        }
      : {},
  );
}

/** Two decimals where one would show nothing. */
const told = (dE: number): string => (dE < 0.1 ? dE.toFixed(2) : dE.toFixed(1));

function placeOf(book: Book, cell: EntryCell, geometry: string, take: number): Span {
  const { labs, spectra, file } = measuredIn(book, cell);
  const line = [...labs, ...spectra].find((one) => one.geometry === geometry && one.take === take)?.line ?? file?.line;
  if (!line) return headOf(cell.entry);
  const number = line.values.find((value) => value.place === 'take');
  return number ?? line.values.find((value) => value.place === 'geometry') ?? line.wordSpan;
}
