/** How much paint to pour, coat by coat, for a weight, a volume or an area; exact until the scale rounds it. */

import { plainDecimal as plain } from '../exact/plain.ts';
import { type Quantity, toBase } from '../exact/quantity.ts';
import { one, type Rational, rational, sum } from '../exact/rational.ts';
import { isMetric } from '../exact/units.ts';
import { usual, usualFilms, volumeNeeded } from '../paint/coverage.ts';
import type { Component } from '../paint/ready.ts';
import { type Amount, type Part, scaleTo } from '../paint/weights.ts';
import type { Book } from './book.ts';
import { shopOf, systemNamed } from './known.ts';
import { type Lacking, lackingText, liquidsOf, volumeSolidsOf } from './materials.ts';
import { readyMix } from './ready.ts';
import type { Recipe, RecipeCoat } from './recipe.ts';
import { Unanswerable } from './unanswerable.ts';

export interface AmountAsked {
  /** A mass, a volume or an area; the formula's own target when nothing is said. */
  readonly quantity?: Quantity | undefined;
  readonly as?: 'poured' | 'ready to spray' | undefined;
  /** For an area: how often a coat is sprayed, its dry film in um with all its coats, and the share that stays on the part, 0..1. */
  readonly coats?: number | undefined;
  readonly film?: Rational | undefined;
  readonly transfer?: Rational | undefined;
  /** m2 into which the colour is faded out. */
  readonly blend?: Rational | undefined;
}

export interface CoatAmount {
  readonly coat: RecipeCoat;
  /** What is poured, the lot's strength counted. */
  readonly parts: readonly Part[];
  /** g of paint as poured. */
  readonly grams: Rational;
}

export interface AmountsNeeded {
  readonly coats: readonly CoatAmount[];
  /** g of paint as poured, all coats together. */
  readonly weight: Rational;
  /** m2 that it is for. */
  readonly area: Rational | undefined;
  /** What gets the full film, where an area was asked for. */
  readonly covered?: Covered;
  /** How the weight was reached, defaults named; empty where a weight as poured was asked for. */
  readonly basis: readonly string[];
}

/** An area and how it is sprayed, whatever is sprayed on it. */
export interface Covered {
  /** m2 that get the full film. */
  readonly area: Rational;
  /** The share that stays on the part, 0..1. */
  readonly transfer: Rational;
  /** ml that stay in gun and cup. */
  readonly loss: Rational | undefined;
}

type Unweighed = Omit<CoatAmount, 'grams'>;

/** @throws Unanswerable when the amount cannot be worked out, saying what is missing. */
export function amountsNeeded(
  book: Book,
  recipe: Recipe,
  coats: readonly Unweighed[],
  components: readonly Component[] | undefined,
  asked: AmountAsked,
): AmountsNeeded {
  const quantity = asked.quantity ?? recipe.target?.is.quantity;
  const as = asked.as ?? (asked.quantity ? 'poured' : (recipe.target?.is.as ?? 'poured'));
  if (!quantity)
    throw new Unanswerable(`${recipe.id} has no target weight. Say one with --weight, for example --weight 80g.`);
  const base = toBase(quantity);
  if (base.lte(0))
    throw new Unanswerable(
      `The ${quantity.unit.dimension === 'mass' ? 'weight' : quantity.unit.dimension} must be above zero.`,
    );
  switch (quantity.unit.dimension) {
    case 'mass':
      return inGrams(quantity, byWeight(book, recipe, coats, components, base, as));
    case 'volume':
      return byVolume(book, recipe, coats, components, quantity, as);
    case 'area':
      return byArea(book, recipe, coats, components, quantity, asked);
    default:
      throw new Unanswerable(
        `A weight is needed, such as 80 g, a volume or an area; ${quantity.unit.symbol} is a ${quantity.unit.dimension}.`,
      );
  }
}

/** Says how much a weight in pounds or ounces is on a scale that shows grams. */
function inGrams(quantity: Quantity, needed: AmountsNeeded): AmountsNeeded {
  if (isMetric(quantity.unit)) return needed;
  const said = `${plain(quantity.value)} ${quantity.unit.symbol} = ${shortened(toBase(quantity))} g.`;
  return { ...needed, basis: [said, ...needed.basis] };
}

const partsOf = (coat: Unweighed): Rational => sum(coat.parts.map((part) => part.parts));

/** Each coat of a formula is a cup of its own; the weight is divided by the coats' parts. */
function divided(coats: readonly Unweighed[], weight: Rational): CoatAmount[] {
  const total = sum(coats.map(partsOf));
  return coats.map((coat) => ({ ...coat, grams: coats.length === 1 ? weight : weight.mul(partsOf(coat)).div(total) }));
}

function byWeight(
  book: Book,
  recipe: Recipe,
  coats: readonly Unweighed[],
  components: readonly Component[] | undefined,
  grams: Rational,
  as: 'poured' | 'ready to spray',
): AmountsNeeded {
  if (as === 'poured' || !hasAdditions(book, recipe)) {
    return { coats: divided(coats, grams), weight: grams, area: undefined, basis: [] };
  }
  const perGram = readyPerGram(book, coats, components, recipe);
  const weight = grams.div(perGram.grams);
  return {
    coats: divided(coats, weight),
    weight,
    area: undefined,
    basis: [`${plain(grams)} g ready to spray hold ${shortened(weight)} g of paint.`],
  };
}

/** `500 ml`, or `1 pt-US (473.18 ml)`. */
const inUnits = ({ value, unit }: Quantity, base: string): string => {
  const said = `${plain(value)} ${unit.symbol}`;
  return unit.symbol === base ? said : `${said} (${shortened(toBase({ value, unit }))} ${base})`;
};

