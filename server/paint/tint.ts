/** Tinting by eye: what one per cent more of a toner does to a colour. */
import { directionPhrase } from '../colour/direction.ts';
import type { Lab } from '../colour/lab.ts';
import { forwardSubstitute } from './cholesky.ts';
import { type OpticsFit, thicknessScale } from './fit.ts';
import { emptyRow, type FitCard, predictCard, unknownsOf } from './fit-model.ts';
import { deltaE00, type Light, labUnder } from './light.ts';
import type { Component } from './mixture.ts';
import type { Sprayed } from './predict.ts';
import { plusMinus, type UncertaintyModel } from './uncertainty.ts';

/** What an addition of one toner does. */
export interface TintEffect {
  readonly toner: number;
  readonly before: Lab;
  readonly after: Lab;
  readonly dE00: number;
  /** ± of that difference (90 %): errors that both colours share cancel. */
  readonly plusMinus: number;
  /** In painters' words, e.g. 'darker, a little bluer'. */
  readonly words: string;
}

/** One per cent of the batch. */
const customaryAddition = 0.01;

/** Effect of adding `addition` (share of the batch) of each toner of the mixture. */
export function tintEffects(
  fit: OpticsFit,
  model: UncertaintyModel,
  sprayed: Sprayed,
  light: Light,
  addition = customaryAddition,
): TintEffect[] {
  return sprayed.components.map(({ toner }) => {
    const after: Sprayed = { ...sprayed, components: withMore(sprayed.components, toner, addition) };
    return effect(fit, model, sprayed, after, toner, light);
  });
}

function withMore(components: readonly Component[], toner: number, addition: number): Component[] {
  return components.map((each) => ({
    toner: each.toner,
    share: (each.share + (each.toner === toner ? addition : 0)) / (1 + addition),
  }));
}

function effect(
  fit: OpticsFit,
  model: UncertaintyModel,
  before: Sprayed,
  after: Sprayed,
  toner: number,
  light: Light,
): TintEffect {
  const toners = fit.toners.length;
  const unknowns = unknownsOf(toners, fit.gauge, fit.scale !== undefined);
  const row = emptyRow(toners);
  const readings = [new Float64Array(fit.count), new Float64Array(fit.count)] as const;
  const variance = new Float64Array(fit.count);
  for (let w = 0; w < fit.count; w++) {
    const K = Float64Array.from(fit.toners, (each) => each.K[w]!);
    const S = Float64Array.from(fit.toners, (each) => each.S[w]!);
    const difference = new Float64Array(unknowns.count);
    [before, after].forEach((sprayed, which) => {
      const card: FitCard = { ...sprayed, reflectance: variance };
      predictCard(row, card, w, K, S, thicknessScale(fit, w), unknowns, fit.noise);
      readings[which]![w] = row.predicted;
      const sign = which === 0 ? -1 : 1;
      for (let a = 0; a < row.length; a++) {
        const i = row.index[a]!;
        difference[i] = difference[i]! + sign * row.slope[a]!;
      }
    });
    forwardSubstitute(fit.factors[w]!, unknowns.count, difference);
    variance[w] = difference.reduce((sum, value) => sum + value * value, 0);
  }
  const labs = readings.map((reading) => labUnder(light, reading));
  const dE00 = deltaE00(labs[0]!, labs[1]!);
  return {
    toner,
    before: labs[0]!,
    after: labs[1]!,
    dE00,
    plusMinus: plusMinus(model, light, readings[1], variance).dE00,
    words: directionPhrase(labs[0]!, labs[1]!),
  };
}
