/**
 * Putting right a colour that missed. The model is first brought to what the card showed, then solved for the parts of
 * the formula's own toners: as a revised formula, or as additions to a cup that is already mixed.
 */
import type { Lab } from '../colour/lab.ts';
import { factorise, solve } from './cholesky.ts';
import { type OpticsFit, readBy, thicknessScale } from './fit.ts';
import type { FitCard } from './fit-model.ts';
import { updatedFit } from './fit-update.ts';
import {
  differences,
  type LinearisedTarget,
  linearise,
  mixtureReading,
  residuals,
  rootMeanSquare,
  type SprayedFilm,
  type Target,
} from './formulate-target.ts';
import {
  absorptionOverScattering,
  filmReflectance,
  filmSlopes,
  opaqueReflectance,
  opaqueSlope,
} from './kubelka-munk.ts';
import { type Light, labUnder } from './light.ts';
import { type Component, mixtureOptics, type TonerOptics } from './mixture.ts';
import { nonNegativeLeastSquares } from './nnls.ts';
import { internalReflectance, type Surface, surfaceSlope } from './surface.ts';
import { plusMinus, type UncertaintyModel } from './uncertainty.ts';

/** Cards in the book above which one card's own noise is the larger part of what it shows, and is not followed in full. */
const wellKnownBook = 100;
const partOfShift = 0.7;
/** A card of today may differ by lots and hands from the book's: its errors count double (variance fourfold). */
const trustInCard = 1 / 4;

/** The shop's paint as a card showed it. */
export interface ShownPaint {
  readonly toners: readonly TonerOptics[];
  /** Where the card tells its film and what is below; else it hides. */
  readonly film?: SprayedFilm;
}

/** The film of a card in a fit. */
export function sprayedFilm(
  fit: OpticsFit,
  { film, surface }: Pick<FitCard, 'film' | 'surface'>,
): SprayedFilm | undefined {
  return (
    film && {
      thickness: film.under.map((_, w) => film.thickness * thicknessScale(fit, w)),
      under: film.under.map((value) => internalReflectance(surface, value)),
    }
  );
}

/**
 * Toners brought to a card: a Bayes step on K and S, then what is left as a shift of ln K/S at each wavelength.
 * `cards` of the same formula are averaged: three cards beat any method.
 */
export function paintAfterCard(fit: OpticsFit, cards: readonly FitCard[], cardsInBook: number): ShownPaint {
  const card = meanCard(fit, cards);
  const updated = updatedFit(fit, card, trustInCard * cards.length);
  const film = sprayedFilm(updated, card);
  const toners = shiftedToCard(updated.toners, card, cardsInBook < wellKnownBook ? 1 : partOfShift, film);
  return { toners, ...(film ? { film } : {}) };
}

/** Errors: RangeError without cards, or when they are not of one formula. */
function meanCard(fit: OpticsFit, cards: readonly FitCard[]): FitCard {
  const first = cards[0];
  if (first === undefined) throw new RangeError('a correction needs a card');
  const reflectance = first.reflectance.map(
    (_, w) => cards.reduce((sum, card) => sum + card.reflectance[w]!, 0) / cards.length,
  );
  return { ...first, surface: readBy(fit, first.surface), reflectance };
}

/**
 * Shift ln K/S of every mixture so that the card's own comes out as read (`part` of the way): K of all toners times one
 * factor per wavelength. Where the reading lacks a wavelength nothing moves.
 */
export function shiftedToCard(
  toners: readonly TonerOptics[],
  card: FitCard,
  part: number,
  film?: SprayedFilm,
): TonerOptics[] {
  const optics = mixtureOptics(toners, card.components);
  const factor = card.reflectance.map((measured, w) => {
    if (!Number.isFinite(measured)) return 1;
    const internal = internalReflectance(card.surface, measured);
    const [k, s] = [optics.K[w]!, Math.max(optics.S[w]!, 1e-12)];
    const times = film ? absorptionOfFilm(k, s, film, w, internal) / k : absorptionOverScattering(internal) / (k / s);
    return times ** part;
  });
  return toners.map((toner) => ({ ...toner, K: toner.K.map((value, w) => value * factor[w]!) }));
}

/** A film tells its absorption within so many powers of e about what is expected; beyond it is hidden by what is below. */
const furthestAbsorption = 3;

/** Absorption at which a film reflects so much inside, by bisection: more absorption always is darker. */
function absorptionOfFilm(
  k: number,
  s: number,
  { thickness, under }: SprayedFilm,
  w: number,
  internal: number,
): number {
  let low = -furthestAbsorption;
  let high = furthestAbsorption;
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (filmReflectance(k * Math.exp(middle), s, thickness[w]!, under[w]!) > internal) low = middle;
    else high = middle;
  }
  return k * Math.exp((low + high) / 2);
}

