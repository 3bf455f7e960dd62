/**
 * Learning K and S of all toners of a book from its cards.
 *
 * Per wavelength, Levenberg-Marquardt in ln K and ln S on (reading - prediction)/sigma with a weak prior by kind, from
 * a linear start. The logarithm keeps K and S positive and the normal equations well enough conditioned for Cholesky.
 * Opaque cards leave one free factor per wavelength over all K and S (the gauge): S of the white is 1. Films of known
 * thickness resolve it by one more unknown, the scattering of the white per unit of thickness.
 */
import { factorise, inverseDiagonal, solve } from './cholesky.ts';
import { tellsOfTheModel, withDeparture } from './fit-departure.ts';
import {
  type FitInput,
  type FitProblem,
  type FitToner,
  normalEquations,
  plausibleScattering,
  problemOf,
  refine,
  rowVariance,
  unfold,
} from './fit-equations.ts';
import { type CardNoise, emptyRow, type FitCard, predictCard, priors } from './fit-model.ts';
import { linearEstimate } from './fit-start.ts';
import type { TonerOptics } from './mixture.ts';
import type { ReadingConstants, Surface } from './surface.ts';

/** What the fit says of one card. Arrays hold one value per wavelength; NaN where there is no reading. */
export interface CardFit {
  readonly predicted: Float64Array;
  /** Standard deviation of a single reading of this card under the noise model. */
  readonly sigma: Float64Array;
  /** Share of the card's own reading in its prediction, 0..1. */
  readonly leverage: Float64Array;
  /** Predicted reflectance when the card itself is left out of the fit. */
  readonly leftOut: Float64Array;
  /** Number of toners in it besides binder, which only thins: by it ladders and mixtures are told apart. */
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
  readonly uncertain?: 'no card' | 'few cards' | 'scattering unknown' | 'tint unknown';
}

export interface OpticsFit {
  readonly count: number;
  readonly toners: readonly TonerFit[];
  /** The toner whose S is 1. */
  readonly gauge: number;
  /** Scattering of the gauge toner per unit of thickness; absent while no card is a film of known thickness. */
  readonly scale?: Float64Array;
  readonly noise: CardNoise;
  /** How readings of this paint depart from two fluxes. */
  readonly reading: ReadingConstants;
  /** Cholesky factor of the Hessian (J'J + prior) per wavelength, dense, row by row. */
  readonly factors: readonly Float64Array[];
  readonly cards: readonly CardFit[];
}

/** Scattering of the gauge toner per unit of thickness at a wavelength. */
export function thicknessScale(fit: OpticsFit, w: number): number {
  return fit.scale?.[w] ?? plausibleScattering;
}

/** A surface as this fit reads paint through it. */
export const readBy = ({ reading }: Pick<OpticsFit, 'reading'>, surface: Surface): Surface => ({
  ...surface,
  ...reading,
});

const roundsAfterStart = 30;
/** How often the departure from two fluxes is looked at again, K and S being refined in between. */
const roundsOfTheModel = 12;
/** Gain of the objective (a sum of squares in standard deviations) below which a round is the last one. */
const settledGain = 1e-7;
const settledGainLeftOut = 1e-3;
const settledGainRough = 1e-2;
/** Leverage above which leaving a card out in closed form is too kind, and the fit is truly made again. */
const highLeverage = 0.5;

/** Fit all toners. Deterministic: the same input gives the same output. Errors: RangeError when there is no toner. */
export function fitToners(input: FitInput): OpticsFit {
  if (input.toners.length === 0) throw new RangeError('a fit needs at least one toner');
  const start = problemOf(input);
  const solutions = Array.from({ length: start.count }, (_, w) => startAt(start, w));
  const problem = tellsOfTheModel(start) ? departed(start, solutions) : start;
  for (const [w, x] of solutions.entries()) refine(problem, w, x, roundsAfterStart, settledGain);
  return assess(problem, solutions.map(rounded));
}

/** The problem with what the cards tell of the model; the solutions follow it, roughly. */
function departed(start: FitProblem, solutions: readonly Float64Array[]): FitProblem {
  let problem = start;
  for (let round = 0; round < roundsOfTheModel; round++) {
    for (const [w, x] of solutions.entries()) refine(problem, w, x, roundsAfterStart, settledGainRough);
    const next = withDeparture(problem, solutions);
    if (next === problem) return problem;
    problem = next;
  }
  return problem;
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
    toners: card.components.filter(({ toner, share }) => share > 0 && toners[toner]!.kind !== 'binder').length,
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
    reading: problem.reading,
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
