/** The ways out of a pour that is too little for the scale: a larger batch, a finer scale, or a let-down of the toner. */
import { plainDecimal } from '../exact/plain.ts';
import {
  ceilToStep,
  decimal,
  larger,
  placesOf,
  type Rational,
  rational,
  smaller,
  sum,
  zero,
} from '../exact/rational.ts';
import { letDownShare, withLetDown } from '../paint/letdown.ts';
import { chooseScale, type Scale, smallestPour, type WeighingMode } from '../paint/scales.ts';
import type { Part } from '../paint/weights.ts';
import type { Book } from './book.ts';
import { shopOf, tonerIn, tonerNamed } from './known.ts';
import type { Recipe, RecipeCoat, RecipeToner } from './recipe.ts';
import { scalesOf } from './scales.ts';

/** A recipe as it is to be weighed. */
export interface Weighed {
  readonly recipe: Recipe;
  /** Of all coats together, g. */
  readonly grams: Rational;
  readonly step: Rational;
  readonly mode: WeighingMode;
}

/** A toner from a dilution, and what the coat is then mixed from: the carrier that comes with it is taken from its own line. */
export interface ByLetDown {
  readonly code: string;
  readonly toner: string;
  readonly carrier: string;
  readonly share: Rational;
  readonly coat: RecipeCoat;
  readonly parts: readonly Part[];
  /** Whether the book has the let-down already. */
  readonly known: boolean;
}

export interface WaysOut {
  /** The smallest batch in which all of them can be weighed, as the scale can show it, g. */
  readonly make: Rational;
  /** The finest scale of the shop that carries the cup, where it is fine enough for all of them. */
  readonly scale: Scale | undefined;
  /** For each toner one way, where there is one. */
  readonly letDowns: readonly ByLetDown[];
}

export const pourOf = (toner: RecipeToner, { recipe, grams }: Weighed): Rational =>
  toner.parts.mul(grams).div(recipe.total);

export const leastPour = (book: Book, step: Rational, mode: WeighingMode): Rational =>
  smallestPour(step, shopOf(book).weighingError, mode);

/** Toners of which less is poured than the scale can weigh. */
export function smallPours(book: Book, weighed: Weighed): RecipeToner[] {
  if (weighed.recipe.total.lte(0)) return [];
  const least = leastPour(book, weighed.step, weighed.mode);
  return weighed.recipe.coats
    .flatMap((coat) => coat.toners)
    .filter((toner) => toner.parts.gt(0) && pourOf(toner, weighed).lt(least));
}

export function waysOut(book: Book, small: readonly RecipeToner[], weighed: Weighed): WaysOut {
  const { recipe, step, mode } = weighed;
  const smallest = small.map((toner) => toner.parts).reduce(smaller);
  return {
    make: ceilToStep(leastPour(book, step, mode).mul(recipe.total).div(smallest), step),
    scale: finerScale(book, small, weighed),
    letDowns: small.flatMap((toner) => letDownOf(book, toner, weighed) ?? []),
  };
}

function finerScale(book: Book, small: readonly RecipeToner[], weighed: Weighed): Scale | undefined {
  const found = chooseScale(scalesOf(book), heaviestCup(weighed));
  const least = found && leastPour(book, found.readability, weighed.mode);
  return least && small.every((toner) => pourOf(toner, weighed).gte(least)) ? found : undefined;
}

/** Each coat is a cup of its own. */
function heaviestCup({ recipe, grams }: Weighed): Rational {
  return recipe.coats
    .map(({ toners }) =>
      sum(toners.map((toner) => toner.parts))
        .mul(grams)
        .div(recipe.total),
    )
    .reduce(larger, zero);
}

/** Shares that are easily made up: a toner in so many per cent of the mixture. */
const HANDY = ['0.5', '0.25', '0.2', '0.1', '0.05', '0.02', '0.01'];

