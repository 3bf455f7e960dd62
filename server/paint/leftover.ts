import { larger, one, type Rational, smaller, sum, zero } from '../exact/rational.ts';
import { growth } from './recovery.ts';
import { type Amount, normalised, type Part, runningPours, scaleTo } from './weights.ts';

/** Paint left from an earlier batch: what it is made of, in any parts, and how much of it there is, in grams. */
export interface Leftover {
  readonly composition: readonly Part[];
  readonly grams: Rational;
}

export interface LeftoverPlan {
  /** The smallest batch of the formula that takes the whole leftover and is no smaller than the one asked for. */
  readonly total: Rational;
  /** The smallest batch that takes the whole leftover, whatever was asked for. */
  readonly least: Rational;
  /** What is poured onto the leftover, in the formula's order; the running figures begin at the leftover's own mass. */
  readonly additions: ReturnType<typeof runningPours>;
}

/** Why a leftover cannot become this formula: these toners are in it and not in the formula. */
export interface Unusable {
  readonly foreign: readonly string[];
}

/** How to turn a whole leftover into a formula. Additions are rounded to the scale's step; their `exact` is not. */
export function useLeftover(
  formula: readonly Part[],
  leftover: Leftover,
  asked: Rational,
  readability: Rational,
): LeftoverPlan | Unusable {
  const held = amountsIn(leftover);
  const least = leastTotal(formula, held);
  if (!least) return { foreign: foreignTo(formula, held) };
  const total = larger(least, asked);
  const mass = new Map(held.map(({ code, grams }) => [code, grams]));
  const missing = scaleTo(formula, total).map(({ code, grams }) => ({
    code,
    grams: grams.sub(mass.get(code) ?? zero),
  }));
  const additions = runningPours(missing, leftover.grams, readability);
  return { total, least, additions: additions.filter((pour) => pour.exact.gt(0)) };
}

/** How much of a leftover fits into a batch of a given mass; nothing when it holds a foreign toner. */
export function mostLeftover(formula: readonly Part[], composition: readonly Part[], target: Rational): Rational {
  const shares = normalised(composition, one).filter((part) => part.parts.gt(0));
  const wanted = new Map(scaleTo(formula, target).map(({ code, grams }) => [code, grams]));
  return shares.map(({ code, parts }) => (wanted.get(code) ?? zero).div(parts)).reduce(smaller);
}

function amountsIn(leftover: Leftover): Amount[] {
  const whole = scaleTo(leftover.composition, leftover.grams);
  const byCode = new Map<string, Rational>();
  for (const { code, grams } of whole) byCode.set(code, sum([byCode.get(code) ?? zero, grams]));
  return [...byCode].map(([code, grams]) => ({ code, grams }));
}

/** The growth of a batch as heavy as the leftover is the growth from nothing: total = k x the leftover's own mass. */
function leastTotal(formula: readonly Part[], held: readonly Amount[]): Rational | undefined {
  const mass = sum(held.map(({ grams }) => grams));
  return growth(formula, mass, held)?.mul(mass);
}

function foreignTo(formula: readonly Part[], held: readonly Amount[]): string[] {
  const known = new Set(formula.filter((part) => part.parts.gt(0)).map((part) => part.code));
  return held.filter(({ code, grams }) => grams.gt(0) && !known.has(code)).map(({ code }) => code);
}
