/**
 * Learns effect toners from cards: Levenberg-Marquardt over all toners, bands and angles at once. Bands meet only
 * through the few unknowns that they share (tilt, flake area …), through smoothness, and through the pearls' shift.
 */

import { type CoatedFilm, coatedReflectance, type EffectLayer } from './effect-coats.ts';
import { addRow, copyEnvelope, type Envelope, envelope, factorise, solve } from './effect-envelope.ts';
import type { EffectGeometry } from './effect-geometry.ts';
import {
  diffuseLight,
  type EffectBands,
  type EffectModel,
  type EffectToner,
  emptyRates,
  mirrorLight,
  mixRates,
  type PearlConstants,
  pearlPosition,
} from './effect-model.ts';
import {
  backscatterOf,
  type EffectKind,
  filmsOf,
  LOWEST_PLATE_INDEX,
  layUnknowns,
  type Place,
  tonerConstants,
  type Unknowns,
} from './effect-unknowns.ts';

/** One coat of a card, as of the card itself. */
export type EffectCardCoat = Pick<EffectCard, 'toners' | 'shares' | 'thickness'>;

/** A card: what was sprayed, on what, and its reflectance factors. */
export interface EffectCard {
  /** toners of this card, as places in the book's list, each once */
  readonly toners: readonly number[];
  /** their parts of the dry coat (binder included, all of the coat together 1) */
  readonly shares: readonly number[];
  /** film thickness in units that the book uses for all cards; 1 for all when nothing is known and films hide */
  readonly thickness: number;
  /** coats between this one and the undercoat, from the one right below down */
  readonly below?: readonly EffectCardCoat[];
  /** of a step panel: its place among the panels, whose film of one coat is learned; `thickness` is what is expected of it */
  readonly panel?: number;
  /** reflectance of the undercoat seen from inside the film, per band */
  readonly undercoat: ArrayLike<number>;
  /** which of the model's geometries were read */
  readonly angles: readonly number[];
  /** reflectance factor, angle-major in the order of `angles` */
  readonly reflectance: ArrayLike<number>;
}

export interface EffectFit {
  readonly bands: EffectBands;
  readonly geometries: readonly EffectGeometry[];
  readonly kinds: readonly EffectKind[];
  /** all unknowns as the fit knows them: logarithms, flake reflectance as logit */
  readonly vector: Float64Array;
  readonly toners: readonly EffectToner[];
  readonly backscatter: number;
  /** per panel how well its film of one coat was known before, and what it came out as against what was expected */
  readonly panels: readonly { readonly width: number; readonly film: number }[];
  /** cards that each toner is in (in the coat that is seen); 0 means that its constants are the start of its kind, nothing learned */
  readonly seen: readonly number[];
  readonly steps: number;
  /** sum of weighted squares, priors included */
  readonly cost: number;
}

export interface EffectFitOptions {
  /** step panels of the cards: how well the film of one coat is known, as a standard deviation of its logarithm */
  readonly panels?: readonly number[];
  readonly maxSteps?: number;
  /** stop when a step gains less than this part of the cost */
  readonly gain?: number;
}

/** Keeps the cube root from giving the blackest flop all the weight; about the noise of an instrument. */
const DARK = 0.0005;

/** A reflectance factor on a scale near L*. */
export const lightnessLike = (reflectance: number): number => 116 * Math.cbrt(reflectance + DARK);

/** The face varies with every pass of the gun, so it must not rule the fit; from 45 degrees on full weight. */
export function angleWeight(aspecular: number): number {
  if (aspecular < 0) return 0.5;
  return Math.min(1, 0.6 + Math.max(0, aspecular - 15) * 0.02);
}

export const modelOf = (fit: Pick<EffectFit, 'bands' | 'geometries' | 'backscatter'>): EffectModel => ({
  bands: fit.bands,
  geometries: fit.geometries,
  backscatter: fit.backscatter,
});

