/**
 * What a fit of the toners' K and S is made of: the cards, the noise of a card, the prior by kind of toner, and the
 * prediction of one card at one wavelength with its derivatives by every unknown.
 */
import { filmSlopes, opaqueReflectance, opaqueSlope } from './kubelka-munk.ts';
import type { Component, TonerKind } from './mixture.ts';
import { internalReflectance, type Surface, surfaceSlope, throughSurface } from './surface.ts';

/** A film of known thickness (any one unit throughout a book) over an undercoat of measured reflectance. */
export interface CardFilm {
  readonly thickness: number;
  readonly under: Float64Array;
}

/** One card: what was on it, and what was measured. */
export interface FitCard {
  readonly components: readonly Component[];
  /** Measured reflectance per wavelength; NaN where the instrument does not reach. */
  readonly reflectance: Float64Array;
  readonly surface: Surface;
  /** Absent: the film hides. */
  readonly film?: CardFilm;
  /** Standard deviation of the reading per wavelength, where it is known better than from CardNoise. */
  readonly sigma?: Float64Array;
}

/** What makes two cards of one formula differ. All are standard deviations. */
export interface CardNoise {
  /** Of the reading, relative to it. */
  readonly relative: number;
  /** Of the reading, independent per wavelength. */
  readonly absolute: number;
  /** Of the reading, common to all wavelengths. */
  readonly offset: number;
  /** Of spraying, as a relative change of K/S. */
  readonly spray: number;
  /** Of the model, as a relative change of K/S: by how much paint departs from two fluxes, which no repeat shows. */
  readonly misfit: number;
  /** Of weighing one toner, as a share of the whole. */
  readonly weighing: number;
  /** Of weighing one toner at most, relative to its own share: smaller pours are weighed as a let-down or in a larger batch. */
  readonly pour: number;
  /** Of the thickness of a film that does not hide, relative to it. */
  readonly thickness: number;
}

/**
 * Noise of a bench reading and of weighing to 0.05 g in 100 g, no pour worse than 5 % of itself: common practice, measured
 * again by any shop. Without the second a trace of black in a white would be taken as known to a half, and the white's ± be
 * that of a grey.
 */
export const defaultNoise: CardNoise = {
  relative: 0.001,
  absolute: 0.0005,
  offset: 0.0003,
  spray: 0.02,
  misfit: 0,
  weighing: 0.0005,
  pour: 0.05,
  thickness: 0.05,
};

/** Centre of the prior of a toner relative to S(white) = 1, and the spread of its natural logarithm. */
export interface Prior {
  readonly K: number;
  readonly S: number;
  readonly spreadK: number;
  readonly spreadS: number;
}

const spread = { spreadK: 3, spreadS: 1.5 };

/**
 * Weak priors by kind, in masstone terms of common pigments. They decide only what no card speaks of. The binder's is
 * small but not zero: forcing it to zero spoils every formula that is mostly binder.
 */
export const priors: Readonly<Record<TonerKind, Prior>> = {
  white: { K: 0.02, S: 1, ...spread },
  black: { K: 0.4, S: 0.03, ...spread },
  opaque: { K: 0.1, S: 0.15, ...spread },
  transparent: { K: 0.15, S: 0.04, ...spread },
  binder: { K: 3e-4, S: 1e-4, ...spread },
};

/** Where K and S of each toner stand among the unknowns of one wavelength. -1 = held fixed. */
export interface Unknowns {
  readonly count: number;
  readonly S: Int32Array;
  /** Index of ln(scattering of the gauge toner per unit of thickness), -1 when no card is a film. */
  readonly scale: number;
}

/** Unknown i < toners is ln K of toner i; then ln S of all but the gauge toner; then the thickness scale. */
export function unknownsOf(toners: number, gauge: number, films: boolean): Unknowns {
  const S = new Int32Array(toners);
  for (let i = 0, next = toners; i < toners; i++) S[i] = i === gauge ? -1 : next++;
  return { count: 2 * toners - 1 + (films ? 1 : 0), S, scale: films ? 2 * toners - 1 : -1 };
}

