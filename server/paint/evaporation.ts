import { type Rational, zero } from '../exact/rational.ts';
import type { WeighingMode } from './scales.ts';

/**
 * How far the cup's mass may be from the sum of its pours through reading alone: each reading is off by up to half a step.
 * A running figure needs two readings, the empty cup's and the last; pours after a tare need one each, and the cup's own two.
 */
export function readingError(pours: number, readability: Rational, mode: WeighingMode): Rational {
  const readings = mode === 'running' ? 2 : pours + 2;
  return readability.mul(readings).div(2);
}

export interface CupLoss {
  /** Grams that are missing; below zero when the cup weighs more than its pours. */
  readonly lost: Rational;
  /** Whether more is missing than the scale can explain. */
  readonly evaporated: boolean;
  /** Whether there is more in the cup than the scale can explain: a pour was not written down. */
  readonly unexplained: boolean;
  /** Grams of reducer that put back what left. Only volatiles leave, so it is never put back as colour. */
  readonly putBack: Rational;
}

/** What a cup that is weighed again says about the pours in it. */
export function cupLoss(poured: Rational, cupReads: Rational, error: Rational): CupLoss {
  const lost = poured.sub(cupReads);
  const evaporated = lost.gt(error);
  return { lost, evaporated, unexplained: lost.neg().gt(error), putBack: evaporated ? lost : zero };
}

/** Grams per minute that a cup loses, from two weighings. No general rate is published: it hangs on cup, paint and air. */
export function lossRate(first: Rational, second: Rational, minutes: Rational): Rational {
  if (minutes.lte(0)) throw new RangeError('the second weighing must be later than the first');
  return first.sub(second).div(minutes);
}

/** Solids of a cup, 0..1, after it lost so many grams of volatiles: what stays is the richer for it. */
export function solidsAfterLoss(grams: Rational, solids: Rational, lost: Rational): Rational {
  const left = grams.sub(lost);
  const solid = grams.mul(solids);
  if (left.lt(solid)) throw new RangeError('more was lost than there are volatiles in the cup');
  return solid.div(left);
}