/** The normal equations of all cards and priors at one vector, and what each card adds to them. */
export class EffectEquations {
  readonly unknowns: Unknowns;
  readonly bands: EffectBands;
  readonly geometries: readonly EffectGeometry[];
  readonly cards: readonly EffectCard[];
  readonly #first: Int32Array;
  readonly #weights: Float64Array;
  readonly #model: EffectModel;
  readonly #spare: { mirrored: Float64Array; diffuse: Float64Array };
  readonly #rates: ReturnType<typeof emptyRates>;

  constructor(
    kinds: readonly EffectKind[],
    bands: EffectBands,
    geometries: readonly EffectGeometry[],
    cards: readonly EffectCard[],
    panels: readonly number[] = [],
  ) {
    this.unknowns = layUnknowns(kinds, bands, bandsBeyond(bands, geometries), panels);
    this.bands = bands;
    this.geometries = geometries;
    this.cards = cards;
    this.#weights = Float64Array.from(geometries, (geometry) => angleWeight(geometry.aspecular));
    this.#model = { bands, geometries, backscatter: 0.25 };
    this.#first = firstColumns(this.unknowns, geometries);
    this.#rates = emptyRates(this.#model);
    const all = geometries.length * bands.count;
    this.#spare = { mirrored: new Float64Array(all), diffuse: new Float64Array(all) };
  }