/** What a correction aims at. */
export interface CorrectionTarget {
  readonly lights: readonly Light[];
  readonly surface: Surface;
  /** Reflectance of the standard. */
  readonly standard: Float64Array;
  /** As it is sprayed; absent: it hides. */
  readonly film?: SprayedFilm;
}

function targetOf({ standard, ...aim }: CorrectionTarget): LinearisedTarget {
  const target: Target = { ...aim, labs: aim.lights.map((light): Lab => labUnder(light, standard)) };
  return linearise(target, standard);
}

/** A revised formula, with what it is expected to bring. */
export interface Revision {
  /** Shares, with the sum of the shares given. */
  readonly components: readonly Component[];
  /** Predicted dE00 (rms over the lights) after the revision. */
  readonly after: number;
}

/** Cost of changing a part, in dE00 per unit of its logarithm: keeps toners that do nothing from wandering. */
const ridgeOfParts = 0.02;

/**
 * Solve for the shares of the formula's toners with the toners as they are now (paintAfterCard). The binder keeps its share: in a film
 * that hides it does not show, and what a thinner film lacks in colour is not to be put right by its thickness.
 */
export function revise(
  toners: readonly TonerOptics[],
  components: readonly Component[],
  aim: CorrectionTarget,
  ridge = ridgeOfParts,
): Revision {
  const target = targetOf(aim);
  const start = components.map(({ share }) => Math.log(Math.max(share, 1e-6)));
  const coloured = components.map(({ toner }) => toners[toner]!.kind !== 'binder');
  const free = coloured.includes(true) ? coloured : components.map(() => true);
  const total = components.reduce((sum, { share }, i) => sum + (free[i] ? share : 0), 0);
  let logs = start.slice();
  let value = Number.POSITIVE_INFINITY;
  const sharesOf = (x: readonly number[]): Component[] => {
    const sum = x.reduce((partial, log, i) => partial + (free[i] ? Math.exp(log) : 0), 0);
    return components.map(({ toner, share }, i) => ({
      toner,
      share: free[i] ? (total * Math.exp(x[i]!)) / sum : share,
    }));
  };
  for (let round = 0; round < 30; round++) {
    const shares = sharesOf(logs);
    const state = keepingSum(linearState(toners, shares, target), shares, free);
    value = objective(state.residual, logs, start, ridge);
    const step = logStep(state, shares, logs, start, ridge);
    let scale = 1;
    let gain = 0;
    for (let half = 0; half < 8; half++, scale /= 2) {
      const next = logs.map((log, i) => log + scale * Math.min(Math.max(step[i]!, -1), 1));
      const nextValue = objective(linearState(toners, sharesOf(next), target).residual, next, start, ridge);
      if (nextValue >= value) continue;
      gain = value - nextValue;
      logs = next;
      break;
    }
    if (gain < 1e-10 * (1 + value)) break;
  }
  const revised = sharesOf(logs);
  return { components: revised, after: gap(toners, revised, target) };
}

/** Predicted rms dE00 of a mixture from the standard. */
export function predictedGap(
  toners: readonly TonerOptics[],
  components: readonly Component[],
  aim: CorrectionTarget,
): number {
  return gap(toners, components, targetOf(aim));
}

function gap(toners: readonly TonerOptics[], components: readonly Component[], target: LinearisedTarget): number {
  return rootMeanSquare(differences(target, mixtureReading(toners, components, target.surface, target.film)));
}

/** Weighted Lab differences of a mixture and their derivatives by each component's share (rows x components). */
interface LinearState {
  readonly residual: Float64Array;
  readonly jacobian: Float64Array;
}

function linearState(
  toners: readonly TonerOptics[],
  components: readonly Component[],
  target: LinearisedTarget,
): LinearState {
  const reading = mixtureReading(toners, components, target.surface, target.film);
  // Linearised anew at the mixture: a correction may begin several dE00 away.
  const here = linearise(target, reading);
  const rows = 3 * target.lights.length;
  const count = reading.length;
  const n = components.length;
  const residual = new Float64Array(rows);
  residuals(target, reading, residual);
  const jacobian = new Float64Array(rows * n);
  for (let w = 0; w < count; w++) {
    let k = 0;
    let s = 1e-15;
    for (const { toner, share } of components) {
      k += share * toners[toner]!.K[w]!;
      s += share * toners[toner]!.S[w]!;
    }
    const { byK, byS } = slopesAt(k, s, target, w);
    components.forEach(({ toner }, i) => {
      const change = byK * toners[toner]!.K[w]! + byS * toners[toner]!.S[w]!;
      for (let r = 0; r < rows; r++)
        jacobian[r * n + i] = jacobian[r * n + i]! + here.response[r * count + w]! * change;
    });
  }
  return { residual, jacobian };
}

