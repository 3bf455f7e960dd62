/**
 * Putting right an effect colour that missed. What the card showed beyond the model is kept, per angle and wavelength, on the
 * scale of lightness, and taken to stay the same while the shares move a little: for solids, shifting by what the card showed was the
 * best single step of those tried (a numerical study), and the scale of lightness is the one in which these fits err evenly.
 */
import { type CoatedFilm, coatedReflectance } from './effect-coats.ts';
import { lightnessLike } from './effect-fit.ts';
import { EffectMatcher, type EffectMixture, type EffectTarget, meanDifference } from './effect-match.ts';
import type { EffectToner } from './effect-model.ts';
import { nonNegativeLeastSquares } from './nnls.ts';

/** The target with the shift that brings the model to a card: its film with all its coats, and what was read of it, angle-major. */
export function broughtToCard(target: EffectTarget, film: CoatedFilm, reflectance: Float64Array): EffectTarget {
  const plain = coatedReflectance(target.model, film);
  const shift = plain.map((value, at) => lightnessLike(reflectance[at]!) - lightnessLike(value));
  return { ...target, shift };
}

export interface EffectRevision extends EffectMixture {
  /** Predicted dE00, root mean square over lights and angles. */
  readonly after: number;
}

/** Cost of changing a share, in dE00 per unit of its logarithm: keeps toners that do nothing from wandering. */
const RIDGE = 0.1;

/** The shares of the same toners that come nearest to the target; their sum stays, and so do the shares of those in `held`. */
export function reviseEffect(
  target: EffectTarget,
  toners: readonly EffectToner[],
  from: EffectMixture,
  held: ReadonlySet<number> = new Set(),
): EffectRevision {
  const matcher = new EffectMatcher(target, toners);
  const revised = matcher.refine(from, { held, ridge: RIDGE, rounds: 25 });
  return { ...revised, after: meanDifference(matcher.differences(revised)) };
}

export const effectGap = (target: EffectTarget, toners: readonly EffectToner[], mixture: EffectMixture): number =>
  meanDifference(new EffectMatcher(target, toners).differences(mixture));

/** What to add to a cup. */
export interface EffectAdditions {
  /** Weight to add of each member of the cup, in its unit. */
  readonly added: readonly number[];
  readonly total: number;
  readonly after: number;
  readonly reaches: boolean;
}

/** Adding more than this many cups is another batch, not a correction. */
const MOST_CUPS = 3;
const STEP = 1e-4;

/**
 * Smallest total to add to a cup so that it comes within `tolerance` (root mean square dE00). `weights` are what is in it, zero for
 * toners that may be added. The price of a unit of weight against dE00² is searched for at which the tolerance is just met.
 */
export function addToEffectCup(
  target: EffectTarget,
  toners: readonly EffectToner[],
  members: readonly number[],
  weights: readonly number[],
  tolerance: number,
): EffectAdditions {
  const matcher = new EffectMatcher(target, toners);
  const whole = weights.reduce((sum, weight) => sum + weight, 0);
  const mixed = (added: readonly number[]): EffectMixture => {
    const all = whole + added.reduce((sum, value) => sum + value, 0);
    return { members, shares: weights.map((weight, i) => (weight + added[i]!) / all) };
  };
  const gap = (added: readonly number[]) => meanDifference(matcher.differences(mixed(added)));
  const told = (added: readonly number[]): EffectAdditions => {
    const after = gap(added);
    return { added, total: added.reduce((sum, value) => sum + value, 0), after, reaches: after <= tolerance };
  };
  const none = weights.map(() => 0);
  if (gap(none) <= tolerance) return told(none);
  const at = (price: number, from: readonly number[]) => cheapest(matcher, mixed, whole, price, from);
  let low = Math.log(1e-6 / whole);
  let high = Math.log(1e5 / whole);
  let within = at(Math.exp(low), none);
  if (gap(within) > tolerance) return told(within);
  for (let i = 0; i < 18; i++) {
    const middle = (low + high) / 2;
    const tried = at(Math.exp(middle), within);
    if (gap(tried) <= tolerance) {
      low = middle;
      within = tried;
    } else high = middle;
  }
  return told(within);
}

/** Least squared difference + price x total added, every addition >= 0: Gauss-Newton with a non-negative solve inside. */
function cheapest(
  matcher: EffectMatcher,
  mixed: (added: readonly number[]) => EffectMixture,
  whole: number,
  price: number,
  from: readonly number[],
): readonly number[] {
  const n = from.length;
  const cost = (added: readonly number[]) => {
    const residual = matcher.residuals(mixed(added));
    return dot(residual, residual) + price * added.reduce((sum, value) => sum + value, 0);
  };
  let added = from;
  let value = cost(added);
  let lastDamping = 1e-2;
  for (let round = 0; round < 15; round++) {
    const residual = matcher.residuals(mixed(added));
    const step = STEP * whole;
    const columns = added.map((_, i) =>
      matcher
        .residuals(mixed(added.map((one, j) => one + (i === j ? step : 0))))
        .map((one, r) => (one - residual[r]!) / step),
    );
    const wanted = residual.map((one, r) => columns.reduce((sum, column, i) => sum + column[r]! * added[i]!, -one));
    const gram = new Float64Array(n * n);
    const pull = Float64Array.from(columns, (column) => dot(column, wanted) - price / 2);
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) gram[i * n + j] = dot(columns[i]!, columns[j]!);
    let moved = false;
    // far from the target the slopes mislead: a damped step stays where they hold (Levenberg-Marquardt, every part >= 0)
    for (let attempt = 0, damping = lastDamping / 10; attempt < 10 && !moved; attempt++, damping *= 10) {
      const next = damped(gram, pull, added, damping).map((one) => Math.min(one, MOST_CUPS * whole));
      const nextValue = cost(next);
      if (!(nextValue < value * (1 - 1e-6))) continue;
      added = next;
      value = nextValue;
      lastDamping = Math.max(damping, 1e-5);
      moved = true;
    }
    if (!moved) break;
  }
  return added;
}

function damped(gram: Float64Array, pull: Float64Array, from: readonly number[], damping: number): number[] {
  const n = from.length;
  const matrix = gram.slice();
  const right = pull.slice();
  for (let i = 0; i < n; i++) {
    const hold = damping * gram[i * n + i]!;
    matrix[i * n + i] = matrix[i * n + i]! + hold;
    right[i] = right[i]! + hold * from[i]!;
  }
  return Array.from(nonNegativeLeastSquares(matrix, right));
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
