/** Coats of an effect colour until its undercoat no longer shows, judged at the angle where it shows most. */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { Lab } from '../colour/lab.ts';
import type { TristimulusWeights } from '../colour/weights.ts';
import { labsOfAngles } from './effect-colour.ts';
import { effectGeometry, internalDiffuseReflectance } from './effect-geometry.ts';
import { type EffectFilm, type EffectModel, effectReflectance } from './effect-model.ts';

/** An effect colour that is laid in coats. */
export interface EffectCoats {
  readonly model: EffectModel;
  readonly film: Pick<EffectFilm, 'toners' | 'shares'>;
  /** thickness of one coat in units of the fit's film thickness */
  readonly coat: number;
  readonly weights: TristimulusWeights;
}

/** How far a number of coats is from the opaque colour, at the angle where it is furthest. */
export interface Showing {
  readonly coats: number;
  readonly dE00: number;
  readonly geometry: string;
}

/** Coats beyond which a paint is said not to hide at all. */
const MOST = 60;
/** Neighbouring thicknesses of the scan, as a ratio. */
const SCAN = 1.2;

/** Reflectance seen from inside the film of an undercoat that reads `measured` at 45as45 under the clear coat. */
export function undercoatInside(measured: number): number {
  return measured / (effectGeometry(45).diffuseGain + internalDiffuseReflectance(1.5) * measured);
}

/** How far these numbers of coats (broken ones too) over an undercoat are from opaque. */
export function showingThrough(paint: EffectCoats, undercoat: ArrayLike<number>, coats: readonly number[]): Showing[] {
  const opaque = opaqueLabs(paint);
  return coats.map((count) => worst(paint, count, labsAt(paint, undercoat, count), opaque));
}

/** Smallest number of coats (broken) from which on every angle stays within `tolerance` dE00 of opaque; Infinity beyond 60. */
export function effectCoatsToHide(paint: EffectCoats, undercoat: ArrayLike<number>, tolerance: number): number {
  const opaque = opaqueLabs(paint);
  const shows = (coats: number): boolean =>
    worst(paint, coats, labsAt(paint, undercoat, coats), opaque).dE00 > tolerance;
  if (shows(MOST)) return Number.POSITIVE_INFINITY;
  // from the thick end down: near the best grey the difference may dip and rise again
  let hides = MOST;
  while (hides > 0.05 && !shows(hides / SCAN)) hides /= SCAN;
  if (hides <= 0.05) return 0;
  let thin = hides / SCAN;
  for (let i = 0; i < 16; i++) {
    const middle = (thin + hides) / 2;
    if (shows(middle)) thin = middle;
    else hides = middle;
  }
  return hides;
}

/** Over black, so that a film that never hides is not taken for opaque. */
function opaqueLabs(paint: EffectCoats): Lab[] {
  return labsAt(paint, new Float64Array(paint.model.bands.count), 4 * MOST);
}

function labsAt(paint: EffectCoats, undercoat: ArrayLike<number>, coats: number): Lab[] {
  return labsOfAngles(
    effectReflectance(paint.model, { ...paint.film, thickness: coats * paint.coat, undercoat }),
    paint.weights,
  );
}

function worst(paint: EffectCoats, coats: number, labs: readonly Lab[], opaque: readonly Lab[]): Showing {
  return labs
    .map((lab, a) => ({ coats, dE00: deltaE00(opaque[a]!, lab), geometry: paint.model.geometries[a]!.name }))
    .reduce((far, one) => (one.dE00 > far.dE00 ? one : far));
}