/** Slopes of the reading by the mixture's K and S. */
function slopesAt(k: number, s: number, { surface, film }: Target, w: number): { byK: number; byS: number } {
  if (film) {
    const { reflectance, byK, byS } = filmSlopes(k, s, film.thickness[w]!, film.under[w]!);
    const slope = surfaceSlope(surface, reflectance);
    return { byK: slope * byK, byS: slope * byS };
  }
  const theta = k / s;
  const slope = (surfaceSlope(surface, opaqueReflectance(theta)) * opaqueSlope(theta)) / s;
  return { byK: slope, byS: -slope * theta };
}

/**
 * Slopes by shares whose sum stays: one more of this is a little less of all others. Of a film that hides nothing changes, since
 * only the ratios of its shares show.
 */
function keepingSum(
  { residual, jacobian }: LinearState,
  shares: readonly Component[],
  free: readonly boolean[],
): LinearState {
  const n = shares.length;
  const sum = shares.reduce((partial, { share }, i) => partial + (free[i] ? share : 0), 0);
  const kept = jacobian.slice();
  for (let r = 0; r < residual.length; r++) {
    const whole = shares.reduce((partial, { share }, i) => partial + (free[i] ? share * jacobian[r * n + i]! : 0), 0);
    for (let i = 0; i < n; i++) kept[r * n + i] = free[i] ? jacobian[r * n + i]! - whole / sum : 0;
  }
  return { residual, jacobian: kept };
}

function objective(residual: Float64Array, logs: readonly number[], start: readonly number[], ridge: number): number {
  let sum = 0;
  for (const value of residual) sum += value * value;
  logs.forEach((log, i) => {
    sum += (ridge * (log - start[i]!)) ** 2;
  });
  return sum;
}

function logStep(
  { residual, jacobian }: LinearState,
  shares: readonly Component[],
  logs: readonly number[],
  start: readonly number[],
  ridge: number,
): Float64Array {
  const n = shares.length;
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  let trace = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let r = 0; r < residual.length; r++) sum += jacobian[r * n + i]! * jacobian[r * n + j]!;
      matrix[i * n + j] = sum * shares[i]!.share * shares[j]!.share;
    }
    let pull = 0;
    for (let r = 0; r < residual.length; r++) pull -= jacobian[r * n + i]! * residual[r]!;
    right[i] = pull * shares[i]!.share - ridge * ridge * (logs[i]! - start[i]!);
    trace += matrix[i * n + i]!;
  }
  // Scaling all parts alike changes no opaque colour, so the matrix needs a little of its own on the diagonal.
  for (let i = 0; i < n; i++) matrix[i * n + i] = matrix[i * n + i]! + ridge * ridge + 1e-9 * trace + 1e-15;
  if (!factorise(matrix, n)) return right.fill(0);
  solve(matrix, n, right);
  return right;
}

/** Go part of the way from one formula to another, in the logarithm of the parts, keeping the sum. */
export function partOfTheWay(from: readonly Component[], to: readonly Component[], part: number): Component[] {
  const total = from.reduce((sum, { share }) => sum + share, 0);
  const shares = from.map(({ share }, i) => {
    const aim = to[i]!.share;
    return share > 0 && aim > 0 ? share ** (1 - part) * aim ** part : (1 - part) * share + part * aim;
  });
  const sum = shares.reduce((partial, share) => partial + share, 0);
  return from.map(({ toner }, i) => ({ toner, share: (total * shares[i]!) / sum }));
}

/** The customary step: part of the change, then another card. Right for small misses, a wasted card on large ones. */
export const customaryPart = 0.7;

/** What to do after a card. */
export interface CorrectionAdvice extends ShownPaint {
  /** dE00 (rms over the lights) of the card from the standard. */
  readonly before: number;
  readonly revised: Revision;
  /** The customary 70 % of the same step. */
  readonly part: Revision;
  /** Which of the two to spray first. */
  readonly take: 'revised' | 'part' | 'spray again';
  /** dE00 by which cards of one formula differ from each other anyway (90 %). */
  readonly cardNoise: number;
}

