/** Whether two readings or cards of the book may be set against each other. */
import {
  type Comparability,
  type ComparableLimits,
  comparability,
  type ReadingFacts,
  type Reason,
  USUAL_LIMITS,
} from '../colour/comparable.ts';
import type { Book } from './book.ts';
import type { EntryCell } from './cell.ts';
import { coloursIn } from './colours.ts';
import { importedInto, specularOf } from './imported.ts';
import { measuredIn, moment } from './known.ts';

/** The book knows instruments, not their models: two instruments are taken for two models. */
export function readingFacts(book: Book, cell: EntryCell): ReadingFacts {
  const measured = importedInto(book, cell, measuredIn(book, cell));
  return {
    geometries: coloursIn(book, cell).angles.map((angle) => angle.geometry),
    surface: measured.surface,
    instrumentModel: measured.instrument,
    taken: moment(book, measured.taken)?.at,
  };
}

export function comparableIn(
  book: Book,
  standard: EntryCell,
  sample: EntryCell,
  limits: ComparableLimits = USUAL_LIMITS,
): Comparability {
  const [a, b] = [readingFacts(book, standard), readingFacts(book, sample)];
  const found = comparability(a, b, limits);
  const reasons = found.reasons.map((reason): Reason => {
    if (reason.kind !== 'instrument') return reason;
    return { ...reason, text: `read with two instruments, ${a.instrumentModel} and ${b.instrumentModel}` };
  });
  const gloss = glossReason(book, standard, sample);
  return { ...found, comparable: found.comparable && !gloss, reasons: gloss ? [gloss, ...reasons] : reasons };
}

/** A sphere with and without the gloss is two geometries (ISO 18314-1), though both are written d/8. */
function glossReason(book: Book, standard: EntryCell, sample: EntryCell): Reason | undefined {
  const [a, b] = [standard, sample].map((cell) => specularOf(book, cell, measuredIn(book, cell)));
  if (!a || !b || a === b) return undefined;
  return { kind: 'geometry', text: `one was read with the gloss ${a}, the other with the gloss ${b}` };
}
