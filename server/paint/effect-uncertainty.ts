/**
 * ± of effect colours, from the book's own cards: how far off each card is when the fit has not seen it.
 *
 * The covariance of the fit is far too small here, because the model's own error rules, not the instrument's. Leaving a
 * card out is linearised: one Gauss-Newton step from the full fit with the card's equations taken out (for a linear
 * model that is the exact leave-one-out, the influence-matrix formula), and the card then predicted by the full model.
 */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { Lab } from '../colour/lab.ts';
import type { TristimulusWeights } from '../colour/weights.ts';
import { coatedReflectance } from './effect-coats.ts';
import { labsOfAngles } from './effect-colour.ts';
import { copyEnvelope, factorise, solve } from './effect-envelope.ts';
import { type EffectCard, EffectEquations, type EffectFit, filmOf, lightnessLike, moved } from './effect-fit.ts';
import type { EffectGeometry } from './effect-geometry.ts';
import type { EffectToner } from './effect-model.ts';
import { backscatterOf } from './effect-unknowns.ts';

/** A card as the other cards predict it. */
export interface LeftOut {
  /** place in the list of cards */
  readonly card: number;
  readonly kind: FormulaKind;
  /** dE00 from the reading, per angle of the card */
  readonly dE00: readonly number[];
  /** root mean square over the bands of prediction less reading, on a scale near L*, per angle of the card */
  readonly spread: readonly number[];
  /** the colours themselves, per angle of the card */
  readonly read: readonly Lab[];
  readonly predicted: readonly Lab[];
}

/**
 * Formulas err alike within a kind: white and opaque toners scatter and tilt the flakes; without flake all angles agree; mid coats
 * over a ground err by the film of each, too.
 */
export type FormulaKind = 'flake with white' | 'flake' | 'solid' | 'coats';

/** From this share on a scattering toner counts. */
const LITTLE = 0.002;

export function formulaKind(toners: readonly EffectToner[], shares: ArrayLike<number>): FormulaKind {
  if (!toners.some((toner, j) => toner.kind !== 'pigment' && shares[j]! > LITTLE)) return 'solid';
  const white = toners.some((toner, j) => toner.kind === 'pigment' && toner.disorder > 0 && shares[j]! > LITTLE);
  return white ? 'flake with white' : 'flake';
}

/** Every card, predicted without it. Takes about as long as the fit. Colours under the light of `weights`. */
export function leaveCardsOut(fit: EffectFit, cards: readonly EffectCard[], weights: TristimulusWeights): LeftOut[] {
  const equations = new EffectEquations(
    fit.kinds,
    fit.bands,
    fit.geometries,
    cards,
    fit.panels.map(({ width }) => width),
  );
  const { vector } = fit;
  const matrix = equations.emptyMatrix();
  const gradient = new Float64Array(vector.length);
  for (const card of cards) equations.addCard(vector, fit.toners, card, matrix, gradient);
  equations.addPriors(vector, matrix, gradient);
  return cards.map((card, n) => {
    const without = copyEnvelope(matrix);
    const slope = gradient.slice();
    equations.addCard(vector, fit.toners, card, without, slope, -1);
    // the priors alone keep this positive; rounding may not, where one card carries nearly all that is known
    for (let at = 0; at < without.size; at++) without.values[without.offset[at]! + at]! += 1e-9;
    const vectorWithout = factorise(without) ? moved(equations.unknowns, vector, solve(without, slope)) : vector;
    return leftOut(equations, vectorWithout, card, n, weights);
  });
}

function leftOut(
  equations: EffectEquations,
  vector: Float64Array,
  card: EffectCard,
  place: number,
  weights: TristimulusWeights,
): LeftOut {
  const all = equations.tonersAt(vector);
  const { bands, geometries } = equations;
  const film = filmOf(equations.cardAt(vector, card), all);
  const model = {
    bands,
    geometries: card.angles.map((a) => geometries[a]!),
    backscatter: backscatterOf(equations.unknowns, vector),
  };
  const predicted = coatedReflectance(model, film);
  const read = Float64Array.from(card.reflectance);
  const readLabs = labsOfAngles(read, weights);
  const labs = labsOfAngles(predicted, weights);
  const dE00 = labs.map((lab, n) => deltaE00(readLabs[n]!, lab));
  const spread = card.angles.map((_, n) => {
    let sum = 0;
    for (let at = n * bands.count; at < (n + 1) * bands.count; at++)
      sum += (lightnessLike(predicted[at]!) - lightnessLike(read[at]!)) ** 2;
    return Math.sqrt(sum / bands.count);
  });
  const kind = card.panel === undefined ? formulaKind(film.toners, card.shares) : 'coats';
  return { card: place, kind, dE00, spread, read: readLabs, predicted: labs };
}

