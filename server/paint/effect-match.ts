/**
 * How far a mixture of effect toners is from a wanted colour at every angle, and the shares that bring it nearest.
 *
 * Levenberg-Marquardt in the logarithms of the shares, with slopes from small differences. It is our own because the model is no
 * function that a solver library takes: a general least-squares solver would spend one run of the model per unknown
 * all the same, and know neither the fixed sum of the shares nor the metric that makes a residual a dE00.
 */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { Lab } from '../colour/lab.ts';
import type { TristimulusWeights } from '../colour/weights.ts';
import { factorise, solve } from './cholesky.ts';
import { type CoatedFilm, coatedReflectance, type EffectLayer } from './effect-coats.ts';
import { labsOfAngles } from './effect-colour.ts';
import { lightnessLike } from './effect-fit.ts';
import type { EffectModel, EffectToner } from './effect-model.ts';
import { differenceMetric, metricFactor } from './light.ts';

/** What is wanted, at the angles of the model. */
export interface EffectTarget {
  readonly model: EffectModel;
  readonly lights: readonly TristimulusWeights[];
  /** Per light the colour wanted at each angle. */
  readonly labs: readonly (readonly Lab[])[];
  /** Angle-major; absent for a reading that is Lab only. */
  readonly reflectance?: Float64Array;
  /** Film thickness and what is below it, as for a film of the model. */
  readonly thickness: number;
  readonly undercoat: ArrayLike<number>;
  /** Coats between the mixture and the undercoat, and over the mixture, each from the uppermost down. */
  readonly below?: readonly EffectLayer[];
  readonly above?: readonly EffectLayer[];
  /** What a card showed beyond the model, on the scale of lightnessLike, angle-major; added to every prediction. */
  readonly shift?: Float64Array;
}

/** Toners of a mixture by place in a list, with their shares of the dry coat. */
export interface EffectMixture {
  readonly members: readonly number[];
  readonly shares: readonly number[];
}

const DARK = lightnessLike(0);

/** Reflectance of a mixture with what the card showed beyond the model. */
export function matchedReflectance(
  target: EffectTarget,
  toners: readonly EffectToner[],
  { members, shares }: EffectMixture,
): Float64Array {
  const coat = { thickness: target.thickness, toners: members.map((m) => toners[m]!), shares };
  const plain = coatedReflectance(target.model, asSeen(target, coat));
  const { shift } = target;
  if (!shift) return plain;
  return plain.map((value, at) => reflectanceOf(lightnessLike(value) + shift[at]!));
}

/** A coat with the coats over and below it that a target has. */
export function asSeen(target: Pick<EffectTarget, 'undercoat' | 'below' | 'above'>, coat: EffectLayer): CoatedFilm {
  const { undercoat, below = [], above = [] } = target;
  const [top, ...rest] = [...above, coat, ...below];
  return { ...top!, undercoat, below: rest };
}

/** The reflectance of a value on the scale of lightnessLike. */
const reflectanceOf = (value: number): number => {
  const dark = (DARK / 116) ** 3;
  return Math.max((Math.max(value, 0) / 116) ** 3 - dark, 0);
};

/** dE00 per light and angle. */
export function effectDifferences(target: EffectTarget, reflectance: Float64Array): number[][] {
  return target.lights.map((weights, l) =>
    labsOfAngles(reflectance, weights).map((lab, a) => deltaE00(target.labs[l]![a]!, lab)),
  );
}

/** Weight of a spectral difference of one L* against one dE00: only to choose between mixtures of the same colour. */
const SPECTRAL = 0.05;

/** A target with the metric of each wanted colour, worked out once. */
export class EffectMatcher {
  readonly target: EffectTarget;
  readonly toners: readonly EffectToner[];
  readonly #factors: readonly (readonly Float64Array[])[];

  constructor(target: EffectTarget, toners: readonly EffectToner[]) {
    this.target = target;
    this.toners = toners;
    this.#factors = target.labs.map((labs) => labs.map((lab) => metricFactor(differenceMetric(lab))));
  }

  /** Weighted differences whose squares sum to the mean squared dE00 (for small ones) and a little of the spectra's. */
  residuals(mixture: EffectMixture): Float64Array {
    const reflectance = matchedReflectance(this.target, this.toners, mixture);
    const { lights, labs, model } = this.target;
    const angles = model.geometries.length;
    const spectral = this.target.reflectance;
    const out = new Float64Array(3 * lights.length * angles + (spectral?.length ?? 0));
    const scale = 1 / Math.sqrt(lights.length * angles);
    let at = 0;
    lights.forEach((weights, l) => {
      labsOfAngles(reflectance, weights).forEach((lab, a) => {
        const factor = this.#factors[l]![a]!;
        const wanted = labs[l]![a]!;
        for (let c = 0; c < 3; c++) {
          let sum = 0;
          for (let k = c; k < 3; k++) sum += factor[3 * k + c]! * (lab[k]! - wanted[k]!);
          out[at++] = scale * sum;
        }
      });
    });
    if (!spectral) return out;
    const weight = SPECTRAL / Math.sqrt(spectral.length);
    for (let i = 0; i < spectral.length; i++)
      out[at++] = weight * (lightnessLike(reflectance[i]!) - lightnessLike(spectral[i]!));
    return out;
  }

