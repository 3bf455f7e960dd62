import { decimal, placesOf, type Rational, roundToStep, stepsDecimal, sum, Total, zero } from '../exact/rational.ts';

/** One line of a formula: a toner and its parts. */
export interface Part {
  readonly code: string;
  readonly parts: Rational;
}

/** A toner and a mass of it in grams. */
export interface Amount {
  readonly code: string;
  readonly grams: Rational;
}

/** One pour of a sheet. Masses in grams. */
export interface Pour {
  readonly code: string;
  /** The share of the whole, 0..1, exact. */
  readonly share: Rational;
  /** The mass that the ratios ask for, before any rounding. */
  readonly exact: Rational;
  /** The pour as the scale can show it. */
  readonly weighed: Rational;
  /** What the scale shows after this pour when it is not set to zero between pours. */
  readonly running: Rational;
  /** `weighed` and `running` with the scale's digits. */
  readonly grams: string;
  readonly cumulative: string;
}

export interface PourSheet {
  readonly pours: readonly Pour[];
  readonly asked: Rational;
  /** The weighable total nearest to the one asked for. */
  readonly total: Rational;
  /** Whether the scale cannot show the total that was asked for. */
  readonly differs: boolean;
}

/**
 * A formula's parts scaled to a mass, in the order written, before any rounding.
 * @throws RangeError when there are no parts, a part is negative, or the mass is not above zero.
 */
export function scaleTo(parts: readonly Part[], grams: Rational): Amount[] {
  const total = totalParts(parts);
  if (grams.lte(0)) throw new RangeError('the weight to make must be above zero');
  const perPart = grams.div(total);
  return parts.map((part) => ({ code: part.code, grams: part.parts.mul(perPart) }));
}

/** The sum of the parts. @throws RangeError when it is nothing, or a part is negative. */
export function totalParts(parts: readonly Part[]): Rational {
  const negative = parts.find((part) => part.parts.s < 0n);
  if (negative) throw new RangeError(`${negative.code} has fewer than no parts`);
  const total = sum(parts.map((part) => part.parts));
  if (total.lte(0)) throw new RangeError('there are no parts to weigh');
  return total;
}

/**
 * The pours for a batch on a scale.
 * The running column is rounded and the pours are its differences: so the total is exact at the nearest weighable weight
 * and no pour is off by a whole step. Ties go away from zero.
 * @param readability the scale's step in grams, such as 0.1 or 0.05.
 */
export function pourSheet(parts: readonly Part[], asked: Rational, readability: Rational): PourSheet {
  const amounts = scaleTo(parts, asked);
  const pours = runningPours(amounts, zero, readability).map((pour) => ({ ...pour, share: pour.exact.div(asked) }));
  const total = roundToStep(asked, readability);
  return { pours, asked, total, differs: !total.equals(asked) };
}

/** Pours of exact amounts into a cup that already holds something, rounded by the running column. */
export function runningPours(
  amounts: readonly Amount[],
  inCup: Rational,
  readability: Rational,
): Omit<Pour, 'share'>[] {
  const places = placesOf(readability);
  const total = new Total(inCup);
  let shown = total.inSteps(readability);
  return amounts.map(({ code, grams: exact }) => {
    total.add(exact);
    const steps = total.inSteps(readability);
    const running = readability.mul(steps);
    const weighed = readability.mul(steps - shown);
    shown = steps;
    return { code, exact, weighed, running, grams: decimal(weighed, places), cumulative: decimal(running, places) };
  });
}

/** Of pours into an empty cup, so many grams to a part, only what the scale shows of each, as in `runningPours`. */
export function shownPours(parts: readonly Part[], perPart: Rational, readability: Rational): string[] {
  const places = placesOf(readability);
  const total = new Total();
  let shown = 0n;
  return parts.map((part) => {
    total.addProduct(part.parts, perPart);
    const before = shown;
    shown = total.inSteps(readability);
    return stepsDecimal(shown - before, readability, places);
  });
}

/** The pours of a sheet that are smaller than the smallest worth weighing. */
export function tooSmall(sheet: PourSheet, leastPour: Rational): Pour[] {
  return sheet.pours.filter((pour) => pour.exact.gt(0) && pour.exact.lt(leastPour));
}

/** The parts in the same ratios, adding up to another total; 1 gives shares. */
export function normalised(parts: readonly Part[], total: Rational): Part[] {
  const factor = total.div(totalParts(parts));
  return parts.map((part) => ({ code: part.code, parts: part.parts.mul(factor) }));
}