/** Misses below this are met by the customary step as well as by the whole one, and it goes wrong less often. */
const smallMiss = 1;

/**
 * Advise a correction from one or more cards of a formula.
 * 'spray again' when the miss is within what cards of one formula differ by anyway: a formula changed for that gets worse
 * as often as better. Errors: RangeError without cards.
 */
export function correctFormula(
  fit: OpticsFit,
  model: UncertaintyModel,
  cards: readonly FitCard[],
  aim: CorrectionTarget,
  cardsInBook: number,
): CorrectionAdvice {
  const card = meanCard(fit, cards);
  const shown = paintAfterCard(fit, cards, cardsInBook);
  const { toners } = shown;
  const surface = readBy(fit, aim.surface);
  const asSprayed: CorrectionTarget = { ...aim, surface, ...(shown.film ? { film: shown.film } : {}) };
  const target = targetOf(asSprayed);
  const before = rootMeanSquare(differences(target, card.reflectance));
  const revised = revise(toners, card.components, asSprayed);
  const partial = partOfTheWay(card.components, revised.components, customaryPart);
  const part: Revision = { components: partial, after: gap(toners, partial, target) };
  const cardNoise = noiseOfCards(fit, model, card, aim.lights[0]!) / Math.sqrt(cards.length);
  const again = before <= cardNoise || furthestApart(cards, aim) > before - revised.after;
  const take = again ? 'spray again' : before < smallMiss ? 'part' : 'revised';
  return { before, revised, part, take, cardNoise, ...shown };
}

/** dE00 (rms over the lights) between the two cards that differ most; 0 for one card. */
function furthestApart(cards: readonly FitCard[], { lights, surface }: CorrectionTarget): number {
  const apart = cards.flatMap((one, i) => {
    const labs = lights.map((light) => labUnder(light, one.reflectance));
    return cards.slice(i + 1).map((other) => rootMeanSquare(differences({ lights, labs, surface }, other.reflectance)));
  });
  return Math.max(0, ...apart);
}

/** dE00 within which 90 % of cards of one formula fall from its true colour, by the noise model alone. */
function noiseOfCards(fit: OpticsFit, model: UncertaintyModel, card: FitCard, light: Light): number {
  const { noise } = fit;
  const bySpray = card.film ? filmBySpray(fit, card) : card.reflectance.map((value) => opaqueBySpray(fit, card, value));
  const variance = bySpray.map((slope) => slope * slope);
  return plusMinus({ ...model, factor: 1 }, light, card.reflectance, variance, noise).dE00;
}

function opaqueBySpray({ noise }: OpticsFit, { surface }: FitCard, value: number): number {
  const theta = absorptionOverScattering(internalReflectance(surface, value));
  return noise.spray * surfaceSlope(surface, opaqueReflectance(theta)) * opaqueSlope(theta) * theta;
}

/** Of a film that does not hide its thickness counts, too. */
function filmBySpray(fit: OpticsFit, card: FitCard): Float64Array {
  const { noise } = fit;
  const { thickness, under } = sprayedFilm(fit, card)!;
  const { K, S } = mixtureOptics(fit.toners, card.components);
  return K.map((k, w) => {
    const film = filmSlopes(k, S[w]!, thickness[w]!, under[w]!);
    const slope = surfaceSlope(card.surface, film.reflectance);
    return slope * Math.hypot(noise.spray * film.byK * k, noise.thickness * film.byThickness * thickness[w]!);
  });
}

/** What to add to a cup. */
export interface Additions {
  /** Weight to add of each toner, in the unit of the cup; only those above 0. */
  readonly additions: readonly { readonly toner: number; readonly weight: number }[];
  readonly total: number;
  /** Predicted rms dE00 afterwards. */
  readonly after: number;
  /** Whether the tolerance can be reached by adding; when not, the additions come as near as they can. */
  readonly reaches: boolean;
}

/** Adding more than this many cups is another batch, not a correction. */
const mostCups = 3;

/**
 * Smallest total to add to a cup so that it comes within `tolerance` (rms dE00). `cup` holds the weights in it, zero
 * for toners that may be added but are not in it. The search is on the tolerance, not on the revised formula: bringing
 * a cup all the way to its formula takes far more.
 */