  /** dE00 per light and angle of a mixture. */
  differences(mixture: EffectMixture): number[][] {
    return effectDifferences(this.target, matchedReflectance(this.target, this.toners, mixture));
  }

  /**
   * The shares nearest to the target, from where they are; their sum stays. Members of `held` keep their share. `ridge` is the
   * cost of leaving the start, in dE00 per unit of the logarithm.
   */
  refine(from: EffectMixture, options: RefineOptions = {}): EffectMixture {
    const { held = new Set<number>(), most, ridge = 1e-3, rounds = 12 } = options;
    const free = from.members.map((_, i) => i).filter((i) => !held.has(from.members[i]!));
    const room = free.reduce((sum, i) => sum + from.shares[i]!, 0);
    const start = free.map((i) => Math.log(Math.max(from.shares[i]!, 1e-6)));
    const mixtureOf = (x: readonly number[]): EffectMixture => {
      const shares = [...from.shares];
      const wanted = x.map(Math.exp);
      const limits = free.map((i) => most?.get(from.members[i]!) ?? 1);
      shareOut(wanted, limits, room).forEach((share, n) => {
        shares[free[n]!] = share;
      });
      return { members: from.members, shares };
    };
    let x: readonly number[] = start;
    let residual = this.residuals(mixtureOf(x));
    let value = cost(residual, x, start, ridge);
    let damping = 1e-2;
    for (let round = 0; round < rounds; round++) {
      const jacobian = x.map((_, i) => {
        const moved = x.map((log, j) => log + (i === j ? STEP : 0));
        return this.residuals(mixtureOf(moved)).map((one, r) => (one - residual[r]!) / STEP);
      });
      let gain = 0;
      for (let attempt = 0; attempt < 6 && gain === 0; attempt++) {
        const next = stepped(x, start, jacobian, residual, ridge, damping);
        const nextResidual = this.residuals(mixtureOf(next));
        const nextValue = cost(nextResidual, next, start, ridge);
        if (nextValue < value) {
          gain = value - nextValue;
          x = next;
          residual = nextResidual;
          value = nextValue;
          damping = Math.max(damping / 8, 1e-8);
        } else damping *= 8;
      }
      if (gain < SETTLED * (1 + value)) break;
    }
    return mixtureOf(x);
  }
}

const STEP = 1e-3;
const SETTLED = 1e-5;

export interface RefineOptions {
  readonly held?: ReadonlySet<number>;
  /** Largest share of the dry coat per toner. */
  readonly most?: ReadonlyMap<number, number>;
  readonly ridge?: number;
  readonly rounds?: number;
}

/** Scales shares to a sum, none above its limit; what a limit cuts off goes to the others. */
function shareOut(wanted: readonly number[], limits: readonly number[], room: number): number[] {
  const shares = wanted.map(() => 0);
  const open = new Set(wanted.keys());
  let left = room;
  while (open.size > 0) {
    const sum = [...open].reduce((total, i) => total + wanted[i]!, 0);
    const over = [...open].filter((i) => (left * wanted[i]!) / sum > limits[i]!);
    for (const i of over.length > 0 ? over : open) shares[i] = over.length > 0 ? limits[i]! : (left * wanted[i]!) / sum;
    if (over.length === 0) break;
    for (const i of over) {
      open.delete(i);
      left -= limits[i]!;
    }
  }
  return shares;
}

function cost(residual: Float64Array, x: readonly number[], start: readonly number[], ridge: number): number {
  let sum = 0;
  for (const value of residual) sum += value * value;
  x.forEach((log, i) => {
    sum += (ridge * (log - start[i]!)) ** 2;
  });
  return sum;
}

function stepped(
  x: readonly number[],
  start: readonly number[],
  jacobian: readonly Float64Array[],
  residual: Float64Array,
  ridge: number,
  damping: number,
): number[] {
  const n = x.length;
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) matrix[i * n + j] = dot(jacobian[i]!, jacobian[j]!);
    matrix[i * n + i] = matrix[i * n + i]! * (1 + damping) + ridge * ridge + 1e-9;
    right[i] = -dot(jacobian[i]!, residual) - ridge * ridge * (x[i]! - start[i]!);
  }
  if (!factorise(matrix, n)) return [...x];
  solve(matrix, n, right);
  return x.map((log, i) => log + Math.min(Math.max(right[i]!, -1.5), 1.5));
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

/** Root of the mean squared dE00 over lights and angles. */
export function meanDifference(differences: readonly (readonly number[])[]): number {
  const all = differences.flat();
  return Math.sqrt(all.reduce((sum, value) => sum + value * value, 0) / Math.max(all.length, 1));
}
