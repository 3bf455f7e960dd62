/**
 * The ± of a predicted colour: "90 % of cards of this formula fall within ± x dE00 of the predicted colour".
 *
 * Delta method on the fit's curvature, with the errors' correlation over wavelength pooled from the cards' residuals
 * (taken as independent, the ± would cover a third of the cards only), and its size set by what leaving cards out
 * really showed. The instrument's noise comes on top as it is: it does not grow where the model is wrong, and in a black it is
 * nearly all. Held against simulated books in the tests: pooled over books it covers 85 to 95 %.
 */
import type { CardFit, OpticsFit } from './fit.ts';
import { type CardNoise, type FitCard, instrumentVariance } from './fit-model.ts';
import { deltaE00, differenceMetric, type Light, labSlopes, labUnder } from './light.ts';

/** What the printed figure means, to be shown beside it. */
export const plusMinusDefinition = '90 % of cards of this formula fall within ± x dE00 of the predicted colour';

/** The ± of one predicted colour. */
export interface PlusMinus {
  /** Radius in dE00 that holds 90 % of cards. */
  readonly dE00: number;
  /** Standard deviations of L*, a*, b* of one card. */
  readonly L: number;
  readonly a: number;
  readonly b: number;
}

/** How the size of the ± was set. */
export type PlusMinusBasis = 'left out' | 'assumed';

/** What all ± of one fit share. */
export interface UncertaintyModel {
  /** Correlation of a card's errors over wavelength, count x count. */
  readonly correlation: Float64Array;
  /** Factor on what the fit does not know of the paint; the instrument's noise stays as repeats tell it. */
  readonly factor: number;
  readonly basis: PlusMinusBasis;
  /** Cards of three or more toners that it rests on. */
  readonly mixtures: number;
}

/** Leaving out cards of a ladder tests only what its other steps also show; a mixture has three toners or more besides binder. */
const mixtureToners = 3;
const enoughMixtures = 10;
/**
 * Found in simulated books whose cards were all ladders, of paint that departs from the model in five ways: 1.3 covered 88 to 98 % of
 * new formulas where the misfit was learned; without it 1.7 is needed.
 */
const factorWithoutMixtures = 1.3;
const factorWithoutMisfit = 1.7;
const coverage = 0.9;

/** The ± model of a fit. `cards` are those of the fit, in order; `light` is the book's main light. */
export function uncertaintyModel(fit: OpticsFit, cards: readonly FitCard[], light: Light): UncertaintyModel {
  const residuals = fit.cards.map((card, c) => studentised(card, cards[c]!));
  const correlation = correlationOf(residuals, fit.count);
  const mixtures = fit.cards.map((_, c) => c).filter((c) => isMixture(fit.cards[c]!));
  const base = { correlation, mixtures: mixtures.length };
  if (mixtures.length < enoughMixtures) {
    const factor = fit.noise.misfit > 0 ? factorWithoutMixtures : factorWithoutMisfit;
    return { ...base, factor, basis: 'assumed' };
  }
  const unscaled: UncertaintyModel = { ...base, factor: 1, basis: 'left out' };
  const factors = mixtures.map((c) => factorThatHolds(fit.cards[c]!, cards[c]!, light, unscaled, fit.noise));
  return { ...unscaled, factor: upperQuantile(factors, coverage) };
}

function isMixture(card: CardFit): boolean {
  return card.toners >= mixtureToners && card.leftOut.every(Number.isFinite);
}

/** Colour difference of every card from its prediction without it (NaN for cards that lack wavelengths). */
export function leftOutDifferences(fit: OpticsFit, cards: readonly FitCard[], light: Light): Float64Array {
  return Float64Array.from(fit.cards, (card, c) =>
    deltaE00(labUnder(light, card.leftOut), labUnder(light, cards[c]!.reflectance)),
  );
}

/** Residuals over their own standard deviation. */
function studentised(fit: CardFit, card: FitCard): Float64Array {
  return fit.predicted.map(
    (predicted, w) => (card.reflectance[w]! - predicted) / (fit.sigma[w]! * Math.sqrt(1 - fit.leverage[w]!)),
  );
}

/** Weight, in cards, of the correlation that is assumed before any card is seen. */
const assumedCards = 5;
const assumedCorrelation = 0.55;
const wildest = 4;

function correlationOf(residuals: readonly Float64Array[], count: number): Float64Array {
  const sums = new Float64Array(count * count);
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < count; j++) sums[i * count + j] = assumedCards * (i === j ? 1 : assumedCorrelation);
  }
  for (const z of residuals) {
    const kept = z.map((value) => (Number.isFinite(value) ? Math.min(Math.max(value, -wildest), wildest) : 0));
    for (let i = 0; i < count; i++) {
      for (let j = 0; j < count; j++) sums[i * count + j] = sums[i * count + j]! + kept[i]! * kept[j]!;
    }
  }
  const correlation = new Float64Array(count * count);
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < count; j++) {
      correlation[i * count + j] = sums[i * count + j]! / Math.sqrt(sums[i * count + i]! * sums[j * count + j]!);
    }
  }
  return correlation;
}

const largestFactor = 100;

/**
 * The smallest factor with which the ± of a card that was left out holds its reading. The ± grow with the factor, so that the
 * quantile of these holds for the next card as the quantile of the errors themselves would (nested conformal prediction).
 */