/** A card at one wavelength, and the sparse row of derivatives by the logarithms of the unknowns. */
export interface CardRow {
  predicted: number;
  variance: number;
  /** Derivative of the reading by ln K of the whole mixture. */
  byLnK: number;
  readonly index: Int32Array;
  readonly slope: Float64Array;
  length: number;
}

export function emptyRow(toners: number): CardRow {
  const width = 2 * toners + 1;
  return {
    predicted: 0,
    variance: 1,
    byLnK: 0,
    index: new Int32Array(width),
    slope: new Float64Array(width),
    length: 0,
  };
}

/**
 * Fill `row` for a card at wavelength `w`. K and S are the toners' values there, `scale` the scattering of the gauge
 * toner per unit of thickness (1 when films are told in that unit). `measured` is what the variance is taken at.
 */
export function predictCard(
  row: CardRow,
  card: FitCard,
  w: number,
  K: Float64Array,
  S: Float64Array,
  scale: number,
  unknowns: Unknowns,
  noise: CardNoise,
): void {
  let k = 0;
  let s = 0;
  for (const { toner, share } of card.components) {
    k += share * K[toner]!;
    s += share * S[toner]!;
  }
  // Derivatives of the measured reflectance by the mixture's K and S, and by ln of the thickness scale.
  let byK: number;
  let byS: number;
  let byScale = 0;
  if (card.film === undefined) {
    const theta = k / s;
    const internal = opaqueReflectance(theta);
    const slope = surfaceSlope(card.surface, internal) * opaqueSlope(theta);
    row.predicted = throughSurface(card.surface, internal);
    byK = slope / s;
    byS = (-slope * theta) / s;
  } else {
    const under = internalReflectance(card.surface, card.film.under[w]!);
    const thickness = card.film.thickness * scale;
    const film = filmSlopes(k, s, thickness, under);
    const slope = surfaceSlope(card.surface, film.reflectance);
    row.predicted = throughSurface(card.surface, film.reflectance);
    byK = slope * film.byK;
    byS = slope * film.byS;
    byScale = slope * film.byThickness * thickness;
  }
  let length = 0;
  let weighing = 0;
  for (const { toner, share } of card.components) {
    if (share === 0) continue;
    const byShare = byK * K[toner]! + byS * S[toner]!;
    weighing += (byShare * Math.min(noise.weighing, noise.pour * share)) ** 2;
    row.index[length] = toner;
    row.slope[length++] = byK * share * K[toner]!;
    if (unknowns.S[toner]! >= 0) {
      row.index[length] = unknowns.S[toner]!;
      row.slope[length++] = byS * share * S[toner]!;
    }
  }
  if (card.film !== undefined && unknowns.scale >= 0) {
    row.index[length] = unknowns.scale;
    row.slope[length++] = byScale;
  }
  row.length = length;
  row.byLnK = byK * k;
  const own = card.sigma?.[w];
  row.variance = own === undefined ? readingVariance(row.predicted, row.byLnK, weighing, byScale, noise) : own * own;
}

/**
 * Variance of a reading: instrument, spraying and misfit (as changes of ln K at constant S), weighing (a variance already) and film
 * thickness.
 */
function readingVariance(
  measured: number,
  byLnK: number,
  weighing: number,
  byLnThickness: number,
  noise: CardNoise,
): number {
  return (
    instrumentVariance(noise, measured) +
    (noise.spray ** 2 + noise.misfit ** 2) * byLnK ** 2 +
    weighing +
    (noise.thickness * byLnThickness) ** 2
  );
}

/** Variance that the instrument brings to a reading: what reading a card again shows. */
export function instrumentVariance(noise: CardNoise, measured: number): number {
  return (noise.relative * measured) ** 2 + noise.absolute ** 2 + noise.offset ** 2;
}
