/** Predicted colour of a mixture of learned toners, opaque or as a film over an undercoat, with its ±. */
import type { Lab } from '../colour/lab.ts';
import { type OpticsFit, readBy, thicknessScale } from './fit.ts';
import { rowVariance } from './fit-equations.ts';
import { type CardFilm, emptyRow, type FitCard, instrumentVariance, predictCard, unknownsOf } from './fit-model.ts';
import { type Light, labUnder } from './light.ts';
import type { Component } from './mixture.ts';
import type { Surface } from './surface.ts';
import { type PlusMinus, plusMinus, type UncertaintyModel } from './uncertainty.ts';

/** What is to be predicted. */
export interface Sprayed {
  readonly components: readonly Component[];
  readonly surface: Surface;
  /** Absent: the film hides. */
  readonly film?: CardFilm;
}

export interface PredictedColour {
  readonly light: string;
  readonly lab: Lab;
  readonly plusMinus: PlusMinus;
}

export interface Prediction {
  /** Measured reflectance (0..1) per wavelength. */
  readonly reflectance: Float64Array;
  /** Variance of one new card as paint, per wavelength, without the instrument's and before the factor of the ±. */
  readonly variance: Float64Array;
  readonly colours: readonly PredictedColour[];
  /** Codes of toners in it that the book knows too little of. */
  readonly uncertain: readonly string[];
  /** A film is relative while no card is a film of known thickness: its thickness rests on a plausible scattering. */
  readonly relativeFilm: boolean;
}

/** Toners of a mixture that no card holds and no constants state: nothing can be predicted with them. */
export function unlearned(fit: OpticsFit, components: readonly Component[]): string[] {
  return codes(fit, components, (uncertain) => uncertain === 'no card');
}

function codes(
  fit: OpticsFit,
  components: readonly Component[],
  which: (uncertain: string | undefined) => boolean,
): string[] {
  return components
    .filter(({ toner, share }) => share > 0 && which(fit.toners[toner]!.uncertain))
    .map(({ toner }) => fit.toners[toner]!.code);
}

/**
 * Predict reflectance and colours.
 * Errors: RangeError that names the toners when one of them was never on a card.
 */
export function predict(
  fit: OpticsFit,
  sprayed: Sprayed,
  lights: readonly Light[],
  model: UncertaintyModel,
): Prediction {
  const missing = unlearned(fit, sprayed.components);
  if (missing.length > 0) {
    throw new RangeError(`no card of the book holds ${missing.join(', ')}: spray a drawdown before predicting with it`);
  }
  const { reflectance, variance } = predictedReadings(fit, sprayed);
  return {
    reflectance,
    variance,
    colours: lights.map((light) => ({
      light: light.name,
      lab: labUnder(light, reflectance),
      plusMinus: plusMinus(model, light, reflectance, variance, fit.noise),
    })),
    uncertain: codes(fit, sprayed.components, (uncertain) => uncertain !== undefined),
    relativeFilm: sprayed.film !== undefined && fit.scale === undefined,
  };
}

/** Reflectance of one new card, and its variance without the instrument's, per wavelength. */
export function predictedReadings(
  fit: OpticsFit,
  sprayed: Sprayed,
): { reflectance: Float64Array; variance: Float64Array } {
  const toners = fit.toners.length;
  const unknowns = unknownsOf(toners, fit.gauge, fit.scale !== undefined);
  const row = emptyRow(toners);
  const dense = new Float64Array(unknowns.count);
  const K = new Float64Array(toners);
  const S = new Float64Array(toners);
  const reflectance = new Float64Array(fit.count);
  const variance = new Float64Array(fit.count);
  const card: FitCard = { ...sprayed, surface: readBy(fit, sprayed.surface), reflectance };
  for (let w = 0; w < fit.count; w++) {
    for (const { toner } of sprayed.components) {
      K[toner] = fit.toners[toner]!.K[w]!;
      S[toner] = fit.toners[toner]!.S[w]!;
    }
    predictCard(row, card, w, K, S, thicknessScale(fit, w), unknowns, fit.noise);
    reflectance[w] = row.predicted;
    const own = rowVariance(fit.factors[w]!, unknowns.count, row.index, row.slope, row.length, dense);
    variance[w] = own + row.variance - instrumentVariance(fit.noise, row.predicted);
  }
  return { reflectance, variance };
}
