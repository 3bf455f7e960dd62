/** What must be known before the first pour: mistakes in the formula or its parents, and pours that the scale cannot weigh. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { findingsIn } from '../book/findings.ts';
import { shopOf } from '../book/known.ts';
import { recipeIn } from '../book/recipe.ts';
import { decimal, placesOf, type Rational, rational } from '../exact/rational.ts';
import { smallestPour, type WeighingMode } from '../paint/scales.ts';
import { placeOf } from './derivation.ts';
import type { PourRow } from './mix.ts';
import { plain } from './plain.ts';

export interface MixWarning {
  /** broken: an error in the text, the pours may be wrong; small: a pour below what the scale can weigh. */
  readonly kind: 'broken' | 'small';
  readonly code: string;
  readonly message: string;
  /** file:line of a mistake. */
  readonly place: string | null;
}

export function mixWarnings(
  book: Book,
  cell: EntryCell,
  pours: readonly PourRow[],
  step: Rational,
  mode: WeighingMode,
): MixWarning[] {
  return [...mistakes(book, cell), ...smallPours(book, pours, step, mode)];
}

function mistakes(book: Book, cell: EntryCell): MixWarning[] {
  const lineage = recipeIn(book, cell).lineage.flatMap((id) => book.find('formula', id) ?? []);
  return lineage.flatMap((one) =>
    findingsIn(book, one)
      .filter((finding) => finding.severity === 'error')
      .map((finding) => {
        const line =
          one.entry.lines.find((each) => each.from <= finding.from && finding.from <= each.to) ?? one.entry.head;
        const message = `${finding.problem} ${finding.remedy}`;
        return { kind: 'broken', code: finding.code, message, place: line ? placeOf(one, line) : null };
      }),
  );
}

function smallPours(book: Book, pours: readonly PourRow[], step: Rational, mode: WeighingMode): MixWarning[] {
  const least = smallestPour(step, shopOf(book).weighingError, mode);
  const share = plain(shopOf(book).weighingError.mul(100));
  return pours
    .filter((pour) => rational(pour.grams).lt(least))
    .map((pour) => ({
      kind: 'small',
      code: 'pour-small',
      message: `${pour.grams} g of ${pour.toner} is too little for this scale: below ${decimal(least, placesOf(step))} g a pour may be off by more than the accepted ${share} %. Make more, use a finer scale, or pour a let-down of ${pour.toner}.`,
      place: null,
    }));
}