const shortened = (value: Rational): string => plain(rational(value.valueOf().toFixed(2)));

function hasAdditions(book: Book, recipe: Recipe): boolean {
  const system = recipe.system && systemNamed(book, recipe.system.is);
  return (system?.added.length ?? 0) > 0;
}

/** Grams and ml of ready paint for a gram as poured. */
function readyPerGram(
  book: Book,
  coats: readonly Unweighed[],
  components: readonly Component[] | undefined,
  recipe: Recipe,
): { grams: Rational; millilitres: Rational; added: Amount[] } {
  if (!components && hasAdditions(book, recipe))
    throw new Unanswerable(
      `How much ${recipe.system?.is} adds to its paint cannot be computed; 'pourbook check' says what is missing.`,
    );
  const mix = readyMix(book, gramOf(coats), components ?? []);
  if (!mix) throw new Unanswerable(noVolume(recipe, liquidsOf(book, gramOf(coats)).missing));
  return {
    grams: mix.grams,
    millilitres: mix.millilitres,
    added: mix.lines.slice(1).map(({ code, grams }) => ({ code, grams })),
  };
}

const gramOf = (coats: readonly Unweighed[]): Amount[] =>
  scaleTo(
    coats.flatMap((coat) => coat.parts),
    one,
  );

const noVolume = (recipe: Recipe, missing: readonly Lacking[]): string =>
  `The volume of ${recipe.id} cannot be computed (${missing.map(lackingText).join('; ')}). Ask for a weight, or write the densities.`;

function byVolume(
  book: Book,
  recipe: Recipe,
  coats: readonly Unweighed[],
  components: readonly Component[] | undefined,
  quantity: Quantity,
  as: 'poured' | 'ready to spray',
): AmountsNeeded {
  const perGram = readyPerGram(
    book,
    coats,
    as === 'poured' ? [] : components,
    as === 'poured' ? { ...recipe, system: undefined } : recipe,
  );
  const weight = toBase(quantity).div(perGram.millilitres);
  return {
    coats: divided(coats, weight),
    weight,
    area: undefined,
    basis: [`${inUnits(quantity, 'ml')}${as === 'poured' ? '' : ' ready to spray'} by the densities of the toners.`],
  };
}

/** Each coat by its own volume solids, since a mid coat holds less than a ground. */
function byArea(
  book: Book,
  recipe: Recipe,
  coats: readonly Unweighed[],
  components: readonly Component[] | undefined,
  quantity: Quantity,
  asked: AmountAsked,
): AmountsNeeded {
  const area = toBase(quantity);
  const shop = shopOf(book);
  const spray = spraying(book, recipe, asked);
  const stated = asked.transfer ?? shop.transfer?.efficiency;
  const fixedLoss = shop.transfer?.loss;
  const transfer = stated ?? usual.transferEfficiency;
  const all = coats.map((coat): CoatAmount => {
    const perGram = readyPerGram(book, [coat], components, recipe);
    const solids = volumeSolidsOf(book, [...gramOf([coat]), ...perGram.added]);
    if ('missing' in solids)
      throw new Unanswerable(
        `How far ${recipe.id} goes cannot be computed (${solids.missing.map(lackingText).join('; ')}). Ask for a weight, or write solids and densities.`,
      );
    const millilitres = needed(recipe, {
      area,
      ...(asked.blend ? { blendArea: asked.blend } : {}),
      coats: rational(coat.coat.coats ?? spray.coats),
      filmPerCoat: spray.film.div(spray.coats),
      volumeSolids: solids.share,
      transferEfficiency: transfer,
      ...(fixedLoss ? { fixedLoss } : {}),
    });
    return { ...coat, grams: millilitres.div(perGram.millilitres) };
  });
  return {
    coats: all,
    weight: sum(all.map((coat) => coat.grams)),
    area: asked.blend ? area.add(asked.blend) : area,
    covered: { area, transfer, loss: fixedLoss },
    basis: [
      `${inUnits(quantity, 'm2')}${asked.blend ? `, and ${shortened(asked.blend)} m2 blended at half the film (common practice)` : ''}, ${plain(spray.film)} um dry in ${spray.coats} ${spray.coats === 1 ? 'coat' : 'coats'}${spray.assumed ? ' (common practice: the system states no film)' : ''}.`,
      `${plain(transfer.mul(100))} % of what is sprayed stays on the part${stated ? '' : ' (common practice: the book states no transfer)'}${fixedLoss ? `; ${plain(fixedLoss)} ml stay in gun and cup` : ''}.`,
    ],
  };
}

function needed(recipe: Recipe, job: Parameters<typeof volumeNeeded>[0]): Rational {
  try {
    return volumeNeeded(job);
  } catch (error) {
    throw new Unanswerable(
      `How far ${recipe.id} goes cannot be computed: ${error instanceof Error ? error.message : 'no reason given'}.`,
    );
  }
}

/** Coats when neither the question nor the system says how many (common practice for base coats: two to four). */
const USUAL_COATS = 2;

function spraying(book: Book, recipe: Recipe, asked: AmountAsked): { film: Rational; coats: number; assumed: boolean } {
  const stated = recipe.system && systemNamed(book, recipe.system.is)?.film;
  const coats = asked.coats ?? stated?.coats ?? USUAL_COATS;
  const film = asked.film ?? stated?.thickness;
  if (film) return { film, coats, assumed: false };
  const [low, high] = usualFilms[recipe.finish?.is === 'solid' ? 'solid base coat' : 'effect base coat'];
  return { film: rational(low).add(high).div(2), coats, assumed: true };
}
