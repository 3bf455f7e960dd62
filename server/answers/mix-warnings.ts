/** What must be known before the first pour: mistakes in the formula or its parents, and pours that the scale cannot weigh. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { listed } from '../book/checks/check.ts';
import { findingsIn } from '../book/findings.ts';
import { shopOf } from '../book/known.ts';
import { recipeIn } from '../book/recipe.ts';
import { leastPour, waysOut, waysSentence } from '../book/small-pours.ts';
import { decimal, placesOf, rational, sum } from '../exact/rational.ts';
import type { WeighingMode } from '../paint/scales.ts';
import { placeOf } from './derivation.ts';
import type { MixAnswer } from './mix.ts';
import { plain } from './plain.ts';

export interface MixWarning {
  /** broken: an error in the text, the pours may be wrong; small: a pour below what the scale can weigh. */
  readonly kind: 'broken' | 'small';
  readonly code: string;
  readonly message: string;
  /** file:line of a mistake. */
  readonly place: string | null;
}

export function mixWarnings(book: Book, cell: EntryCell, answer: MixAnswer, mode: WeighingMode): MixWarning[] {
  return [...mistakes(book, cell), ...tooSmall(book, cell, answer, mode)];
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

/** Each coat is a cup of its own, so its ways out are told for that cup. */
function tooSmall(book: Book, cell: EntryCell, answer: MixAnswer, mode: WeighingMode): MixWarning[] {
  const step = rational(answer.scale.split(' ')[0]!);
  const recipe = recipeIn(book, cell);
  const least = leastPour(book, step, mode);
  const share = plain(shopOf(book).weighingError.mul(100));
  return answer.coats.flatMap(({ coat: name, weight }) => {
    const coat = recipe.coats.find((one) => one.name === name);
    const weighable = new Set(coat?.toners.filter((toner) => toner.parts.gt(0)).map((toner) => toner.code));
    const few = answer.pours.filter(
      (pour) => pour.coat === name && weighable.has(pour.toner) && rational(pour.grams).lt(least),
    );
    if (!coat || few.length === 0) return [];
    const total = sum(coat.toners.map((toner) => toner.parts));
    const weighed = { recipe: { ...recipe, coats: [coat], total }, grams: rational(weight), step, mode };
    const small = coat.toners.filter(({ code }) => few.some((pour) => pour.toner === code));
    const of = answer.coats.length > 1 ? ` in the ${name} coat` : '';
    const pours = listed(few.map(({ grams, toner }) => `${grams} g of ${toner}`));
    const ways = waysSentence(waysOut(book, small, weighed), step, answer.coats.length > 1 ? ' of that coat' : '');
    return [
      {
        kind: 'small',
        code: 'pour-small',
        message: `${pours}${of} ${few.length > 1 ? 'are' : 'is'} too little for this scale: below ${decimal(least, placesOf(step))} g a pour may be off by more than the accepted ${share} %. ${ways}`,
        place: null,
      },
    ];
  });
}
