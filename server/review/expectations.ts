/** Which stated facts of a formula hold in one version and not in the other. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { standingOf } from '../book/checks/expectation.ts';
import { formulaIn } from '../book/known.ts';
import { hasFits } from './fits.ts';
import { lineMeaning } from './meaning.ts';
import type { HidingOf } from './state.ts';

export type Standing = 'holds' | 'fails' | 'open';

export interface ExpectationState {
  /** As it is written, blanks aside. */
  readonly text: string;
  readonly meaning: string;
  readonly is: Standing;
  /** The figure, or why there is none. */
  readonly told: string;
  /** Offset of its line in the entry. */
  readonly from: number;
}

/** A review learns no toners: of what is predicted it tells what is recorded beside the book. */
const PREDICTED: ReadonlySet<string> = new Set(['predicted', 'coats', 'grey']);
const UNRECORDED = { is: 'open', told: 'nothing is predicted, since no optics.lock is recorded' } as const;

/** Hiding is worked out unless `hidingOf` says what is known of it. */
export function expectationsOf(book: Book, cell: EntryCell, hidingOf?: HidingOf): ExpectationState[] {
  return formulaIn(book, cell).expectations.map((one) => {
    const { line } = one;
    return {
      text: cell.slice.text
        .slice(line.wordSpan.to, line.comment?.from ?? line.to)
        .trim()
        .replace(/\s+/g, ' '),
      meaning: lineMeaning(cell, line),
      ...(PREDICTED.has(one.metric) && !hasFits(book) ? UNRECORDED : standingOf(book, cell, one, hidingOf)),
      from: line.wordSpan.from,
    };
  });
}

export interface ExpectationChange {
  readonly text: string;
  /** Null where the version does not state it. */
  readonly before: Standing | null;
  readonly after: Standing | null;
  readonly told: string;
  readonly from: number;
}

/** Those that are stated by one version only, or stand otherwise. */
export function expectationChanges(
  before: readonly ExpectationState[],
  after: readonly ExpectationState[],
): ExpectationChange[] {
  const old = new Map(before.map((one) => [one.meaning, one]));
  const now = new Map(after.map((one) => [one.meaning, one]));
  return [...new Set([...old.keys(), ...now.keys()])].flatMap((meaning) => {
    const [a, b] = [old.get(meaning), now.get(meaning)];
    if (a && b && a.is === b.is) return [];
    const shown = b ?? a!;
    return [{ text: shown.text, before: a?.is ?? null, after: b?.is ?? null, told: shown.told, from: b?.from ?? 0 }];
  });
}
