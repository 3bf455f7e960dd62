/**
 * How far a colour moves from one mixture to another, by one fit: the predicted difference and its ±.
 *
 * Delta method on the difference itself: what both mixtures get wrong alike cancels, so that for two nearly alike mixtures the ± is far
 * smaller than that of either colour, and nothing for the same mixture twice. It is of the paint: two cards differ by spraying besides.
 */
import type { Lab } from '../colour/lab.ts';
import { forwardSubstitute } from './cholesky.ts';
import { type OpticsFit, readBy, thicknessScale } from './fit.ts';
import { emptyRow, type FitCard, predictCard, unknownsOf } from './fit-model.ts';
import { deltaE00, type Light, labUnder } from './light.ts';
import type { Sprayed } from './predict.ts';
import { plusMinus, type UncertaintyModel } from './uncertainty.ts';

export interface ColourShift {
  readonly before: Lab;
  readonly after: Lab;
  readonly dE00: number;
  /** dE00 within which the true shift falls 9 times of 10. */
  readonly plusMinus: number;
}

/** Both mixtures of toners of this fit, under one light. */
export function colourShift(
  fit: OpticsFit,
  model: UncertaintyModel,
  before: Sprayed,
  after: Sprayed,
  light: Light,
): ColourShift {
  const { readings, variance } = difference(fit, before, after);
  const [was, is] = readings.map((reading) => labUnder(light, reading)) as [Lab, Lab];
  const certain = variance.every((value) => value === 0);
  return {
    before: was,
    after: is,
    dE00: deltaE00(was, is),
    plusMinus: certain ? 0 : plusMinus(model, light, readings[1]!, variance).dE00,
  };
}

/** Reflectances of both, and the variance of their difference by what the fit does not know, per wavelength. */
function difference(
  fit: OpticsFit,
  before: Sprayed,
  after: Sprayed,
): { readonly readings: readonly Float64Array[]; readonly variance: Float64Array } {
  const toners = fit.toners.length;
  const unknowns = unknownsOf(toners, fit.gauge, fit.scale !== undefined);
  const row = emptyRow(toners);
  const readings = [new Float64Array(fit.count), new Float64Array(fit.count)];
  const variance = new Float64Array(fit.count);
  for (let w = 0; w < fit.count; w++) {
    const K = Float64Array.from(fit.toners, (each) => each.K[w]!);
    const S = Float64Array.from(fit.toners, (each) => each.S[w]!);
    const slope = new Float64Array(unknowns.count);
    [before, after].forEach((sprayed, which) => {
      const card: FitCard = { ...sprayed, surface: readBy(fit, sprayed.surface), reflectance: variance };
      predictCard(row, card, w, K, S, thicknessScale(fit, w), unknowns, fit.noise);
      readings[which]![w] = row.predicted;
      const sign = which === 0 ? -1 : 1;
      for (let a = 0; a < row.length; a++) {
        const i = row.index[a]!;
        slope[i] = slope[i]! + sign * row.slope[a]!;
      }
    });
    forwardSubstitute(fit.factors[w]!, unknowns.count, slope);
    variance[w] = slope.reduce((sum, value) => sum + value * value, 0);
  }
  return { readings, variance };
}