export function addToCup(
  toners: readonly TonerOptics[],
  cup: readonly { readonly toner: number; readonly weight: number }[],
  aim: CorrectionTarget,
  tolerance: number,
): Additions {
  const target = targetOf(aim);
  const none = new Float64Array(cup.length);
  if (gapOfCup(toners, cup, none, target) <= tolerance) return additionsOf(toners, cup, none, target, tolerance);
  // The price of a unit of weight against dE00²: the higher, the less is added.
  const at = (lnPrice: number, from: Float64Array) => cheapestFor(toners, cup, target, Math.exp(lnPrice), from);
  const weight = cup.reduce((sum, each) => sum + each.weight, 0);
  let low = Math.log(1e-9 / weight);
  let high = Math.log(1e3 / weight);
  let within = at(low, none);
  if (gapOfCup(toners, cup, within, target) > tolerance) {
    return additionsOf(toners, cup, within, target, tolerance);
  }
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    const tried = at(middle, within);
    if (gapOfCup(toners, cup, tried, target) <= tolerance) {
      low = middle;
      within = tried;
    } else {
      high = middle;
    }
  }
  return additionsOf(toners, cup, within, target, tolerance);
}

const weightOf = (cup: readonly { weight: number }[], added: Float64Array): number =>
  cup.reduce((sum, { weight }, i) => sum + weight + added[i]!, 0);

function mixed(cup: readonly { toner: number; weight: number }[], added: Float64Array): Component[] {
  const whole = weightOf(cup, added);
  return cup.map(({ toner, weight }, i) => ({ toner, share: (weight + added[i]!) / whole }));
}

function gapOfCup(
  toners: readonly TonerOptics[],
  cup: readonly { toner: number; weight: number }[],
  added: Float64Array,
  target: LinearisedTarget,
): number {
  return gap(toners, mixed(cup, added), target);
}

function additionsOf(
  toners: readonly TonerOptics[],
  cup: readonly { toner: number; weight: number }[],
  added: Float64Array,
  target: LinearisedTarget,
  tolerance: number,
): Additions {
  const after = gapOfCup(toners, cup, added, target);
  const additions = cup.map(({ toner }, i) => ({ toner, weight: added[i]! })).filter(({ weight }) => weight > 0);
  const total = additions.reduce((sum, { weight }) => sum + weight, 0);
  return { additions, total, after, reaches: after <= tolerance };
}

/** Least squared difference + price x total added, every addition >= 0: Gauss-Newton with a non-negative solve inside. */
function cheapestFor(
  toners: readonly TonerOptics[],
  cup: readonly { toner: number; weight: number }[],
  target: LinearisedTarget,
  price: number,
  from: Float64Array,
): Float64Array {
  const n = cup.length;
  const largest = mostCups * cup.reduce((sum, each) => sum + each.weight, 0);
  const cost = (added: Float64Array): number => {
    const residual = new Float64Array(3 * target.lights.length);
    residuals(target, mixtureReading(toners, mixed(cup, added), target.surface, target.film), residual);
    return dot(residual, residual) + price * added.reduce((sum, value) => sum + value, 0);
  };
  let added = from;
  let value = cost(added);
  for (let round = 0; round < 25; round++) {
    const { residual, jacobian } = byWeight(toners, cup, added, target);
    const gram = new Float64Array(n * n);
    const h = new Float64Array(n);
    for (let r = 0; r < residual.length; r++) {
      let wanted = -residual[r]!;
      for (let i = 0; i < n; i++) wanted += jacobian[r * n + i]! * added[i]!;
      for (let i = 0; i < n; i++) {
        h[i] = h[i]! + jacobian[r * n + i]! * wanted;
        for (let j = 0; j < n; j++) gram[i * n + j] = gram[i * n + j]! + jacobian[r * n + i]! * jacobian[r * n + j]!;
      }
    }
    const best = nonNegativeLeastSquares(
      gram,
      h.map((pull) => pull - price / 2),
    );
    let moved = false;
    for (let half = 0, scale = 1; half < 8 && !moved; half++, scale /= 2) {
      const next = added.map((weight, i) => Math.min(weight + scale * (best[i]! - weight), largest));
      const nextValue = cost(next);
      if (nextValue < value - 1e-12 * (1 + value)) {
        added = next;
        value = nextValue;
        moved = true;
      }
    }
    if (!moved) break;
  }
  return added;
}

/** Slopes of the differences by the weight that is added, in which the whole grows, too. */
function byWeight(
  toners: readonly TonerOptics[],
  cup: readonly { toner: number; weight: number }[],
  added: Float64Array,
  target: LinearisedTarget,
): LinearState {
  const shares = mixed(cup, added);
  const state = linearState(toners, shares, target);
  const { residual, jacobian } = keepingSum(
    state,
    shares,
    shares.map(() => true),
  );
  const whole = weightOf(cup, added);
  return { residual, jacobian: jacobian.map((slope) => slope / whole) };
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