/** The ± of one angle and kind of formula. */
export interface EffectError {
  readonly geometry: string;
  readonly kind: FormulaKind;
  /** cards that it rests on; 0: the floor alone */
  readonly cards: number;
  /** dE00 that 9 of 10 left-out cards stay within; undefined when no card tells */
  readonly ninetieth: number | undefined;
  /** what is said: the larger of that and the floor, dE00 */
  readonly plusMinus: number;
  /** root mean square of the left-out cards on a scale near L* */
  readonly spread: number | undefined;
}

/**
 * Least ± that is believed for real cards, whatever the book shows: application alone moves flakes by that much.
 * A judgement, not a measurement.
 */
export function floorOf(aspecular: number): number {
  return aspecular > 60 ? 2 : 1.5;
}

const FEWEST = 5;

/**
 * ± of coats over a ground of which no step panel was read: in simulated shops 9 of 10 were within 6.2 dE00 of what cards of
 * single coats told (30 readings of three panels).
 */
export const WITHOUT_PANEL = 6;

/** ± per angle and kind of formula. A kind of one coat with fewer than 5 cards is joined with the others that have flakes. */
export function effectErrors(
  fit: Pick<EffectFit, 'geometries'>,
  cards: readonly EffectCard[],
  left: readonly LeftOut[],
): EffectError[] {
  const kinds: FormulaKind[] = ['flake with white', 'flake', 'solid', 'coats'];
  return fit.geometries.flatMap((geometry, a) => {
    const seen = left.flatMap((one) => {
      const n = cards[one.card]!.angles.indexOf(a);
      return n < 0 ? [] : [{ kind: one.kind, dE00: one.dE00[n]!, spread: one.spread[n]! }];
    });
    return kinds.map((kind) => errorOf(geometry, kind, seen));
  });
}

type SeenError = Pick<EffectError, 'kind'> & { readonly dE00: number; readonly spread: number };

const KINDS_OF_ONE_COAT_WITH_FLAKES: readonly FormulaKind[] = ['flake', 'flake with white'];

function errorOf({ name, aspecular }: EffectGeometry, kind: FormulaKind, seen: readonly SeenError[]): EffectError {
  const own = seen.filter((one) => one.kind === kind);
  const joined = KINDS_OF_ONE_COAT_WITH_FLAKES.includes(kind) && own.length < FEWEST;
  const used = joined ? seen.filter((one) => KINDS_OF_ONE_COAT_WITH_FLAKES.includes(one.kind)) : own;
  const ninetieth = ninthTenth(used.map((one) => one.dE00));
  const floor = kind === 'solid' ? 1 : floorOf(aspecular);
  const untold = kind === 'coats' ? WITHOUT_PANEL : 2 * floor;
  return {
    geometry: name,
    kind,
    cards: used.length,
    ninetieth,
    plusMinus: Math.max(ninetieth ?? untold, floor),
    spread:
      used.length === 0 ? undefined : Math.sqrt(used.reduce((sum, one) => sum + one.spread ** 2, 0) / used.length),
  };
}

/** The value that 9 of 10 further ones stay within: the ceil(0.9 (n+1))th of n (as in conformal prediction), or the largest. */
export function ninthTenth(values: readonly number[]): number | undefined {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length, Math.ceil(0.9 * (sorted.length + 1))) - 1];
}

/** ± in dE00 of a formula of a kind at a geometry; undefined for a geometry or kind that the fit does not know. */
export function effectPlusMinus(
  errors: readonly EffectError[],
  geometry: string,
  kind: FormulaKind,
): number | undefined {
  return errors.find((error) => error.geometry === geometry && error.kind === kind)?.plusMinus;
}
