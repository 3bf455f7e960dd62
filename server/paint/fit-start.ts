/**
 * A start for the fit of K and S: per wavelength a weighted, linear, non-negative least-squares problem.
 *
 * An opaque card says sum c_i (K_i - theta S_i) = 0, linear in all K and S once S of the gauge toner is 1. Unweighted
 * this is the classic trap, for dark cards have a huge theta: every row is weighted by what an error of its reading
 * does to theta.
 */
import type { FitCard } from './fit-model.ts';
import { absorptionOverScattering, opaqueSlope } from './kubelka-munk.ts';
import { nonNegativeLeastSquares } from './nnls.ts';
import { belowSurface, surfaceSlope } from './surface.ts';

/** Beyond these internal reflectances K/S says more about noise than about paint. */
const darkest = 5e-4;
const brightest = 0.955;

/**
 * Linear estimate of K and S (length = toners each) at wavelength `w`, S[gauge] = 1. Cards that are films are left out.
 * `sigmaOf` gives the standard deviation of a card's reading there under the present K and S. Unknowns that come out
 * as 0 stay 0.
 */
export function linearEstimate(
  cards: readonly FitCard[],
  toners: number,
  gauge: number,
  w: number,
  rounds: number,
  sigmaOf: (card: FitCard, w: number, K: Float64Array, S: Float64Array) => number,
): { K: Float64Array; S: Float64Array } {
  let K = new Float64Array(toners).fill(0.1);
  let S = new Float64Array(toners).fill(0.15);
  S[gauge] = 1;
  const opaque = cards.filter((card) => card.film === undefined && Number.isFinite(card.reflectance[w]));
  const unknowns = 2 * toners;
  for (let round = 0; round < rounds; round++) {
    const gram = new Float64Array(unknowns * unknowns);
    const right = new Float64Array(unknowns);
    for (const card of opaque) addRow(gram, right, card, w, toners, gauge, S, sigmaOf(card, w, K, S));
    const x = nonNegativeLeastSquares(gram, right);
    K = x.slice(0, toners);
    S = x.slice(toners);
    S[gauge] = 1;
  }
  return { K, S };
}

function addRow(
  gram: Float64Array,
  right: Float64Array,
  card: FitCard,
  w: number,
  toners: number,
  gauge: number,
  S: Float64Array,
  sigma: number,
): void {
  const n = 2 * toners;
  const internal = Math.min(Math.max(belowSurface(card.surface, card.reflectance[w]!), darkest), brightest);
  const theta = absorptionOverScattering(internal);
  const scattering = Math.max(
    card.components.reduce((sum, { toner, share }) => sum + share * S[toner]!, 0),
    1e-4,
  );
  const slope = surfaceSlope(card.surface, internal) * opaqueSlope(theta);
  const weight = (Math.abs(slope) / (scattering * sigma)) ** 2;
  const entries: [number, number][] = [];
  let constant = 0;
  for (const { toner, share } of card.components) {
    if (share === 0) continue;
    entries.push([toner, share]);
    if (toner === gauge) constant += theta * share;
    else entries.push([toners + toner, -theta * share]);
  }
  for (const [i, a] of entries) {
    right[i] = right[i]! + weight * a * constant;
    for (const [j, b] of entries) gram[i * n + j] = gram[i * n + j]! + weight * a * b;
  }
}
