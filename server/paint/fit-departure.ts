/**
 * How a book's paint departs from two fluxes, learned from what the fit of K and S leaves over.
 *
 * Three numbers for all cards and wavelengths: the directional constant of the readings and what lacks of the light's first turn
 * (see surface.ts), and the misfit that still remains, as a relative error of K/S. The misfit is what makes the ± wide where it is wide:
 * it stands beside the noise of the instrument, which repeats tell and no misfit makes larger, as in a black.
 */
import { factorise, solve } from './cholesky.ts';
import { eachReading, type FitProblem, normalEquations, rowVariance, unfold } from './fit-equations.ts';
import { emptyRow, type FitCard, predictCard } from './fit-model.ts';
import type { ReadingConstants } from './surface.ts';

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
const settledFirstTurn = 0.003;

/**
 * The problem with misfit and reading constants as the solutions ask for them; the same problem when they ask for nothing
 * new. Solutions: logarithms of the unknowns per wavelength, at their optimum or near.
 */
export function withDeparture(problem: FitProblem, solutions: readonly Float64Array[]): FitProblem {
  const misfit = misfitOf(problem, solutions);
  const reading = nextReading(problem, solutions);
  const settled =
    Math.abs(misfit - problem.noise.misfit) <= settledMisfit * misfit &&
    Math.abs(Math.log(reading.directional / problem.reading.directional)) < settledDirectional &&
    Math.abs(reading.firstTurn - problem.reading.firstTurn) < settledFirstTurn;
  if (settled) return problem;
  return {
    ...problem,
    noise: { ...problem.noise, misfit },
    reading,
    cards: problem.cards.map((card) => ({ ...card, surface: { ...card.surface, ...reading } })),
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
  const { count } = problem.unknowns;
  const { hessian } = normalEquations(problem, w, x, -1);
  if (!factorise(hessian, count)) return [];
  const dense = new Float64Array(count);
  const found: Remainder[] = [];
  eachReading(problem, w, x, -1, (row, measured) => {
    const own = rowVariance(hessian, count, row.index, row.slope, row.length, dense);
    const byMisfit = row.byLnK * row.byLnK;
    found.push({
      square: (measured - row.predicted) ** 2,
      rest: row.variance - problem.noise.misfit ** 2 * byMisfit,
      byMisfit,
      free: 1 - Math.min(own / row.variance, 1),
    });
  });
  return found;
}

const longestStep = 0.3;
const largestFirstTurn = 0.9;
/** The errors of a card hang together over wavelength (spraying moves all of them): a card counts once, not 31 times. */
const independentOfCard = 1;
/** Of strong colours, which tell of the first turn, the instrument's noise is much, each wavelength for itself: between one and 31. */
const independentOfStrong = 3;
/** Within so many standard errors of two fluxes a constant stays theirs: few cards say nothing of it. */
const noticeable = 2;

/**
 * Gauss-Newton step of ln(directional) and first turn together, with K and S following along: at their optimum they take up of a
 * change what the normal equations let them. Each is believed as far as it is noticeable.
 */
function nextReading(problem: FitProblem, solutions: readonly Float64Array[]): ReadingConstants {
  const { directional, firstTurn } = problem.reading;
  const normal = new ReadingEquations();
  for (const [w, x] of solutions.entries()) addProfile(normal, problem, w, x);
  const [aa, ab, bb] = [normal.aa, normal.ab, normal.bb];
  const determinant = aa * bb - ab * ab;
  if (!(determinant > 0)) return problem.reading;
  const now = Math.log(directional);
  const each = problem.count / independentOfCard;
  const strong = problem.count / independentOfStrong;
  const turned = believed(now + (bb * normal.a - ab * normal.b) / determinant, Math.sqrt((each * bb) / determinant));
  const once = believed(
    firstTurn + (aa * normal.b - ab * normal.a) / determinant,
    Math.sqrt((strong * aa) / determinant),
  );
  // what one of them is not believed, the other may still explain
  const next =
    turned === 0 || once > 0 ? turned : believed(now + (normal.a + ab * firstTurn) / aa, Math.sqrt(each / aa));
  const own =
    once <= 0 || turned !== 0 ? once : believed(firstTurn + (normal.b + ab * now) / bb, Math.sqrt(strong / bb));
  const step = (from: number, to: number): number => from + Math.min(Math.max(to - from, -longestStep), longestStep);
  return {
    directional: Number(Math.exp(step(now, next)).toPrecision(5)),
    firstTurn: Number(Math.min(Math.max(step(firstTurn, own), 0), largestFirstTurn).toPrecision(4)),
  };
}

/** The non-negative garrote (L. Breiman 1995): nothing up to the threshold, all of it far beyond, and no jump between. */
function believed(value: number, standardError: number): number {
  return value === 0 ? 0 : value * Math.max(1 - ((noticeable * standardError) / value) ** 2, 0);
}

/** Normal equations of a = ln(directional) and b = first turn. */
class ReadingEquations {
  aa = 0;
  ab = 0;
  bb = 0;
  a = 0;
  b = 0;

  /** Adds, or with weight -1 takes off, the products of two derivatives. */
  add(byA: number, byB: number, withA: number, withB: number, weight: number): void {
    this.aa += weight * byA * withA;
    this.ab += weight * byA * withB;
    this.bb += weight * byB * withB;
  }
}

/** Relative change of the directional constant, and change of the first turn, by which derivatives are taken. */
const nudge = 1e-4;

function addProfile(normal: ReadingEquations, problem: FitProblem, w: number, x: Float64Array): void {
  const { cards, unknowns, noise, toners, reading } = problem;
  const { hessian, gradient } = normalEquations(problem, w, x, -1);
  if (!factorise(hessian, unknowns.count)) return;
  const { K, S, scale } = unfold(problem, x);
  const row = emptyRow(toners.length);
  const read = (card: FitCard, constants: Partial<ReadingConstants>): number => {
    predictCard(row, { ...card, surface: { ...card.surface, ...constants } }, w, K, S, scale, unknowns, noise);
    return row.predicted;
  };
  const [sharedA, sharedB] = [new Float64Array(unknowns.count), new Float64Array(unknowns.count)];
  for (const card of cards) {
    const measured = card.reflectance[w]!;
    if (!Number.isFinite(measured)) continue;
    const turned = read(card, { directional: reading.directional * (1 + nudge) });
    const once = read(card, { firstTurn: reading.firstTurn + nudge });
    const predicted = read(card, reading);
    const [byA, byB] = [(turned - predicted) / nudge, (once - predicted) / nudge];
    normal.add(byA, byB, byA, byB, 1 / row.variance);
    normal.a += (byA * (measured - predicted)) / row.variance;
    normal.b += (byB * (measured - predicted)) / row.variance;
    for (let n = 0; n < row.length; n++) {
      const i = row.index[n]!;
      sharedA[i] = sharedA[i]! + (row.slope[n]! * byA) / row.variance;
      sharedB[i] = sharedB[i]! + (row.slope[n]! * byB) / row.variance;
    }
  }
  const [takenA, takenB] = [sharedA.slice(), sharedB.slice()];
  solve(hessian, unknowns.count, takenA);
  solve(hessian, unknowns.count, takenB);
  for (let u = 0; u < unknowns.count; u++) {
    normal.add(sharedA[u]!, sharedB[u]!, takenA[u]!, takenB[u]!, -1);
    // the gradient is not quite 0, for K and S need not be quite settled
    normal.a -= takenA[u]! * gradient[u]!;
    normal.b -= takenB[u]! * gradient[u]!;
  }
}
