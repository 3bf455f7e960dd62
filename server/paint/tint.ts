/** Tinting by eye: what one per cent more of a toner does to a colour. */
import { directionPhrase } from '../colour/direction.ts';
import type { Lab } from '../colour/lab.ts';
import type { OpticsFit } from './fit.ts';
import type { Light } from './light.ts';
import type { Component } from './mixture.ts';
import type { Sprayed } from './predict.ts';
import { colourShift } from './shift.ts';
import type { UncertaintyModel } from './uncertainty.ts';

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
  const shift = colourShift(fit, model, before, after, light);
  return { toner, ...shift, words: directionPhrase(shift.before, shift.after) };
}
