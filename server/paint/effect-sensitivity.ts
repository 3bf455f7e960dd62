/** Tinting by eye: what a little more of one toner does to face and flop. */
import { deltaE00 } from '../colour/ciede2000.ts';
import { chroma, type Lab } from '../colour/lab.ts';
import type { TristimulusWeights } from '../colour/weights.ts';
import { labsOfAngles } from './effect-colour.ts';
import { type EffectFilm, type EffectModel, effectReflectance } from './effect-model.ts';

/** What changes at one angle; differences are after less before. */
export interface TintStep {
  readonly geometry: string;
  readonly before: Lab;
  readonly after: Lab;
  readonly dL: number;
  readonly dC: number;
  readonly dE00: number;
}

export interface TintEffect {
  /** place of the toner in the film */
  readonly toner: number;
  readonly steps: readonly TintStep[];
  /** the face (the angle nearest 15 degrees on the flop side of the gloss) and the flop (the angle furthest from it) */
  readonly face: TintStep;
  readonly flop: TintStep;
}

/**
 * Adds `part` of the dry coat (default 1 per cent) of each toner in turn to a film and gives what it does at each angle.
 * The whole of coat grows by that part, so all else is thinned by it, as in a cup that gets a drop.
 */
export function tintEffects(
  model: EffectModel,
  film: EffectFilm,
  weights: TristimulusWeights,
  part = 0.01,
): TintEffect[] {
  const before = labsOfAngles(effectReflectance(model, film), weights);
  const face = nearest(model, 15);
  const flop = nearest(model, 180);
  return film.toners.map((_, toner) => {
    const shares = Array.from(film.shares, (share, j) => (share + (j === toner ? part : 0)) / (1 + part));
    const after = labsOfAngles(effectReflectance(model, { ...film, shares }), weights);
    const steps = model.geometries.map((geometry, a) => tintStep(geometry.name, before[a]!, after[a]!));
    return { toner, steps, face: steps[face]!, flop: steps[flop]! };
  });
}

function tintStep(geometry: string, before: Lab, after: Lab): TintStep {
  return {
    geometry,
    before,
    after,
    dL: after[0] - before[0],
    dC: chroma(after) - chroma(before),
    dE00: deltaE00(before, after),
  };
}

function nearest(model: EffectModel, aspecular: number): number {
  const away = (a: number): number => Math.abs(model.geometries[a]!.aspecular - aspecular);
  return model.geometries.reduce((best, _, a) => (away(a) < away(best) ? a : best), 0);
}
