/**
 * Learning K and S of all toners of a book from its cards.
 *
 * Per wavelength, Levenberg-Marquardt in ln K and ln S on (reading - prediction)/sigma with a weak prior by kind, from
 * a linear start. The logarithm keeps K and S positive and the normal equations well enough conditioned for Cholesky.
 * Opaque cards leave one free factor per wavelength over all K and S (the gauge): S of the white is 1. Films of known
 * thickness resolve it by one more unknown, the scattering of the white per unit of thickness.
 */
import { factorise, forwardSubstitute, inverseDiagonal, solve } from './cholesky.ts';
import {
  type CardNoise,
  defaultNoise,
  emptyRow,
  type FitCard,
  type Prior,
  predictCard,
  priors,
  type Unknowns,
  unknownsOf,
} from './fit-model.ts';
import { linearEstimate } from './fit-start.ts';
import type { TonerKind, TonerOptics } from './mixture.ts';

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

/** What the fit says of one card. Arrays hold one value per wavelength; NaN where there is no reading. */
export interface CardFit {
  readonly predicted: Float64Array;
  /** Standard deviation of a single reading of this card under the noise model. */
  readonly sigma: Float64Array;
  /** Share of the card's own reading in its prediction, 0..1. */
  readonly leverage: Float64Array;
  /** Predicted reflectance when the card itself is left out of the fit. */
  readonly leftOut: Float64Array;
  /** Number of toners in it, by which ladders and mixtures are told apart. */
  readonly toners: number;
}

/** What the fit says of one toner. */
export interface TonerFit extends TonerOptics {
  /** Cards that hold it. */
  readonly samples: number;
  /** Standard deviations of ln K and ln S. */
  readonly spreadK: Float64Array;
  readonly spreadS: Float64Array;
  /** Why predictions with this toner are not to be relied on; absent when they are. */
  readonly uncertain?: 'no card' | 'few cards' | 'scattering unknown';
}

export interface OpticsFit {
  readonly count: number;
  readonly toners: readonly TonerFit[];
  /** The toner whose S is 1. */
  readonly gauge: number;
  /** Scattering of the gauge toner per unit of thickness; absent while no card is a film of known thickness. */
  readonly scale?: Float64Array;
  readonly noise: CardNoise;
  /** Cholesky factor of the Hessian (J'J + prior) per wavelength, dense, row by row. */
  readonly factors: readonly Float64Array[];
  readonly cards: readonly CardFit[];
}

/** Plausible when no film is known: 8 per coat of 16 um, common practice. */
const plausibleScattering = 0.5;
const scaleSpread = 1.5;
/** Scattering of the gauge toner per unit of thickness at a wavelength. */
export function thicknessScale(fit: OpticsFit, w: number): number {
  return fit.scale?.[w] ?? plausibleScattering;
}

/** How far the fit may leave stated K and S, as a standard deviation of their logarithm. */
const statedSpread = 0.05;
const roundsAfterStart = 30;
/** Gain of the objective (a sum of squares in standard deviations) below which a round is the last one. */
const settledGain = 1e-7;
const settledGainLeftOut = 1e-3;
/** Leverage above which leaving a card out in closed form is too kind, and the fit is truly made again. */
const highLeverage = 0.5;

/** Fit all toners. Deterministic: the same input gives the same output. Errors: RangeError when there is no toner. */
export function fitToners(input: FitInput): OpticsFit {
  if (input.toners.length === 0) throw new RangeError('a fit needs at least one toner');
  const problem = problemOf(input);
  const solutions: Float64Array[] = [];
  for (let w = 0; w < problem.count; w++) {
    const x = startAt(problem, w);
    refine(problem, w, x, roundsAfterStart, settledGain);
    solutions.push(rounded(x));
  }
  return assess(problem, solutions);
}

