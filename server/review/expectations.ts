/** Which stated facts of a formula hold in one version and not in the other. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { type Stands, standingOf } from '../book/checks/expectation.ts';
import type { Expectation } from '../book/entries/formula.ts';
import { formulaIn, shopOf } from '../book/known.ts';
import { viewingText } from '../colour/viewing.ts';
import { hasFits } from './fits.ts';
import { lineMeaning } from './meaning.ts';
import type { HidingOf } from './state.ts';

export type Standing = Stands['is'];

export interface ExpectationState extends Stands {
  readonly expectation: Expectation;
  /** As it is written, blanks aside. */
  readonly text: string;
  readonly meaning: string;
  /** Offset of its line in the entry. */
  readonly from: number;
}

/** A review learns no toners: of what is predicted it tells what is recorded beside the book. */
const PREDICTED: ReadonlySet<string> = new Set(['predicted', 'coats', 'grey']);
const UNRECORDED = {
  is: 'open',
  told: 'nothing is predicted, since no optics.lock is recorded',
  lacks: 'prediction',
} as const;

/** How a stated fact stands in a version, be it stated there or not. */
function standsIn({ book, hidingOf, notUnder }: Stated, cell: EntryCell, one: Expectation): Stands {
  if (PREDICTED.has(one.metric) && !hasFits(book)) return UNRECORDED;
  const colour = one.metric === 'sprayout' || one.metric === 'predicted';
  const main = one.viewing === undefined || one.viewing === viewingText(shopOf(book).viewings[0]!);
  if (notUnder && colour && main) return { is: 'open', told: notUnder };
  return standingOf(book, cell, one, hidingOf);
}

export function expectationsOf(stated: Stated, cell: EntryCell): ExpectationState[] {
  return formulaIn(stated.book, cell).expectations.map((expectation) => {
    const { line } = expectation;
    return {
      expectation,
      text: cell.slice.text
        .slice(line.wordSpan.to, line.comment?.from ?? line.to)
        .trim()
        .replace(/\s+/g, ' '),
      meaning: lineMeaning(cell, line),
      ...standsIn(stated, cell, expectation),
      from: line.wordSpan.from,
    };
  });
}

export interface ExpectationChange {
  /** As the new version states it, else the old one. */
  readonly text: string;
  /** As the old version states it, where the new one says another figure. */
  readonly was: string | null;
  /** Null where the version does not state it. */
  readonly before: Standing | null;
  readonly after: Standing | null;
  readonly told: string;
  /** Of an open one: what comes with time; null where it can be held against nothing. */
  readonly lacks: Stands['lacks'] | null;
  /** How what the old version states stands in the new one, where that does not state it. */
  readonly byEarlier: { readonly is: Standing; readonly told: string } | null;
  readonly from: number;
}

export interface Stated {
  readonly book: Book;
  /** How soon a paint hides, where that is not worked out at once. */
  readonly hidingOf?: HidingOf | undefined;
  /** What keeps a paint from being held against its standard under the main light of the book. */
  readonly notUnder?: string | null;
}

export interface StatedIn extends Stated {
  readonly cell: EntryCell | undefined;
}

/** Those that are stated by one version only, or with another figure, or stand otherwise. */
export function expectationChanges(before: StatedIn, after: StatedIn): ExpectationChange[] {
  const states = (stated: StatedIn) => (stated.cell ? expectationsOf(stated, stated.cell) : []);
  const [old, now] = [states(before), states(after)];
  const byMeaning = new Map(now.map((one) => [one.meaning, one]));
  const kept = new Map(old.flatMap((one) => [[byMeaning.get(one.meaning), one] as const]));
  const dropped = old.filter(({ meaning }) => !byMeaning.has(meaning));
  const changes: ExpectationChange[] = [];
  for (const one of byMeaning.values()) {
    const same = kept.get(one);
    const was = same ?? takenBy(one, dropped);
    if (same && same.is === one.is) continue;
    changes.push(change(was, one, was && !same ? standsNow(after, was) : null));
  }
  return [...changes, ...dropped.map((one) => change(one, undefined, standsNow(after, one)))];
}

/** Takes the one out that says another figure of the same thing. */
function takenBy(one: ExpectationState, dropped: ExpectationState[]): ExpectationState | undefined {
  const at = dropped.findIndex(({ expectation }) => subject(expectation) === subject(one.expectation));
  return at < 0 ? undefined : dropped.splice(at, 1)[0];
}

/** What a stated fact is of: at most, at least, or just a figure of something. */
const subject = ({ metric, toner, geometry, over, viewing, operator, limit }: Expectation): string =>
  [metric, toner, geometry, over, viewing, operator[0], limit?.unit].join(' ');

function standsNow(stated: StatedIn, { expectation }: ExpectationState): ExpectationChange['byEarlier'] {
  if (!stated.cell) return null;
  const { is, told } = standsIn(stated, stated.cell, expectation);
  return { is, told };
}

function change(
  old: ExpectationState | undefined,
  now: ExpectationState | undefined,
  byEarlier: ExpectationChange['byEarlier'],
): ExpectationChange {
  const shown = now ?? old!;
  return {
    text: shown.text,
    was: old && now && old.meaning !== now.meaning ? old.text : null,
    before: old?.is ?? null,
    after: now?.is ?? null,
    told: shown.told,
    lacks: now?.lacks ?? null,
    byEarlier,
    from: now?.from ?? 0,
  };
}
