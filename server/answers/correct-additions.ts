/** What to add to a cup, as it can be weighed. */
import type { Book } from '../book/book.ts';
import type { Part } from '../book/cards.ts';
import { partsOfLines, pouredWeight, sharesOf } from '../book/optics/amounts.ts';
import type { RecipeCoat } from '../book/recipe.ts';
import { placesOf, type Rational, rational, sum } from '../exact/rational.ts';
import type { CupCorrection } from './correct.ts';
import { rounded } from './number.ts';

export interface Addition {
  readonly toner: string;
  readonly grams: number;
}

export interface Weighed {
  readonly additions: readonly Addition[];
  /** Predicted dE00 of the cup with what is really weighed. */
  readonly after: number;
}

/**
 * Additions of what is in the paint as pours of the formula's toners, to the step of the scale. Rounding down may miss what the exact
 * amount just reaches, so that they are rounded up where that helps.
 */
export function weighedAdditions(
  book: Book,
  coat: RecipeCoat,
  cup: readonly Part[],
  before: ReadonlyMap<string, number>,
  found: CupCorrection,
  step: Rational,
): Weighed {
  const exact = exactAdditions(book, coat, cup, before, found.added);
  const ways = [Math.round, Math.ceil].map((round): Weighed => {
    const additions = toStep(exact, step, round);
    return { additions, after: gapWith(book, cup, additions, found) };
  });
  return ways.find(({ after }) => after <= found.tolerance) ?? ways.reduce((a, b) => (b.after < a.after ? b : a));
}

/** Grams of each toner. */
function exactAdditions(
  book: Book,
  coat: RecipeCoat,
  cup: readonly Part[],
  before: ReadonlyMap<string, number>,
  added: ReadonlyMap<string, number>,
): ReadonlyMap<string, number> {
  if (added.size === 0) return new Map();
  const grams = sum(cup.map(({ parts }) => parts)).valueOf();
  const weight = (grams * pouredWeight(book, added)) / pouredWeight(book, before);
  const size = [...added.values()].reduce((all, value) => all + value, 0);
  const shares = new Map([...added].map(([code, amount]) => [code, amount / size]));
  const lines = [...coat.toners, ...cup.filter(({ code }) => !coat.toners.some((one) => one.code === code))];
  return partsOfLines(book, lines, shares, weight);
}

function toStep(exact: ReadonlyMap<string, number>, step: Rational, round: (value: number) => number): Addition[] {
  const smallest = step.valueOf();
  return [...exact].flatMap(([toner, amount]) => {
    // what is no more than the rounding of the search is nothing
    const steps = amount < smallest / 100 ? 0 : round(amount / smallest);
    return steps > 0 ? [{ toner, grams: rounded(steps * smallest, placesOf(step)) }] : [];
  });
}

function gapWith(book: Book, cup: readonly Part[], additions: readonly Addition[], found: CupCorrection): number {
  if (additions.length === 0) return found.before;
  const more = additions.map(({ toner, grams }): Part => ({ code: toner, parts: rational(`${grams}`) }));
  const mixed = sharesOf(book, [...cup, ...more]);
  return typeof mixed === 'string' ? found.after : found.gapOf(mixed.shares);
}
