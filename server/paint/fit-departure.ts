/**
 * How a book's paint departs from two fluxes, learned from what the fit of K and S leaves over.
 *
 * Two numbers for all cards and wavelengths: the directional constant of the readings (see surface.ts), and the misfit that
 * still remains, as a relative error of K/S. The misfit is what makes the ± wide where it is wide: it stands beside the
 * noise of the instrument, which repeats tell and no misfit makes larger, as in a black.
 */
import { factorise, solve } from './cholesky.ts';
import { type FitProblem, normalEquations, rowVariance, unfold } from './fit-equations.ts';
import { emptyRow, type FitCard, predictCard } from './fit-model.ts';

/** Below so many cards of two toners or more, binder not counted, nothing is learned of the model: a masstone fits whatever it is. */
const tellingCards = 10;

/** Where K and S are stated, they are those of two fluxes; and cards whose noise is told for each speak for themselves. */
export function tellsOfTheModel({ toners, cards }: FitProblem): boolean {
  const coloured = ({ components }: FitCard): number =>
    components.filter(({ toner, share }) => share > 0 && toners[toner]!.kind !== 'binder').length;
  return (
    cards.filter((card) => coloured(card) >= 2).length >= tellingCards &&
    toners.every(({ stated }) => stated === undefined) &&
    cards.every(({ sigma }) => sigma === undefined)
  );
}

const settledMisfit = 0.05;
const settledDirectional = 0.003;

/**
 * The problem with misfit and directional constant as the solutions ask for them; the same problem when they ask for nothing
 * new. Solutions: logarithms of the unknowns per wavelength, at their optimum.
 */
export function withDeparture(problem: FitProblem, solutions: readonly Float64Array[]): FitProblem {
  const misfit = misfitOf(problem, solutions);
  const step = directionalStep(problem, solutions);
  const settled =
    Math.abs(misfit - problem.noise.misfit) <= settledMisfit * misfit && Math.abs(step) < settledDirectional;
  if (settled) return problem;
  const directional = Number((problem.directional * Math.exp(step)).toPrecision(5));
  return {
    ...problem,
    noise: { ...problem.noise, misfit },
    directional,
    cards: problem.cards.map((card) => ({ ...card, surface: { ...card.surface, directional } })),
  };
}

/** One reading of the fit. */
interface Remainder {
  readonly square: number;
  /** Variance without misfit, and what a misfit of 1 would add. */
  readonly rest: number;
  readonly byMisfit: number;
  /** What the reading does not give away to its own prediction, 0..1. */
  readonly free: number;
}

/** Beyond three standard deviations a remainder counts no more: a wild card is no misfit of all (P. J. Huber 1964, proposal 2). */
const wildest = 3;
/** Mean of the squares of normal errors that are cut there. */
const meanOfCut = 0.995;
const largestMisfit = 0.5;

/**
 * Restricted maximum likelihood of one variance component: the misfit at which the squared remainders are what their variances
 * and leverages say, each counted by how much of its variance is misfit.
 */
function misfitOf(problem: FitProblem, solutions: readonly Float64Array[]): number {
  const seen = solutions.flatMap((x, w) => remainders(problem, w, x));
  const excess = (misfit: number): number =>
    seen.reduce((sum, { square, rest, byMisfit, free }) => {
      const variance = rest + misfit * misfit * byMisfit;
      return sum + (byMisfit / variance) * (Math.min(square / variance, wildest ** 2 * free) / meanOfCut - free);
    }, 0);
  if (excess(0) <= 0) return 0;
  let [low, high] = [0, largestMisfit];
  for (let round = 0; round < 30; round++) {
    const middle = (low + high) / 2;
    if (excess(middle) > 0) low = middle;
    else high = middle;
  }
  return Number(low.toPrecision(4));
}

