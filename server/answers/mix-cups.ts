/** The cups of a mix: each coat of a formula is one of its own, with its pours and what makes it ready to spray. */
import type { CoatAmount } from '../book/amount.ts';
import type { Book } from '../book/book.ts';
import { compositionOf } from '../book/cup.ts';
import { batchNamed } from '../book/known.ts';
import { leftoverRefusal } from '../book/leftover.ts';
import type { Recipe, RecipeCoat } from '../book/recipe.ts';
import { ceilToStep, type Rational, roundToStep, zero } from '../exact/rational.ts';
import { type LeftoverPlan, useLeftover } from '../paint/leftover.ts';
import { type Amount, type Part, type Pour, pourSheet, scaleTo } from '../paint/weights.ts';
import { Unanswerable } from './subject.ts';

export interface Cup {
  readonly coat: RecipeCoat;
  /** g of paint, as the scale can show it; what is left of another batch is part of it. */
  readonly weight: Rational;
  /** What the paint is made of, exact. */
  readonly amounts: readonly Amount[];
  /** What is poured of it, exact: less than all of it where something is left of another batch. */
  readonly poured: readonly Amount[];
  readonly pours: readonly Pick<Pour, 'code' | 'grams' | 'cumulative'>[];
  readonly leftover: UsedLeftover | undefined;
}

export interface LeftoverAsked {
  readonly batch: string;
  readonly grams: Rational;
  /** When it is mixed, milliseconds since 1970. */
  readonly at?: number | undefined;
}

export interface UsedLeftover extends LeftoverAsked {
  /** g of the smallest batch that takes all of it. */
  readonly least: Rational;
  /** Whether more is made than was asked for, so that all of it is taken. */
  readonly grown: boolean;
}

/** One cup a coat. A coat that is too little for the scale has no pours. */
export function cupsOf(
  book: Book,
  recipe: Recipe,
  coats: readonly CoatAmount[],
  step: Rational,
  asked: LeftoverAsked | undefined,
): Cup[] {
  const grams = (coat: CoatAmount) => (coats.length > 1 ? roundToStep(coat.grams, step) : coat.grams);
  const taking = asked && coatFor(book, recipe, coats, asked);
  return coats.map((coat) =>
    asked && coat === taking?.coat
      ? onto(coat, grams(coat), step, asked, taking.composition)
      : fresh(coat, grams(coat), step),
  );
}

function fresh({ coat, parts }: CoatAmount, grams: Rational, step: Rational): Cup {
  if (grams.lte(0)) return { coat, weight: zero, amounts: [], poured: [], pours: [], leftover: undefined };
  const weight = roundToStep(grams, step);
  const made = weight.gt(0) ? weight : grams;
  const amounts = scaleTo(parts, made);
  return { coat, weight, amounts, poured: amounts, pours: pourSheet(parts, made, step).pours, leftover: undefined };
}

/** Pours onto what was left of another batch. */
function onto(
  { coat, parts }: CoatAmount,
  grams: Rational,
  step: Rational,
  asked: LeftoverAsked,
  composition: readonly Part[],
): Cup {
  const planFor = (total: Rational): LeftoverPlan => {
    const plan = useLeftover(parts, { composition, grams: asked.grams }, total, step);
    if ('foreign' in plan) throw new Unanswerable(`${asked.batch} holds ${plan.foreign.join(' and ')}.`);
    return plan;
  };
  const { least } = planFor(grams);
  const grown = least.gt(grams);
  const weight = grown ? ceilToStep(least, step) : roundToStep(grams, step);
  const { additions } = planFor(weight);
  return {
    coat,
    weight,
    amounts: scaleTo(parts, weight),
    poured: additions.map(({ code, exact }) => ({ code, grams: exact })),
    pours: additions,
    leftover: { ...asked, least, grown },
  };
}

/** The coat that takes a leftover: the one of its own name where that holds all its toners, else any that does. */
function coatFor(
  book: Book,
  recipe: Recipe,
  coats: readonly CoatAmount[],
  asked: LeftoverAsked,
): { coat: CoatAmount; composition: readonly Part[] } {
  const batch = batchNamed(book, asked.batch);
  if (!batch) throw new Unanswerable(`There is no batch '${asked.batch}' in this book.`);
  const why = leftoverRefusal(book, { batch: asked.batch, grams: asked.grams, formula: recipe.id, at: asked.at });
  if (why) throw new Unanswerable(`${why.problem} ${why.remedy}`);
  const composition = compositionOf(book, asked.batch);
  if (!composition)
    throw new Unanswerable(`Nothing was poured into ${asked.batch}, so what is left of it is not known.`);
  const holds = ({ parts }: CoatAmount) =>
    composition.every(({ code }) => parts.some((part) => part.code === code && part.parts.gt(0)));
  const fitting = coats.filter(holds);
  const coat = fitting.find((one) => one.coat.name === batch.coat) ?? fitting[0];
  if (coat) return { coat, composition };
  const parts = new Set(recipe.coats.flatMap(({ toners }) => toners.map(({ code }) => code)));
  const foreign = composition.filter(({ code }) => !parts.has(code)).map(({ code }) => code);
  throw new Unanswerable(
    foreign.length > 0
      ? `${asked.batch} holds ${foreign.join(' and ')}, which ${recipe.id} does not. Use it for another formula.`
      : `No coat of ${recipe.id} holds all that is in ${asked.batch}. Use it for another formula.`,
  );
}
