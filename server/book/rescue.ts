/** Ways out of an over-pour, with the colour that each is expected to give. */
import { type Rational, sum } from '../exact/rational.ts';
import { growth, mixtureAfter, type RecoveryChoice, recoveryChoices } from '../paint/recovery.ts';
import { type Amount, scaleTo } from '../paint/weights.ts';
import type { Book } from './book.ts';
import { type Cup, coatOf, onScale, tooMuchIn } from './cup.ts';
import { toleranceFor } from './entries/shop.ts';
import { shopOf } from './known.ts';
import { apartFrom } from './optics/apart.ts';
import { lastMoment, potLifeOf } from './pot-life.ts';
import { type Recipe, recipeNamed } from './recipe.ts';

export interface Rescue extends RecoveryChoice {
  /** The total before the scale rounds it; of an exact recovery k times what was to be made. */
  readonly exact: Rational;
  /** Of `predicted`: the difference is within so many dE00 of it, 9 times of 10. */
  readonly plusMinus?: number;
  /** The hardener in the cup will have set before it is done: why, in a clause. */
  readonly late?: string;
}

/** A judgement: a toner is stirred, poured and weighed in about a minute. */
const SECONDS_A_POUR = 60;

/**
 * Empty while nothing that is worth it is over. Ways that the cup or the pot life stands in the way of come last.
 * `now` (milliseconds since 1970) is the hour of the bench; without it the last hour that the batch says.
 */
export function rescuesIn(book: Book, cup: Cup, now = lastMoment(book, cup.batch)): Rescue[] {
  if (tooMuchIn(book, cup).length === 0) return [];
  const differs = differenceIn(book, cup);
  const limit = cupLimit(cup);
  const choices = recoveryChoices(cup.plan, {
    ...(limit ? { cupLimit: limit } : {}),
    ...(differs
      ? { difference: (mixture) => differs(mixture)?.dE00, tolerance: toleranceFor(shopOf(book), '').limit }
      : {}),
  });
  const lateness = latenessIn(book, cup, now);
  return choices
    .map((choice): Rescue => {
      const strayed = differs?.(mixtureAfter(choice, cup.plan.poured));
      const late = lateness(choice);
      return {
        ...choice,
        additions: shownOnScale(cup, choice),
        exact: choice.kind === 'exact' ? grown(cup) : choice.total,
        ...(strayed ? { plusMinus: strayed.plusMinus } : {}),
        ...(late === undefined ? {} : { late }),
      };
    })
    .sort((a, b) => hindrance(a) - hindrance(b));
}

const hindrance = ({ late, fits }: Rescue): number => (late !== undefined ? 2 : fits ? 0 : 1);

/** Tints, hardener and reducer take room as well. */
const cupLimit = ({ most, content, plan }: Cup): Rational | undefined =>
  most?.sub(content.inCup.sub(sum(plan.poured.map((amount) => amount.grams))));

function shownOnScale(cup: Cup, { kind, removed, additions }: RecoveryChoice): RecoveryChoice['additions'] {
  const { shows } = cup.content;
  const onto = shows.sub(kind === 'start again' ? shows : removed);
  return onScale(
    cup,
    onto,
    additions.map(({ code, weighed }) => ({ code, grams: weighed })),
  );
}

/** A cup that sets cannot be rescued, and fresh paint in it does not make the pot life longer; a new cup begins anew. */
function latenessIn(book: Book, cup: Cup, now: number | undefined): (choice: RecoveryChoice) => string | undefined {
  const until = potLifeOf(book, cup.batch, cup.content)?.until;
  if (until === undefined || now === undefined) return () => undefined;
  const left = Math.floor((until - now) / 60_000);
  return ({ kind, additions }) => {
    if (kind === 'start again') return undefined;
    if (left < 0) return 'the pot life is over, what is in the cup sets';
    const minutes = (additions.length * SECONDS_A_POUR) / 60;
    return minutes > left ? `its pours take about ${minutes} min, ${left} min are left of the pot life` : undefined;
  };
}

/** How many times larger than asked the batch has to become; below 1 while nothing is over. */
export const growthOf = (cup: Cup): Rational | undefined => growth(cup.plan.formula, cup.target, cup.plan.poured);

const grown = (cup: Cup): Rational => (growthOf(cup)?.gt(1) ? growthOf(cup)!.mul(cup.target) : cup.target);

/** What is predicted of a mixture: dE00 from the recipe of the cup at the worst angle under the main light, and its ±. */
export interface Strayed {
  readonly dE00: number;
  readonly plusMinus: number;
}

/**
 * 0.9 ± 0.4 dE00: the ± is rounded up, so that it never says less doubt than there is, and never none. Both are first taken to the
 * ten-thousandth to which JSON gives them, so that every view of one figure ends at the same tenth.
 */
export function strayedText({ dE00, plusMinus }: Strayed): string {
  const doubt = Math.max(Math.ceil(Number(plusMinus.toFixed(4)) * 10 - 1e-9) / 10, 0.1);
  return `${Number(dE00.toFixed(4)).toFixed(1)} ± ${doubt.toFixed(1)} dE00`;
}

type Differs = (mixture: readonly Amount[]) => Strayed | undefined;

/**
 * The predicted difference of a mixture from the recipe of the cup. Its ± is that of a difference of two nearly alike mixtures, and of
 * the half step of the scale to which each toner was weighed. Undefined while nothing can be predicted.
 */
export function differenceIn(book: Book, cup: Cup): Differs | undefined {
  const recipe = recipeNamed(book, cup.batch.formula);
  const coat = recipe && coatOf(recipe, cup.batch);
  if (!recipe || !coat) return undefined;
  const mixed = (amounts: readonly Amount[]) => withCoat(recipe, coat.name, amounts);
  const wanted = apartFrom(book, mixed(scaleTo(cup.recipe, sum(cup.recipe.map((part) => part.parts)))));
  if (!wanted) return undefined;
  return (mixture) => {
    const found = wanted(mixed(mixture));
    if (!found || !Number.isFinite(found.dE00)) return undefined;
    const weighed = weighingError(book, mixture, cup.step, mixed);
    return { dE00: found.dE00, plusMinus: Math.hypot(found.plusMinus, weighed) };
  };
}

/** Of errors that are spread evenly over the half step to either side, 9 of 10 sums (normal, once there are a few) stay within. */
const NINE_OF_TEN = 1.645 / Math.sqrt(3);

/** What half a step of the scale on each toner does to a colour, dE00. */
function weighingError(
  book: Book,
  mixture: readonly Amount[],
  step: Rational,
  mixed: (amounts: readonly Amount[]) => Recipe,
): number {
  const moved = apartFrom(book, mixed(mixture));
  const half = step.div(2);
  const shifts = mixture.map(({ code }) => {
    const more = mixture.map((one) => (one.code === code ? { code, grams: one.grams.add(half) } : one));
    return moved?.(mixed(more))?.dE00 ?? 0;
  });
  return NINE_OF_TEN * Math.hypot(...shifts);
}

/** The formula with other amounts in one of its coats. */
function withCoat(recipe: Recipe, coat: string, amounts: readonly Amount[]): Recipe {
  const toners = amounts.map(({ code, grams }) => ({ code, parts: grams, origins: [] }));
  return { ...recipe, coats: recipe.coats.map((one) => (one.name === coat ? { ...one, toners } : one)) };
}