/** A let-down of the book that brings the pour up to what can be weighed, else a new one; undefined where the carrier does not suffice. */
function letDownOf(book: Book, toner: RecipeToner, weighed: Weighed): ByLetDown | undefined {
  const coat = weighed.recipe.coats.find((one) => one.toners.includes(toner));
  if (!coat) return undefined;
  const strongest = letDownShare(pourOf(toner, weighed), leastPour(book, weighed.step, weighed.mode));
  const known = knownLetDowns(book, toner.code).filter(({ share }) => share.lte(strongest));
  const fresh = freshLetDown(book, coat, toner.code, strongest);
  for (const one of [...known, ...(fresh ? [fresh] : [])]) {
    const parts = withLetDown(coat.toners, { ...one, toner: toner.code });
    if (parts) return { ...one, toner: toner.code, coat, parts };
  }
  return undefined;
}

type Dilution = Pick<ByLetDown, 'code' | 'carrier' | 'share' | 'known'>;

/** Let-downs of the book that hold the toner and one thing beside it, the strongest first. */
function knownLetDowns(book: Book, code: string): Dilution[] {
  return [...book.usersOf(`toner:${code}`)]
    .filter((cell) => cell.entry.kind === 'letdown')
    .map((cell) => tonerIn(book, cell))
    .flatMap(({ code: own, letdownOf, madeOf }): Dilution[] => {
      const whole = sum(madeOf.map((part) => part.parts));
      const held = madeOf.find((part) => part.code === code);
      const [carrier, ...others] = madeOf.filter((part) => part.code !== code);
      if (letdownOf !== code || !held || !carrier || others.length > 0 || whole.lte(0)) return [];
      return [{ code: own, carrier: carrier.code, share: held.parts.div(whole), known: true }];
    })
    .filter(({ share }) => share.gt(0) && share.lte(1))
    .sort((a, b) => b.share.compare(a.share));
}

function freshLetDown(book: Book, { toners }: RecipeCoat, code: string, strongest: Rational): Dilution | undefined {
  if (tonerNamed(book, code)?.letdownOf !== undefined) return undefined;
  const carrier = toners.find((one) => tonerNamed(book, one.code)?.kind === 'binder');
  const share = HANDY.map(rational).find((one) => one.lte(strongest));
  const own = share && `${code}-${plainDecimal(share.mul(100))}`;
  if (!carrier || carrier.code === code || !share || !own || book.find('toner', own)) return undefined;
  return { code: own, carrier: carrier.code, share, known: false };
}

/**
 * `Make at least 160.0 g, weigh it on FINE, which shows 0.01 g or pour 2.5 parts of …`: how a person is told.
 * @param of what is to be made, where that is not the whole formula: ` of that coat`
 */
export function waysSentence({ make, scale, letDowns }: WaysOut, step: Rational, of = ''): string {
  const ways = [
    `make at least ${decimal(make, placesOf(step))} g${of}`,
    ...(scale ? [`weigh it on ${scale.name}, which shows ${plainDecimal(scale.readability)} g`] : []),
    ...letDownWords(letDowns),
  ];
  const all = ways.length < 2 ? ways.join('') : `${ways.slice(0, -1).join(', ')} or ${ways.at(-1)}`;
  return `${all[0]!.toUpperCase()}${all.slice(1)}.`;
}

/** What is poured for the toners, and what is left of the carriers when all of it is done; nothing where they do not suffice for all. */
function letDownWords(all: readonly ByLetDown[]): string[] {
  if (all.length === 0) return [];
  const pours = all.map(({ code, toner, carrier, share, parts, known }) => {
    const of = partsOf(parts, code);
    const made = known ? '' : ` (${plainDecimal(share.mul(100))} % ${toner} in ${carrier})`;
    return `${plainDecimal(of)} ${of.equals(1) ? 'part' : 'parts'} of ${code}${made} for ${toner}`;
  });
  const carriers = [...new Set(all.map(({ carrier }) => carrier))].map((carrier) => {
    const taken = all.filter((one) => one.carrier === carrier);
    const has = partsOf(taken[0]!.coat.toners, carrier);
    return { carrier, left: has.sub(sum(taken.map(({ parts }) => has.sub(partsOf(parts, carrier))))) };
  });
  if (carriers.some(({ left }) => left.lt(0))) return [];
  const left = carriers.map((one) => `${one.carrier} at ${plainDecimal(one.left)}`);
  return [`pour ${pours.join(' and ')}, with ${left.join(' and ')}`];
}

const partsOf = (parts: readonly Part[], code: string): Rational =>
  sum(parts.filter((one) => one.code === code).map((one) => one.parts));
