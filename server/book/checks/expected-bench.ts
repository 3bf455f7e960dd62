/** Figures of the bench that are expected of a formula: parts, pours, what it gives off and what it costs. */
import { type Quantity, toBase } from '../../exact/quantity.ts';
import { decimal, placesOf, type Rational, rational, sum } from '../../exact/rational.ts';
import { type Unit, unit } from '../../exact/units.ts';
import { vocFigureWords } from '../../paint/voc.ts';
import { type Amount, scaleTo } from '../../paint/weights.ts';
import { amountsNeeded } from '../amount.ts';
import type { Book } from '../book.ts';
import { shopOf } from '../known.ts';
import { costsOf, lackingText, liquidsOf } from '../materials.ts';
import { additionsOf } from '../ready.ts';
import type { Recipe } from '../recipe.ts';
import { Unanswerable } from '../unanswerable.ts';
import { everyVoc, mostVoc, sprayedAs, type VocAsSprayed } from '../voc.ts';
import { listed } from './check.ts';

/** A figure for an expectation, with how it is told; or why there is none. */
export type Figure =
  | { readonly value: Rational; readonly told: string }
  | { readonly open: string; readonly lacks?: Lacks }
  | { readonly unit: string };

/** What comes with time, unlike what a figure is held against: a card of the paint as it is, a prediction of it. */
export type Lacks = 'card' | 'prediction';

export function totalFigure({ total }: Recipe, written: Unit | undefined): Figure {
  if (written && written.dimension !== 'parts') return { unit: written.symbol };
  return { value: total, told: `the parts add up to ${decimal(total, Math.min(placesOf(total), 4))}` };
}

const partsOf = (recipe: Recipe, code: string): Rational =>
  sum(
    recipe.coats
      .flatMap((coat) => coat.toners)
      .filter((toner) => toner.code === code)
      .map((toner) => toner.parts),
  );

export function shareFigure(recipe: Recipe, code: string, written: Unit | undefined): Figure {
  if (written?.dimension !== 'share') return { unit: written?.symbol ?? BARE };
  if (recipe.total.compare(0) <= 0) return { open: NO_PARTS };
  const value = partsOf(recipe, code).div(recipe.total);
  return { value, told: `${code} is ${decimal(value.mul(100), 2)} % of the formula` };
}

export function pourFigure(book: Book, recipe: Recipe, code: string, written: Unit | undefined): Figure {
  if (written?.dimension !== 'mass') return { unit: written?.symbol ?? BARE };
  const target = recipe.target?.is.quantity;
  if (target?.unit.dimension !== 'mass') return { open: 'the formula has no target weight' };
  if (recipe.total.compare(0) <= 0) return { open: NO_PARTS };
  const grams = toBase(target);
  const value = partsOf(recipe, code).mul(grams).div(recipe.total);
  const { step } = shopOf(book);
  return { value, told: `${code} is ${decimal(value, placesOf(step) + 1)} g at ${decimal(grams, placesOf(grams))} g` };
}

const BARE = 'a bare number';
const NO_PARTS = 'the formula has no parts';

/**
 * The figure that the limit of the book is for, of the paint ready to spray with whichever of its reducers gives most: what is stated of a
 * formula has to hold in every booth.
 */
export function vocFigure(book: Book, recipe: Recipe, written: Unit | undefined): Figure {
  if (written?.dimension !== 'density') return { unit: written?.symbol ?? BARE };
  if (recipe.total.lte(0)) return { open: NO_PARTS };
  const mixes = everyVoc(book, recipe);
  const unready = mixes.find(({ additions }) => additions && !additions.components)?.additions;
  if (unready) return { open: `what ${unready.system.id} adds to its paint is not told in full` };
  const missing = [...new Set(mixes.flatMap(({ found }) => found.missing.map(lackingText)))];
  if (missing.length > 0) return { open: `its VOC is not known (${missing.join('; ')})` };
  if (mixes.some(({ found }) => found.open))
    return { open: "the limit counts the clear coat: say its VOC in the book, such as 'clear 418 g/l'" };
  const most = mostVoc(mixes);
  if (!most.found.value) return { open: 'there is nothing but water in it' };
  const figure = { value: most.found.value.div(1000).div(written.factor), unit: written };
  return { value: most.found.value.div(1000), told: vocTold(figure, most) };
}

