/**
 * The equations that a fit of K and S solves: cards and priors as normal equations per wavelength, in the logarithms of the
 * unknowns, and the Levenberg-Marquardt rounds that solve them.
 */
import { factorise, forwardSubstitute, solve } from './cholesky.ts';
import {
  type CardNoise,
  type CardRow,
  defaultNoise,
  emptyRow,
  type FitCard,
  type Prior,
  predictCard,
  priors,
  type Unknowns,
  unknownsOf,
} from './fit-model.ts';
import type { TonerKind } from './mixture.ts';
import { plainReading, type ReadingConstants } from './surface.ts';

/** A toner to be learned. */
export interface FitToner {
  readonly code: string;
  readonly kind: TonerKind;
  /** K and S stated in the book, relative to S = 1 of the white: the fit then stays near them. */
  readonly stated?: { readonly K: Float64Array; readonly S: Float64Array };
  /** Instead of the prior of its kind. */
  readonly prior?: Prior;
}

export interface FitInput {
  readonly toners: readonly FitToner[];
  readonly cards: readonly FitCard[];
  /** Number of wavelengths. */
  readonly count: number;
  readonly noise?: CardNoise;
  /** Scattering of the white per unit of thickness that is expected, e.g. per um; decides only what no film shows. */
  readonly expectedScattering?: number;
}

/** Plausible when no film is known: 8 per coat of 16 um, common practice. */
export const plausibleScattering = 0.5;
const scaleSpread = 1.5;

/** How far the fit may leave stated K and S, as a standard deviation of their logarithm. */
const statedSpread = 0.05;

/** Everything that the rounds need, worked out once. */
export interface FitProblem {
  readonly toners: readonly FitToner[];
  readonly cards: readonly FitCard[];
  readonly count: number;
  readonly noise: CardNoise;
  /** Those of the cards' surfaces. */
  readonly reading: ReadingConstants;
  readonly gauge: number;
  readonly unknowns: Unknowns;
  /** Prior of the logarithms of the unknowns, per wavelength. */
  readonly centres: readonly Float64Array[];
  readonly spreads: readonly Float64Array[];
}

export function problemOf(input: FitInput): FitProblem {
  const gauge = gaugeToner(input.toners, input.cards);
  const films = input.cards.some((card) => card.film !== undefined);
  const unknowns = unknownsOf(input.toners.length, gauge, films);
  const centres = Array.from({ length: input.count }, () => new Float64Array(unknowns.count));
  const spreads = Array.from({ length: input.count }, () => new Float64Array(unknowns.count));
  for (let w = 0; w < input.count; w++) {
    const unit = input.toners[gauge]!.stated?.S[w] ?? 1;
    input.toners.forEach((toner, i) => {
      const prior = priorOf(toner, w, unit);
      centres[w]![i] = Math.log(prior.K);
      spreads[w]![i] = prior.spreadK;
      const s = unknowns.S[i]!;
      if (s < 0) return;
      centres[w]![s] = Math.log(prior.S);
      spreads[w]![s] = prior.spreadS;
    });
    if (unknowns.scale < 0) continue;
    centres[w]![unknowns.scale] = Math.log(input.expectedScattering ?? plausibleScattering);
    spreads[w]![unknowns.scale] = scaleSpread;
  }
  const { toners, cards, count } = input;
  const noise = input.noise ?? defaultNoise;
  return { toners, cards, count, noise, reading: plainReading, gauge, unknowns, centres, spreads };
}

/** Stated K and S are relative to some white of their own: `unit` is the stated S of the gauge toner. */
function priorOf(toner: FitToner, w: number, unit: number): Prior {
  if (toner.stated === undefined) return toner.prior ?? priors[toner.kind];
  return {
    K: Math.max(toner.stated.K[w]! / unit, 1e-7),
    S: Math.max(toner.stated.S[w]! / unit, 1e-7),
    spreadK: statedSpread,
    spreadS: statedSpread,
  };
}

/** The most used white; in a book without white the toner that scatters most on the cards, as far as is known before. */
export function gaugeToner(toners: readonly FitToner[], cards: readonly FitCard[]): number {
  const used = new Float64Array(toners.length);
  for (const card of cards) {
    for (const { toner, share } of card.components) used[toner] = used[toner]! + share;
  }
  let best = 0;
  let bestScore = -1;
  toners.forEach((toner, i) => {
    const score = (used[i]! + 1e-9) * priors[toner.kind].S * (toner.kind === 'white' ? 1e9 : 1);
    if (score > bestScore) {
      best = i;
      bestScore = score;
    }
  });
  return best;
}

/** Buffers of one wavelength's rounds. */
interface Normal {
  readonly hessian: Float64Array;
  readonly gradient: Float64Array;
  /** Held variances of the readings. */
  readonly variance: Float64Array;
  objective: number;
}