function remainders(problem: FitProblem, w: number, x: Float64Array): Remainder[] {
  const { cards, unknowns, noise, toners } = problem;
  const { hessian } = normalEquations(problem, w, x, -1);
  if (!factorise(hessian, unknowns.count)) return [];
  const row = emptyRow(toners.length);
  const dense = new Float64Array(unknowns.count);
  const { K, S, scale } = unfold(problem, x);
  return cards.flatMap((card): Remainder[] => {
    const measured = card.reflectance[w]!;
    if (!Number.isFinite(measured)) return [];
    predictCard(row, card, w, K, S, scale, unknowns, noise);
    const own = rowVariance(hessian, unknowns.count, row.index, row.slope, row.length, dense);
    const byMisfit = row.byLnK * row.byLnK;
    return [
      {
        square: (measured - row.predicted) ** 2,
        rest: row.variance - noise.misfit ** 2 * byMisfit,
        byMisfit,
        free: 1 - Math.min(own / row.variance, 1),
      },
    ];
  });
}

const longestStep = 0.3;
/** The errors of a card hang together over wavelength (spraying moves all of them): a card counts once, not 31 times. */
const independentOfCard = 1;
/** Within so many standard errors of 1 the constant stays 1: few cards say nothing of it. */
const noticeable = 2;
/** Relative change by which derivatives are taken. */
const nudge = 1e-4;

/**
 * Gauss-Newton step of ln(directional constant) with K and S following along: at their optimum they take up of a change what
 * the normal equations let them. What the cards want is believed by the non-negative garrote (L. Breiman 1995): nothing up to
 * the threshold, all of it far beyond, and no jump between.
 */
function directionalStep(problem: FitProblem, solutions: readonly Float64Array[]): number {
  let curvature = 0;
  let slope = 0;
  solutions.forEach((x, w) => {
    const found = profileOf(problem, w, x);
    curvature += found.curvature;
    slope += found.slope;
  });
  if (!(curvature > 0)) return 0;
  const now = Math.log(problem.directional);
  const wanted = now + slope / curvature;
  const standardError = Math.sqrt(problem.count / (curvature * independentOfCard));
  const believed = Math.max(1 - ((noticeable * standardError) / wanted) ** 2, 0);
  const next = wanted === 0 ? 0 : wanted * believed;
  return Math.min(Math.max(next - now, -longestStep), longestStep);
}

function profileOf(problem: FitProblem, w: number, x: Float64Array): { curvature: number; slope: number } {
  const { cards, unknowns, noise, toners, directional } = problem;
  const { hessian, gradient } = normalEquations(problem, w, x, -1);
  if (!factorise(hessian, unknowns.count)) return { curvature: 0, slope: 0 };
  const { K, S, scale } = unfold(problem, x);
  const row = emptyRow(toners.length);
  const read = (card: FitCard, constant: number): number => {
    predictCard(row, { ...card, surface: { ...card.surface, directional: constant } }, w, K, S, scale, unknowns, noise);
    return row.predicted;
  };
  const shared = new Float64Array(unknowns.count);
  let curvature = 0;
  let slope = 0;
  for (const card of cards) {
    const measured = card.reflectance[w]!;
    if (!Number.isFinite(measured)) continue;
    const nudged = read(card, directional * (1 + nudge));
    const predicted = read(card, directional);
    const byDirectional = (nudged - predicted) / nudge;
    curvature += byDirectional ** 2 / row.variance;
    slope += (byDirectional * (measured - predicted)) / row.variance;
    for (let a = 0; a < row.length; a++) {
      const i = row.index[a]!;
      shared[i] = shared[i]! + (row.slope[a]! * byDirectional) / row.variance;
    }
  }
  const taken = shared.slice();
  solve(hessian, unknowns.count, taken);
  const along = (values: Float64Array): number => values.reduce((sum, value, u) => sum + value * taken[u]!, 0);
  // the gradient is not quite 0, for K and S need not be quite settled
  return { curvature: curvature - along(shared), slope: slope - along(gradient) };
}