/** Everything that the rounds need, worked out once. */
export interface FitProblem {
  readonly toners: readonly FitToner[];
  readonly cards: readonly FitCard[];
  readonly count: number;
  readonly noise: CardNoise;
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
  return { toners, cards, count, noise: input.noise ?? defaultNoise, gauge, unknowns, centres, spreads };
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

/** Logarithms of all unknowns at the start: the linear estimate where it says something, else the prior. */
function startAt(problem: FitProblem, w: number): Float64Array {
  const { toners, cards, gauge, unknowns, noise } = problem;
  const row = emptyRow(toners.length);
  const sigmaOf = (card: FitCard, at: number, K: Float64Array, S: Float64Array): number => {
    const floor = (values: Float64Array): Float64Array => values.map((value) => Math.max(value, 1e-5));
    predictCard(row, card, at, floor(K), floor(S), 1, unknowns, noise);
    return Math.sqrt(row.variance);
  };
  const linear = linearEstimate(cards, toners.length, gauge, w, 6, sigmaOf);
  const x = problem.centres[w]!.slice();
  toners.forEach((toner, i) => {
    if (toner.stated !== undefined) return;
    x[i] = startingLog(linear.K[i]!, x[i]!);
    const s = unknowns.S[i]!;
    if (s >= 0) x[s] = startingLog(linear.S[i]!, x[s]!);
  });
  return x;
}

/** A linear estimate of 0, or one far from every paint, only says 'small' or 'large'. */
function startingLog(value: number, priorLog: number): number {
  return Math.min(Math.max(Math.log(Math.max(value, 1e-9)), priorLog - 4), priorLog + 6);
}

/** Buffers of one wavelength's rounds. */
interface Normal {
  readonly hessian: Float64Array;
  readonly gradient: Float64Array;
  /** Held variances of the readings. */
  readonly variance: Float64Array;
  objective: number;
}

function unfold(problem: FitProblem, x: Float64Array): { K: Float64Array; S: Float64Array; scale: number } {
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

/** J'J + prior, J'r and the objective at x, with the variances taken there. `without` leaves one card out. */
function normalEquations(problem: FitProblem, w: number, x: Float64Array, without: number): Normal {
  const { cards, unknowns, noise, toners } = problem;
  const n = unknowns.count;
  const hessian = new Float64Array(n * n);
  const gradient = new Float64Array(n);
  const variance = new Float64Array(cards.length);
  const row = emptyRow(toners.length);
  const { K, S, scale } = unfold(problem, x);
  let objective = 0;
  cards.forEach((card, c) => {
    const measured = card.reflectance[w]!;
    if (c === without || !Number.isFinite(measured)) return;
    predictCard(row, card, w, K, S, scale, unknowns, noise);
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
  const { cards, unknowns, noise, toners } = problem;
  const row = emptyRow(toners.length);
  const { K, S, scale } = unfold(problem, x);
  let objective = 0;
  cards.forEach((card, c) => {
    const measured = card.reflectance[w]!;
    if (c === without || !Number.isFinite(measured)) return;
    predictCard(row, card, w, K, S, scale, unknowns, noise);
    objective += (measured - row.predicted) ** 2 / held[c]!;
  });
  for (let u = 0; u < unknowns.count; u++) {
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

/** Logarithms whose exponentials have 9 significant digits: what is written down predicts what was computed. */
function rounded(x: Float64Array): Float64Array {
  return x.map((value) => Math.log(Number(Math.exp(value).toPrecision(9))));
}

/** Work out everything that follows from K and S: spreads, residuals, leverages, cards left out. */
export function assess(problem: FitProblem, solutions: readonly Float64Array[]): OpticsFit {
  const { cards, count, toners, unknowns } = problem;
  const n = unknowns.count;
  const perCard = cards.map((card) => ({
    predicted: new Float64Array(count).fill(Number.NaN),
    sigma: new Float64Array(count).fill(Number.NaN),
    leverage: new Float64Array(count).fill(Number.NaN),
    leftOut: new Float64Array(count).fill(Number.NaN),
    toners: card.components.filter(({ share }) => share > 0).length,
  }));
  const spreads: Float64Array[] = [];
  const factors: Float64Array[] = [];
  solutions.forEach((x, w) => {
    const { hessian } = normalEquations(problem, w, x, -1);
    if (!factorise(hessian, n))
      throw new RangeError('the fit has no finite curvature: check the cards for wild readings');
    factors.push(hessian);
    spreads.push(inverseDiagonal(hessian, n).map(Math.sqrt));
    assessCards(problem, w, x, hessian, perCard);
  });
  const scale = unknowns.scale < 0 ? undefined : Float64Array.from(solutions, (x) => Math.exp(x[unknowns.scale]!));
  const fitted = toners.map((toner, i) => tonerFit(problem, toner, i, solutions, spreads));
  return {
    count,
    toners: fitted,
    gauge: problem.gauge,
    ...(scale === undefined ? {} : { scale }),
    noise: problem.noise,
    factors,
    cards: perCard,
  };
}

function assessCards(
  problem: FitProblem,
  w: number,
  x: Float64Array,
  factor: Float64Array,
  perCard: readonly CardFit[],
): void {
  const { cards, unknowns, noise, toners } = problem;
  const n = unknowns.count;
  const row = emptyRow(toners.length);
  const dense = new Float64Array(n);
  const { K, S, scale } = unfold(problem, x);
  cards.forEach((card, c) => {
    const measured = card.reflectance[w]!;
    if (!Number.isFinite(measured)) return;
    const result = perCard[c]!;
    predictCard(row, card, w, K, S, scale, unknowns, noise);
    const own = rowVariance(factor, n, row.index, row.slope, row.length, dense);
    const leverage = Math.min(own / row.variance, 1 - 1e-9);
    result.predicted[w] = row.predicted;
    result.sigma[w] = Math.sqrt(row.variance);
    result.leverage[w] = leverage;
    const leftOut = measured - (measured - row.predicted) / (1 - leverage);
    result.leftOut[w] = leverage > highLeverage ? predictedWithout(problem, w, x, c, factor, leftOut) : leftOut;
  });
}

/** The fit made again without card `c`, from where one Gauss-Newton step without it would lead. */
function predictedWithout(
  problem: FitProblem,
  w: number,
  x: Float64Array,
  c: number,
  factor: Float64Array,
  leftOut: number,
): number {
  const row = emptyRow(problem.toners.length);
  const predict = (at: Float64Array): void => {
    const { K, S, scale } = unfold(problem, at);
    predictCard(row, problem.cards[c]!, w, K, S, scale, problem.unknowns, problem.noise);
  };
  predict(x);
  const step = new Float64Array(x.length);
  const pull = (leftOut - problem.cards[c]!.reflectance[w]!) / row.variance;
  for (let a = 0; a < row.length; a++) step[row.index[a]!] = step[row.index[a]!]! + row.slope[a]! * pull;
  solve(factor, x.length, step);
  const y = x.map((value, u) => value + Math.min(Math.max(step[u]!, -1), 1));
  refine(problem, w, y, 5, settledGainLeftOut, c);
  predict(y);
  return row.predicted;
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

function tonerFit(
  problem: FitProblem,
  toner: FitToner,
  i: number,
  solutions: readonly Float64Array[],
  spreads: readonly Float64Array[],
): TonerFit {
  const s = problem.unknowns.S[i]!;
  const K = Float64Array.from(solutions, (x) => Math.exp(x[i]!));
  const S = Float64Array.from(solutions, (x) => (s < 0 ? 1 : Math.exp(x[s]!)));
  const spreadK = Float64Array.from(spreads, (sd) => sd[i]!);
  const spreadS = Float64Array.from(spreads, (sd) => (s < 0 ? 0 : sd[s]!));
  const holding = problem.cards.filter((card) => card.components.some((part) => part.toner === i && part.share > 0));
  const uncertain = uncertainty(problem, toner, i, holding, S, spreadS);
  return {
    code: toner.code,
    kind: toner.kind,
    K,
    S,
    samples: holding.length,
    spreadK,
    spreadS,
    ...(uncertain === undefined ? {} : { uncertain }),
  };
}

/** S above this share of a card's expected scattering matters to its colour. */
const scatteringThatMatters = 0.05;
const fewCards = 3;
const wideSpread = 0.5;

function uncertainty(
  problem: FitProblem,
  toner: FitToner,
  i: number,
  holding: readonly FitCard[],
  S: Float64Array,
  spreadS: Float64Array,
): TonerFit['uncertain'] {
  if (toner.stated !== undefined) return undefined;
  if (holding.length === 0) return 'no card';
  // A binder only thins: its K and S stay at the prior whatever the cards, and that does no harm.
  if (toner.kind === 'binder') return undefined;
  if (holding.length < fewCards) return 'few cards';
  const middle = median(spreadS);
  const largestShare = Math.max(
    ...holding.flatMap((card) => card.components.map((p) => (p.toner === i ? p.share : 0))),
  );
  const scatters = (largestShare * median(S) * Math.exp(middle)) / priorScattering(problem, holding);
  return middle > wideSpread && scatters > scatteringThatMatters ? 'scattering unknown' : undefined;
}

/** Typical scattering of the cards, as far as the kinds of their toners tell. */
function priorScattering(problem: FitProblem, cards: readonly FitCard[]): number {
  const each = cards.map((card) =>
    card.components.reduce((sum, { toner, share }) => sum + share * priors[problem.toners[toner]!.kind].S, 1e-4),
  );
  return median(Float64Array.from(each));
}

function median(values: Float64Array): number {
  const sorted = values.slice().sort();
  return sorted[Math.floor(sorted.length / 2)] ?? 0;
}
