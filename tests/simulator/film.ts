import type { Plate } from './plate.ts';
import type { Tilt } from './tilt.ts';

/** The bands of every spectrum here: 400 to 700 nm in steps of 10. */
export const wavelengths: readonly number[] = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);

/**
 * Flakes in a layer. `rate` is the flake area per volume: hits per unit depth of a ray that goes straight down on flat flakes.
 * A share `edge` of the hits scatters evenly to all sides. A metal flake mirrors with `reflectance`; a pearl is a thin plate.
 */
export interface Flakes extends Tilt {
  rate: number;
  edge: number;
  mirror: { reflectance: Float64Array } | { plate: Plate };
}

/** One paint layer. Absorption (per band) and scattering are per unit path; thickness is in the same unit of length. */
export interface Layer {
  thickness: number;
  absorption: Float64Array;
  scattering: number;
  /** Mean cosine of one scattering (Henyey and Greenstein 1941); 0 scatters evenly. */
  asymmetry: number;
  flakes: readonly Flakes[];
}

/** A paint film from the surface down, over a Lambertian undercoat with internal reflectance per band. */
export interface Film {
  /** Refractive index of the paint; 1 takes the surface away. */
  index: number;
  layers: readonly Layer[];
  undercoat: Float64Array;
}

/** What a toner does to light per share of the dry film and unit of thickness. */
export type TonerOptics =
  | { kind: 'pigment'; absorption: Float64Array; scattering: number; disturbance: number }
  | ({ kind: 'flake'; reflectance: Float64Array } & Tilt & { rate: number; edge: number })
  | ({ kind: 'pearl'; plate: Plate } & Tilt & { rate: number; edge: number });

const forward = 0.5;

/**
 * A layer of toners by their shares of the dry film. Pigments with a `disturbance` (degrees per share) widen the tilt of
 * every flake, as particles between flakes do: variances add.
 */
export function mix(toners: readonly (readonly [TonerOptics, number])[], thickness: number): Layer {
  const absorption = new Float64Array(wavelengths.length);
  let scattering = 0;
  let widening = 0;
  for (const [optics, share] of toners) {
    if (optics.kind !== 'pigment') continue;
    scattering += share * optics.scattering;
    widening += (share * optics.disturbance) ** 2;
    for (let k = 0; k < absorption.length; k++) absorption[k]! += share * optics.absorption[k]!;
  }
  const flakes: Flakes[] = [];
  for (const [optics, share] of toners) {
    if (optics.kind === 'pigment' || share === 0) continue;
    flakes.push({
      rate: share * optics.rate,
      edge: optics.edge,
      sigma: Math.sqrt(optics.sigma ** 2 + widening),
      tail: optics.tail,
      tailSigma: Math.sqrt(optics.tailSigma ** 2 + widening),
      mirror: optics.kind === 'flake' ? { reflectance: optics.reflectance } : { plate: optics.plate },
    });
  }
  return { thickness, absorption, scattering, asymmetry: forward, flakes };
}

/** One value at every band. */
export function flat(value: number): Float64Array {
  return new Float64Array(wavelengths.length).fill(value);
}
