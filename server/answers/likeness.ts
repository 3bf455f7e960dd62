/** Whether two readings were taken alike: what makes their difference mean nothing, and what to keep in mind beside it. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { comparableIn } from '../book/comparable.ts';
import type { ComparableLimits, ReasonKind } from '../colour/comparable.ts';
import { USUAL_LIMITS } from '../colour/comparable.ts';

export interface Likeness {
  /** Without these being alike a difference shows the readings, not the paint. */
  readonly grave: readonly string[];
  /** Worth knowing beside the difference. */
  readonly remarks: readonly string[];
  /** What neither could be held against the other, because a reading does not say it. */
  readonly unstated: readonly ReasonKind[];
}

const GRAVE: readonly ReasonKind[] = ['geometry', 'surface', 'polish', 'instrument'];

export function likenessOf(
  book: Book,
  standard: EntryCell,
  sample: EntryCell,
  limits: ComparableLimits = USUAL_LIMITS,
): Likeness {
  const { reasons, unstated, common } = comparableIn(book, standard, sample, limits);
  const told = (wanted: boolean) =>
    reasons.filter(({ kind }) => GRAVE.includes(kind) === wanted && (kind !== 'geometry' || common.length > 0));
  return {
    grave: told(true).map(({ text }) => text),
    remarks: told(false).map(({ text }) => text),
    unstated,
  };
}