  modelAt(vector: Float64Array): EffectModel {
    return { ...this.#model, backscatter: backscatterOf(this.unknowns, vector) };
  }

  tonersAt(vector: Float64Array): EffectToner[] {
    return this.unknowns.kinds.map((_, toner) => tonerConstants(this.unknowns, vector, toner));
  }

  /** A card with the film that its panel has at a vector. */
  cardAt(vector: Float64Array, card: EffectCard): EffectCard {
    if (card.panel === undefined) return card;
    return { ...card, thickness: card.thickness * filmsOf(this.unknowns, vector)[card.panel]! };
  }

  /** Sum of weighted squares of all cards and priors. */
  cost(vector: Float64Array): number {
    const model = this.modelAt(vector);
    const toners = this.tonersAt(vector);
    let sum = this.#priorCost(vector);
    for (const card of this.cards)
      for (const value of this.residuals(model, toners, this.cardAt(vector, card))) sum += value * value;
    return sum;
  }

  /** Weighted residuals (model less card, near L*) of one card, angle-major in the card's angles. */
  residuals(model: EffectModel, toners: readonly EffectToner[], card: EffectCard): Float64Array {
    const predicted = this.#predict(model, filmOf(card, toners));
    const { count } = this.bands;
    const residuals = new Float64Array(card.angles.length * count);
    card.angles.forEach((a, n) => {
      for (let i = 0; i < count; i++) {
        const difference = lightnessLike(predicted[a * count + i]!) - lightnessLike(card.reflectance[n * count + i]!);
        residuals[n * count + i] = difference * this.#weights[a]!;
      }
    });
    return residuals;
  }

  emptyMatrix(): Envelope {
    return envelope(this.#first);
  }

  /** Adds one card's part of the normal matrix and gradient; weight -1 takes it out again. Returns its squares. */
  addCard(
    vector: Float64Array,
    toners: readonly EffectToner[],
    written: EffectCard,
    matrix: Envelope,
    gradient: Float64Array,
    weight = 1,
  ): number {
    const model = this.modelAt(vector);
    const card = this.cardAt(vector, written);
    const residuals = this.residuals(model, toners, card);
    const columns = this.#derivatives(vector, model, toners, card);
    const { count } = this.bands;
    const places = new Int32Array(2 * columns.length);
    const row = new Float64Array(2 * columns.length);
    let squares = 0;
    card.angles.forEach((a, n) => {
      for (let i = 0; i < count; i++) {
        const at = n * count + i;
        let used = 0;
        for (const { place, slope } of columns) {
          const value = slope[at]!;
          if (typeof place === 'number' || !place.spectral) {
            places[used] = typeof place === 'number' ? place : place.columns[0]!;
            row[used++] = value;
          } else if (place.quantity !== 'mirror') {
            places[used] = place.columns[i]!;
            row[used++] = value;
          } else {
            // a pearl's spectrum is read between two bands, linear in the logarithm
            const { plateIndex } = toners[place.toner] as PearlConstants;
            const position = pearlPosition(this.bands, this.geometries[a]!, plateIndex, i);
            const left = Math.min(Math.floor(position), place.columns.length - 2);
            const part = Math.min(position - left, 1);
            places[used] = place.columns[left]!;
            row[used++] = value * (1 - part);
            places[used] = place.columns[left + 1]!;
            row[used++] = value * part;
          }
        }
        const residual = residuals[at]!;
        squares += residual * residual;
        for (let p = 0; p < used; p++) gradient[places[p]!]! += weight * row[p]! * residual;
        addRow(matrix, places, row, used, weight);
      }
    });
    return squares;
  }

  /** Adds the priors: every unknown near its start, spectra smooth. */
  addPriors(vector: Float64Array, matrix: Envelope, gradient: Float64Array): void {
    const { unknowns } = this;
    for (let at = 0; at < unknowns.size; at++) {
      const weight = 1 / unknowns.width[at]! ** 2;
      matrix.values[matrix.offset[at]! + at]! += weight;
      gradient[at]! += weight * (vector[at]! - unknowns.start[at]!);
    }
    const places = new Int32Array(3);
    const row = Float64Array.of(1, -2, 1);
    for (const { place, weight } of unknowns.smooth) {
      for (let i = 1; i + 1 < place.columns.length; i++) {
        for (let p = 0; p < 3; p++) places[p] = place.columns[i - 1 + p]!;
        const bend = vector[places[0]!]! - 2 * vector[places[1]!]! + vector[places[2]!]!;
        for (let p = 0; p < 3; p++) gradient[places[p]!]! += weight * weight * row[p]! * bend;
        addRow(matrix, places, row, 3, weight * weight);
      }
    }
  }

  #priorCost(vector: Float64Array): number {
    const { unknowns } = this;
    let sum = 0;
    for (let at = 0; at < unknowns.size; at++) sum += ((vector[at]! - unknowns.start[at]!) / unknowns.width[at]!) ** 2;
    for (const { place, weight } of unknowns.smooth) {
      const value = (i: number): number => vector[place.columns[i]!]!;
      for (let i = 1; i + 1 < place.columns.length; i++)
        sum += (weight * (value(i - 1) - 2 * value(i) + value(i + 1))) ** 2;
    }
    return sum;
  }

  #predict(model: EffectModel, film: CoatedFilm): Float64Array {
    if (film.below) return coatedReflectance(model, film);
    const { mirrored, diffuse } = this.#spare;
    mixRates(model, film, this.#rates);
    mirrorLight(model, this.#rates, film.thickness, mirrored);
    diffuseLight(model, this.#rates, film.thickness, film.undercoat, diffuse);
    for (let at = 0; at < mirrored.length; at++) mirrored[at]! += diffuse[at]!;
    return mirrored;
  }

  /** Slopes of a card's weighted residuals by each unknown (a spectrum: by its own band), from small differences. */
  #derivatives(vector: Float64Array, model: EffectModel, toners: readonly EffectToner[], card: EffectCard): Slope[] {
    const step = 1e-4;
    const base = this.residuals(model, toners, card);
    const slopeOf = (moved: EffectModel, movedToners: readonly EffectToner[], movedCard = card): Float64Array => {
      const slope = this.residuals(moved, movedToners, movedCard);
      for (let at = 0; at < slope.length; at++) slope[at] = (slope[at]! - base[at]!) / step;
      return slope;
    };
    const columns: Slope[] = this.unknowns.places
      .filter((place) => holds(card, place.toner))
      .map((place) => {
        const moved = toners.slice();
        moved[place.toner] = tonerConstants(this.unknowns, vector, place.toner, place, step);
        return { place, slope: slopeOf(model, moved) };
      });
    if (card.panel !== undefined)
      columns.push({
        place: this.unknowns.films[card.panel]!,
        slope: slopeOf(model, toners, { ...card, thickness: card.thickness * Math.exp(step) }),
      });
    columns.push({
      place: this.unknowns.backscatter,
      slope: slopeOf({ ...model, backscatter: model.backscatter * Math.exp(step) }, toners),
    });
    return columns;
  }
}

/** Slopes by the unknowns of a toner, or by the one in a column. */
interface Slope {
  readonly place: Place | number;
  readonly slope: Float64Array;
}

/** Whether a toner is in any coat of a card. */
const holds = (card: EffectCard, toner: number): boolean =>
  card.toners.includes(toner) || (card.below ?? []).some((coat) => coat.toners.includes(toner));

const layerOf = ({ toners, shares, thickness }: EffectCardCoat, all: readonly EffectToner[]): EffectLayer => ({
  toners: toners.map((toner) => all[toner]!),
  shares,
  thickness,
});

/** A card with the film that was learned of its panel. */
export const cardAsLearned = ({ panels }: Pick<EffectFit, 'panels'>, card: EffectCard): EffectCard =>
  card.panel === undefined ? card : { ...card, thickness: card.thickness * panels[card.panel]!.film };

/** The film of a card with toners learned. */
export const filmOf = (card: EffectCard, toners: readonly EffectToner[]): CoatedFilm => ({
  ...layerOf(card, toners),
  undercoat: card.undercoat,
  ...(card.below ? { below: card.below.map((coat) => layerOf(coat, toners)) } : {}),
});

/** Bands that slanting angles may read of a pearl's spectrum beyond the last band of the readings. */
function bandsBeyond(bands: EffectBands, geometries: readonly EffectGeometry[]): number {
  const reach = geometries.map((geometry) => pearlPosition(bands, geometry, LOWEST_PLATE_INDEX, bands.count - 1));
  return Math.ceil(Math.max(...reach, bands.count - 1)) - (bands.count - 1);
}

/** First column of each row of the normal matrix: what the unknown of that row can meet. */
function firstColumns(unknowns: Unknowns, geometries: readonly EffectGeometry[]): Int32Array {
  const { bands } = unknowns;
  const first = new Int32Array(unknowns.size);
  const spectra = unknowns.smooth.map(({ place }) => place);
  const lowestAt = (band: number): number =>
    spectra.reduce((low, place) => Math.min(low, place.columns[band] ?? low), unknowns.size);
  for (const place of spectra) {
    place.columns.forEach((column, i) => {
      // a pearl at this band is read by all bands that slanting angles move here
      let lowest = Math.min(i, bands.count - 1);
      while (
        place.quantity === 'mirror' &&
        lowest > 0 &&
        geometries.some((geometry) => pearlPosition(bands, geometry, LOWEST_PLATE_INDEX, lowest - 1) >= i - 1)
      )
        lowest--;
      first[column] = Math.min(lowestAt(lowest), column, place.columns[Math.max(0, i - 2)]!);
    });
  }
  return first;
}

/** Fits the toners of a book (kinds by place) to its cards. Deterministic; throws on a card that does not fit the model. */
export function fitEffectToners(
  kinds: readonly EffectKind[],
  bands: EffectBands,
  geometries: readonly EffectGeometry[],
  cards: readonly EffectCard[],
  options: EffectFitOptions = {},
): EffectFit {
  const { panels = [] } = options;
  for (const [n, card] of cards.entries()) checkCard(card, n, kinds.length, bands, geometries.length, panels.length);
  const equations = new EffectEquations(kinds, bands, geometries, cards, panels);
  const { vector, steps, cost } = descend(equations, options);
  return {
    bands,
    geometries,
    kinds,
    vector,
    toners: equations.tonersAt(vector),
    backscatter: backscatterOf(equations.unknowns, vector),
    panels: filmsOf(equations.unknowns, vector).map((film, n) => ({ width: panels[n]!, film })),
    seen: kinds.map((_, toner) => cards.filter((card) => card.toners.includes(toner)).length),
    steps,
    cost,
  };
}

function descend(
  equations: EffectEquations,
  options: EffectFitOptions,
): { vector: Float64Array; steps: number; cost: number } {
  const { maxSteps = 60, gain = 2e-4 } = options;
  const { unknowns } = equations;
  let vector: Float64Array = unknowns.start.slice();
  let cost = equations.cost(vector);
  let damping = 0.01;
  let steps = 0;
  let matrix: Envelope | undefined;
  let gradient: Float64Array = new Float64Array(unknowns.size);
  while (steps < maxSteps && damping < 1e6) {
    if (matrix === undefined) {
      matrix = equations.emptyMatrix();
      gradient = new Float64Array(unknowns.size);
      const toners = equations.tonersAt(vector);
      for (const card of equations.cards) equations.addCard(vector, toners, card, matrix, gradient);
      equations.addPriors(vector, matrix, gradient);
      steps++;
    }
    const next = stepped(unknowns, vector, matrix, gradient, damping);
    const nextCost = next === undefined ? Number.POSITIVE_INFINITY : equations.cost(next);
    if (next === undefined || !(nextCost < cost)) {
      damping *= 5;
      continue;
    }
    const gained = (cost - nextCost) / cost;
    vector = next;
    cost = nextCost;
    matrix = undefined;
    damping = Math.max(damping / 5, 1e-6);
    if (gained < gain) break;
  }
  return { vector, steps, cost };
}

/** One damped step, each unknown by at most 1 and within its bounds. */
function stepped(
  unknowns: Unknowns,
  vector: Float64Array,
  matrix: Envelope,
  gradient: Float64Array,
  damping: number,
): Float64Array | undefined {
  const damped = copyEnvelope(matrix);
  for (let at = 0; at < damped.size; at++) damped.values[damped.offset[at]! + at]! *= 1 + damping;
  if (!factorise(damped)) return undefined;
  return moved(unknowns, vector, solve(damped, gradient));
}

/** The vector less a step, each unknown by at most 1 and within its bounds. */
export function moved(unknowns: Unknowns, vector: Float64Array, step: Float64Array): Float64Array {
  return vector.map((value, at) =>
    Math.min(Math.max(value - Math.min(Math.max(step[at]!, -1), 1), unknowns.low[at]!), unknowns.high[at]!),
  );
}

function checkCard(
  card: EffectCard,
  n: number,
  toners: number,
  bands: EffectBands,
  angles: number,
  panels: number,
): void {
  const fail = (what: string): never => {
    throw new RangeError(`card ${n + 1}: ${what}`);
  };
  for (const coat of [card, ...(card.below ?? [])]) checkCoat(coat, toners, fail);
  if (card.panel !== undefined && !(card.panel >= 0 && card.panel < panels))
    fail('names a panel that is not in the list');
  if (card.undercoat.length !== bands.count) fail(`the undercoat needs ${bands.count} values`);
  if (card.angles.some((a) => !(a >= 0 && a < angles))) fail('names a geometry that is not in the list');
  if (card.reflectance.length !== card.angles.length * bands.count)
    fail(
      `${card.angles.length} geometries need ${card.angles.length * bands.count} values, it has ${card.reflectance.length}`,
    );
  for (let at = 0; at < card.reflectance.length; at++)
    if (!Number.isFinite(card.reflectance[at]!)) fail('a value is missing');
}

function checkCoat(coat: EffectCardCoat, toners: number, fail: (what: string) => never): void {
  if (coat.toners.length !== coat.shares.length) fail('as many shares as toners are needed');
  if (coat.toners.some((toner) => !(toner >= 0 && toner < toners))) fail('names a toner that is not in the list');
  if (new Set(coat.toners).size !== coat.toners.length) fail('names a toner twice: add its shares up first');
  if (coat.shares.some((share) => !(share >= 0)) || coat.shares.reduce((a, b) => a + b, 0) > 1 + 1e-9)
    fail('shares are parts of the dry coat: 0 or more, together at most 1');
  if (!(coat.thickness > 0 && coat.thickness < 1e4)) fail('the film thickness must be above 0');
}