export function unfold(problem: FitProblem, x: Float64Array): { K: Float64Array; S: Float64Array; scale: number } {
  const { unknowns, toners } = problem;
  const K = new Float64Array(toners.length);
  const S = new Float64Array(toners.length);
  for (let i = 0; i < toners.length; i++) {
    K[i] = Math.exp(x[i]!);
    const s = unknowns.S[i]!;
    S[i] = s < 0 ? 1 : Math.exp(x[s]!);
  }
  return { K, S, scale: unknowns.scale < 0 ? 1 : Math.exp(x[unknowns.scale]!) };
}

/** Every reading of the wavelength with its prediction at x; the row holds until the next. `without` leaves one card out. */
export function eachReading(
  problem: FitProblem,
  w: number,
  x: Float64Array,
  without: number,
  take: (row: CardRow, measured: number, card: number) => void,
): void {
  const { cards, unknowns, noise, toners } = problem;
  const row = emptyRow(toners.length);
  const { K, S, scale } = unfold(problem, x);
  cards.forEach((card, c) => {
    const measured = card.reflectance[w]!;
    if (c === without || !Number.isFinite(measured)) return;
    predictCard(row, card, w, K, S, scale, unknowns, noise);
    take(row, measured, c);
  });
}

/** J'J + prior, J'r and the objective at x, with the variances taken there. `without` leaves one card out. */
export function normalEquations(problem: FitProblem, w: number, x: Float64Array, without: number): Normal {
  const n = problem.unknowns.count;
  const hessian = new Float64Array(n * n);
  const gradient = new Float64Array(n);
  const variance = new Float64Array(problem.cards.length);
  let objective = 0;
  eachReading(problem, w, x, without, (row, measured, c) => {
    variance[c] = row.variance;
    const residual = measured - row.predicted;
    objective += (residual * residual) / row.variance;
    for (let a = 0; a < row.length; a++) {
      const i = row.index[a]!;
      const weighted = row.slope[a]! / row.variance;
      gradient[i] = gradient[i]! + weighted * residual;
      for (let b = 0; b <= a; b++) {
        const j = row.index[b]!;
        const at = i > j ? i * n + j : j * n + i;
        hessian[at] = hessian[at]! + weighted * row.slope[b]!;
      }
    }
  });
  for (let u = 0; u < n; u++) {
    const sd = problem.spreads[w]![u]!;
    const off = (problem.centres[w]![u]! - x[u]!) / sd;
    objective += off * off;
    gradient[u] = gradient[u]! + off / sd;
    hessian[u * n + u] = hessian[u * n + u]! + 1 / (sd * sd);
  }
  return { hessian, gradient, variance, objective };
}

function objectiveAt(problem: FitProblem, w: number, x: Float64Array, held: Float64Array, without: number): number {
  let objective = 0;
  eachReading(problem, w, x, without, (row, measured, c) => {
    objective += (measured - row.predicted) ** 2 / held[c]!;
  });
  for (let u = 0; u < problem.unknowns.count; u++) {
    objective += ((problem.centres[w]![u]! - x[u]!) / problem.spreads[w]![u]!) ** 2;
  }
  return objective;
}

/**
 * Levenberg-Marquardt in place. The variances are renewed at every round but held inside it: were they free, the fit
 * would lower its objective by making the readings look noisy.
 */
export function refine(
  problem: FitProblem,
  w: number,
  x: Float64Array,
  rounds: number,
  settled: number,
  without = -1,
): void {
  const n = x.length;
  let damping = 1e-3;
  for (let round = 0; round < rounds; round++) {
    const normal = normalEquations(problem, w, x, without);
    let gain = 0;
    for (let attempt = 0; attempt < 10 && gain === 0; attempt++) {
      const step = dampedStep(normal, n, damping);
      const next = x.map((value, u) => value + step[u]!);
      const better = normal.objective - objectiveAt(problem, w, next, normal.variance, without);
      if (better > 0) {
        gain = better;
        x.set(next);
        damping = Math.max(damping / 10, 1e-12);
      } else {
        damping *= 10;
      }
    }
    if (gain < settled) return;
  }
}

function dampedStep(normal: Normal, n: number, damping: number): Float64Array {
  const matrix = normal.hessian.slice();
  for (let u = 0; u < n; u++) matrix[u * n + u] = matrix[u * n + u]! * (1 + damping);
  const step = normal.gradient.slice();
  if (!factorise(matrix, n)) return step.fill(0);
  solve(matrix, n, step);
  return step.map((value) => Math.min(Math.max(value, -1), 1));
}

/** j' H⁻¹ j for a sparse row j; `dense` is a buffer of length n. */
export function rowVariance(
  factor: Float64Array,
  n: number,
  index: Int32Array,
  slope: Float64Array,
  length: number,
  dense: Float64Array,
): number {
  dense.fill(0);
  for (let a = 0; a < length; a++) dense[index[a]!] = dense[index[a]!]! + slope[a]!;
  forwardSubstitute(factor, n, dense);
  let sum = 0;
  for (let u = 0; u < n; u++) sum += dense[u]! * dense[u]!;
  return sum;
}