function vocTold(value: Quantity, most: VocAsSprayed): string {
  const { figure, coats, worst, staged } = most.found;
  const places = value.unit.symbol === 'g/l' ? 1 : 2;
  const of = staged ? ' with its clear coat' : coats.length > 1 ? `, ${worst?.coat} coat` : '';
  return `its VOC is ${decimal(value.value, places)} ${value.unit.symbol} ${vocFigureWords[figure]}, ${sprayedAs(most)}${of}`;
}

/** Of the paint as poured, without hardener, reducer and undercoat: by weight, by volume, or the whole target. */
export function costFigure(book: Book, recipe: Recipe, written: Unit | undefined): Figure {
  const wanted = written?.currency;
  if (!written || wanted === undefined) return { unit: written?.symbol ?? BARE };
  if (recipe.total.lte(0)) return { open: NO_PARTS };
  const amounts = amountsFor(book, recipe, written);
  if ('open' in amounts) return amounts;
  const { money, unpriced } = costsOf(book, amounts.of);
  if (unpriced.length > 0) return { open: `no price is known of ${listed([...new Set(unpriced)])}` };
  const others = [...money.keys()].filter((currency) => currency !== wanted);
  if (others.length > 0) return { open: `part of it is priced in ${listed(others)}, not in ${wanted}` };
  const value = money.get(wanted)!;
  const shown = written.dimension === 'money' ? value : value.div(written.factor);
  return { value, told: `the paint costs ${decimal(shown, 2)} ${written.symbol}${amounts.at}` };
}

/** What the unit is the price of: a gram, a millilitre, or the target. */
function amountsFor(book: Book, recipe: Recipe, { dimension }: Unit): { of: Amount[]; at: string } | { open: string } {
  const parts = recipe.coats.flatMap((coat) => coat.toners);
  if (dimension === 'price per mass') return { of: scaleTo(parts, rational(1)), at: '' };
  if (dimension === 'money') return targetAmounts(book, recipe);
  const gram = scaleTo(parts, rational(1));
  const { liquids, missing } = liquidsOf(book, gram);
  if (missing.length > 0) return { open: `its density is not known (${missing.map(lackingText).join('; ')})` };
  const millilitres = sum(liquids.map(({ grams, density }) => grams.div(density)));
  return { of: scaleTo(parts, millilitres.inverse()), at: '' };
}

function targetAmounts(book: Book, recipe: Recipe): { of: Amount[]; at: string } | { open: string } {
  const target = recipe.target?.is;
  if (!target) return { open: 'the formula has no target' };
  const coats = recipe.coats.map((coat) => ({ coat, parts: coat.toners }));
  try {
    const additions = additionsOf(book, recipe.system?.is, undefined);
    const needed = amountsNeeded(book, recipe, coats, additions?.components, {});
    const poured = needed.coats.filter(({ grams }) => grams.gt(0));
    const { quantity } = target;
    const at = ` at ${decimal(quantity.value, placesOf(quantity.value))} ${quantity.unit.symbol}`;
    return { of: poured.flatMap(({ parts, grams }) => scaleTo(parts, grams)), at };
  } catch (error) {
    if (error instanceof Unanswerable || error instanceof RangeError)
      return { open: 'its target cannot be worked out' };
    throw error;
  }
}

/** What an expectation without a unit of its own kind is told to write. */
export const BENCH_UNITS: Readonly<Record<string, string>> = {
  share: 'Write the limit in %.',
  pour: 'Write the limit in g.',
  total: 'Write the limit in parts, without a unit.',
  voc: `Write the limit in ${unit('g/l')!.symbol} or lb/gal-US.`,
  cost: 'Write the limit in money for the target (EUR), or as a price (EUR/kg, EUR/l).',
};