function factorThatHolds(
  fit: CardFit,
  card: FitCard,
  light: Light,
  unscaled: UncertaintyModel,
  noise: CardNoise,
): number {
  const variance = fit.sigma.map((sigma, w) => {
    const whole = sigma * sigma * (fit.leverage[w]! / (1 - fit.leverage[w]!) + 1);
    return Math.max(whole - instrumentVariance(noise, fit.predicted[w]!), 0);
  });
  const difference = deltaE00(labUnder(light, fit.leftOut), labUnder(light, card.reflectance));
  const parts = errorParts(unscaled, light, fit.leftOut, variance, noise);
  if (radiusOf(summed(parts, 0), parts.metric) >= difference) return 0;
  let [low, high] = [0, largestFactor];
  for (let round = 0; round < 30; round++) {
    const middle = (low + high) / 2;
    if (radiusOf(summed(parts, middle), parts.metric) < difference) low = middle;
    else high = middle;
  }
  return high;
}

/** Quantile of few values, with the (n + 1)/n correction that makes it hold for the next value. */
function upperQuantile(values: readonly number[], p: number): number {
  const sorted = values.slice().sort((a, b) => a - b);
  const place = Math.min(Math.ceil((sorted.length + 1) * p), sorted.length) - 1;
  return sorted[place]!;
}

/**
 * The ± of a predicted reflectance whose variance (of one new card as paint) is given per wavelength; with `noise` that of the
 * instrument that reads it comes on top.
 */
export function plusMinus(
  model: UncertaintyModel,
  light: Light,
  reflectance: Float64Array,
  variance: Float64Array,
  noise?: CardNoise,
): PlusMinus {
  const parts = errorParts(model, light, reflectance, variance, noise);
  const covariance = summed(parts, model.factor);
  const sd = (i: number): number => Math.sqrt(covariance[4 * i]!);
  return { dE00: radiusOf(covariance, parts.metric), L: sd(0), a: sd(1), b: sd(2) };
}

/** Covariances in Lab, 3 x 3: of the paint with factor 1, and of the instrument. */
interface ErrorParts {
  readonly paint: Float64Array;
  readonly instrument: Float64Array;
  /** dE00 as a quadratic form about the colour. */
  readonly metric: Float64Array;
}

function errorParts(
  model: UncertaintyModel,
  light: Light,
  reflectance: Float64Array,
  variance: Float64Array,
  noise: CardNoise | undefined,
): ErrorParts {
  const count = reflectance.length;
  const slopes = labSlopes(light, reflectance);
  const scaled = slopes.map((slope, i) => slope * Math.sqrt(variance[i % count]!));
  return {
    paint: sandwich(scaled, model.correlation, count),
    instrument: noise ? instrumentCovariance(noise, slopes, reflectance) : new Float64Array(9),
    metric: differenceMetric(labUnder(light, reflectance)),
  };
}

const summed = ({ paint, instrument }: ErrorParts, factor: number): Float64Array =>
  paint.map((value, i) => factor * factor * value + instrument[i]!);

/** Of wavelengths that err each for itself, and of an offset that is common to them. */
function instrumentCovariance(noise: CardNoise, slopes: Float64Array, reflectance: Float64Array): Float64Array {
  const count = reflectance.length;
  const result = new Float64Array(9);
  const row = (c: number): Float64Array => slopes.subarray(c * count, (c + 1) * count);
  const common = [0, 1, 2].map((c) => noise.offset * row(c).reduce((sum, slope) => sum + slope, 0));
  for (let c = 0; c < 3; c++) {
    for (let d = 0; d < 3; d++) {
      const other = row(d);
      const own = row(c).reduce(
        (sum, slope, w) => sum + slope * other[w]! * ((noise.relative * reflectance[w]!) ** 2 + noise.absolute ** 2),
        0,
      );
      result[3 * c + d] = own + common[c]! * common[d]!;
    }
  }
  return result;
}

/** The 90 % radius of a quadratic form of normal errors, by its first two moments. */
function radiusOf(covariance: Float64Array, metric: Float64Array): number {
  const product = multiply3(covariance, metric);
  const m1 = product[0]! + product[4]! + product[8]!;
  const square = multiply3(product, product);
  const m2 = square[0]! + square[4]! + square[8]!;
  return m1 > 0 ? Math.sqrt((m2 / m1) * chiSquare90((m1 * m1) / m2)) : 0;
}

/** A P A' of a 3 x n and an n x n matrix. */
function sandwich(a: Float64Array, p: Float64Array, n: number): Float64Array {
  const result = new Float64Array(9);
  for (let i = 0; i < n; i++) {
    let x = 0;
    let y = 0;
    let z = 0;
    for (let j = 0; j < n; j++) {
      const correlation = p[i * n + j]!;
      x += correlation * a[j]!;
      y += correlation * a[n + j]!;
      z += correlation * a[2 * n + j]!;
    }
    for (let c = 0; c < 3; c++) {
      const left = a[c * n + i]!;
      result[3 * c] = result[3 * c]! + left * x;
      result[3 * c + 1] = result[3 * c + 1]! + left * y;
      result[3 * c + 2] = result[3 * c + 2]! + left * z;
    }
  }
  return result;
}

function multiply3(a: Float64Array, b: Float64Array): Float64Array {
  const result = new Float64Array(9);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      result[3 * i + j] = a[3 * i]! * b[j]! + a[3 * i + 1]! * b[3 + j]! + a[3 * i + 2]! * b[6 + j]!;
    }
  }
  return result;
}

/**
 * 90 % quantile of chi-square for 1 to 3 degrees of freedom: the parabola through the tabulated 2.7055, 4.6052 and
 * 6.2514 (good to 0.3 % between them).
 */
function chiSquare90(degrees: number): number {
  const d = Math.min(Math.max(degrees, 1), 3);
  return (2.7055 * (d - 2) * (d - 3)) / 2 - 4.6052 * (d - 1) * (d - 3) + (6.2514 * (d - 1) * (d - 2)) / 2;
}
