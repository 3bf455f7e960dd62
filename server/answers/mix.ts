/** What to pour for a weight: the undercoat grey first, then the colour, coat by coat in the written order. */

import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { shopOf, undercoatNamed } from '../book/known.ts';
import { type Recipe, type RecipeCoat, recipeIn } from '../book/recipe.ts';
import type { Quantity } from '../exact/quantity.ts';
import { toBase } from '../exact/quantity.ts';
import { decimal, placesOf, type Rational, rational, roundToStep } from '../exact/rational.ts';
import { pourSheet } from '../paint/weights.ts';
import { rounded } from './number.ts';
import { Unanswerable } from './subject.ts';
import { greyFigures, greyRecipe } from './undercoat.ts';

export interface PourRow {
  readonly coat: string;
  readonly toner: string;
  readonly grams: string;
  readonly cumulative: string;
}

export interface UndercoatSheet {
  readonly undercoat: string;
  readonly grey: string;
  readonly munsellValue: number;
  readonly lightness: number;
  /** measured: a listed step; interpolated: between measured steps; assumed: only the two ends were measured. */
  readonly basis: 'measured' | 'interpolated' | 'assumed' | undefined;
  readonly weight: string | undefined;
  readonly pours: readonly Omit<PourRow, 'coat'>[];
  /** Why there are no pours. */
  readonly problem: string | undefined;
  readonly coats: string | undefined;
  readonly recoat: { readonly after: string; readonly within: string | undefined } | undefined;
}

export interface MixAnswer {
  readonly formula: string;
  readonly name: string;
  /** Asked for, g. */
  readonly weight: string;
  /** The nearest weight that the scale can show, g. */
  readonly weighable: string;
  readonly differs: boolean;
  readonly scale: string;
  readonly undercoat: UndercoatSheet | null;
  readonly pours: readonly PourRow[];
  readonly total: string;
  readonly coats: readonly { readonly coat: string; readonly weight: string; readonly sprayed: number | null }[];
}

/** Weight in grams that was asked for, or the formula's own target. */
export function weightAsked(recipe: Recipe, asked: Quantity | undefined): Rational {
  if (asked) {
    if (asked.unit.dimension !== 'mass')
      throw new Unanswerable(`A weight is needed, such as 80 g; ${asked.unit.symbol} is a ${asked.unit.dimension}.`);
    const grams = toBase(asked);
    if (grams.compare(0) <= 0) throw new Unanswerable('The weight must be above zero.');
    return grams;
  }
  const target = recipe.target?.is.quantity;
  if (target?.unit.dimension === 'mass') return toBase(target);
  throw new Unanswerable(`${recipe.id} has no target weight. Say one with --weight, for example --weight 80g.`);
}

export function mix(book: Book, cell: EntryCell, asked?: Quantity): MixAnswer {
  const recipe = recipeIn(book, cell);
  const weight = weightAsked(recipe, asked);
  if (recipe.total.compare(0) <= 0) throw new Unanswerable(`${recipe.id} has no toner lines to pour.`);
  const { step } = shopOf(book);
  const places = placesOf(step);
  const shown = (grams: Rational) => decimal(grams, places);
  const coats = recipe.coats.map((coat) => ({ coat, grams: coatWeight(recipe, coat, weight, step) }));
  const pours = coats.flatMap(({ coat, grams }) =>
    pourSheet(coat.toners, grams, step).pours.map((pour) => ({
      coat: coat.name,
      toner: pour.code,
      grams: pour.grams,
      cumulative: pour.cumulative,
    })),
  );
  const weighable = coats.reduce((total, { grams }) => total.add(roundToStep(grams, step)), rational(0));
  return {
    formula: recipe.id,
    name: recipe.name,
    weight: plain(weight),
    weighable: shown(weighable),
    differs: !weighable.equals(weight),
    scale: `${shown(step)} g`,
    undercoat: undercoatSheet(book, recipe, weight),
    pours,
    total: shown(weighable),
    coats: coats.map(({ coat, grams }) => ({
      coat: coat.name,
      weight: shown(roundToStep(grams, step)),
      sprayed: coat.coats ?? null,
    })),
  };
}

/** Each coat of a formula is a cup of its own; the weight asked for is divided by the coats' parts. */
const coatWeight = (recipe: Recipe, coat: RecipeCoat, weight: Rational, step: Rational): Rational => {
  if (recipe.coats.length === 1) return weight;
  const parts = coat.toners.reduce((total, toner) => total.add(toner.parts), rational(0));
  return roundToStep(weight.mul(parts).div(recipe.total), step);
};

export function undercoatSheet(book: Book, recipe: Recipe, weight: Rational): UndercoatSheet | null {
  const named = recipe.undercoat?.is;
  if (!named) return null;
  const undercoat = undercoatNamed(book, named.id);
  if (!named.grey) return null;
  const { value, lightness } = greyFigures(named.grey);
  const mixture = greyRecipe(book, named.id, named.grey);
  const { step } = shopOf(book);
  const solved = typeof mixture === 'string' ? undefined : mixture;
  const sheet = solved && pourSheet(solved.toners, weight, step);
  return {
    undercoat: named.id,
    grey: named.grey.text,
    munsellValue: rounded(value, 2),
    lightness: rounded(lightness, 2),
    basis: solved?.basis,
    weight: sheet && decimal(sheet.total, placesOf(step)),
    pours: (sheet?.pours ?? []).map((pour) => ({ toner: pour.code, grams: pour.grams, cumulative: pour.cumulative })),
    problem: typeof mixture === 'string' ? mixture : undefined,
    coats: undercoat?.coats,
    recoat: undercoat?.recoat,
  };
}

/** A number without trailing zeros, as a person writes it. */
export function plain(value: Rational): string {
  const text = decimal(value, 6);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}
