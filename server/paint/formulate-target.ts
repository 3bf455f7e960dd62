/** What a formula is to match, and how far a mixture is from it, in the form that the search needs. */
import type { Lab } from '../colour/lab.ts';
import { absorptionOverScattering, filmReflectance, opaqueReflectance, opaqueSlope } from './kubelka-munk.ts';
import { deltaE00, differenceMetric, type Light, labSlopes, labUnder, metricFactor } from './light.ts';
import type { TonerOptics } from './mixture.ts';
import { internalReflectance, type Surface, surfaceSlope, throughSurface } from './surface.ts';

/**
 * A target as a list of aspects, each a light and the colour wanted under it. Solids have one geometry; a further
 * geometry would be a further list of the same shape with its own optics.
 */
export interface Target {
  readonly lights: readonly Light[];
  readonly labs: readonly Lab[];
  readonly surface: Surface;
  /** Absent: the paint hides. */
  readonly film?: SprayedFilm;
}

/** A film that may not hide what it is sprayed on. */
export interface SprayedFilm {
  /** Per wavelength, in units in which the toners' K and S are told. */
  readonly thickness: Float64Array;
  /** Internal reflectance of what is below. */
  readonly under: Float64Array;
}

/** A target seen from one reflectance, its own or a mixture's near it, about which the search is linearised. */
export interface LinearisedTarget extends Target {
  /** K/S of the reflectance, per wavelength. */
  readonly theta: Float64Array;
  /** d(measured reflectance)/d(K/S) there. */
  readonly slope: Float64Array;
  /** Per light the Cholesky factor of the dE00 metric at the wanted colour, 3 x 3. */
  readonly factors: readonly Float64Array[];
  /** (3 x lights) x count: what a change of reflectance does to the weighted Lab differences. */
  readonly response: Float64Array;
  /** Weighted Lab differences of the reflectance itself from the wanted colours, 3 per light. */
  readonly offset: Float64Array;
}

export function linearise(target: Target, reflectance: Float64Array): LinearisedTarget {
  const { surface, lights } = target;
  const count = reflectance.length;
  const theta = reflectance.map((value) => absorptionOverScattering(internalReflectance(surface, value)));
  const slope = theta.map((value) => surfaceSlope(surface, opaqueReflectance(value)) * opaqueSlope(value));
  const factors = target.labs.map((lab) => metricFactor(differenceMetric(lab)));
  const response = new Float64Array(3 * lights.length * count);
  lights.forEach((light, l) => {
    const slopes = labSlopes(light, reflectance);
    const factor = factors[l]!;
    for (let w = 0; w < count; w++) {
      for (let c = 0; c < 3; c++) {
        let sum = 0;
        for (let k = c; k < 3; k++) sum += factor[3 * k + c]! * slopes[k * count + w]!;
        response[(3 * l + c) * count + w] = sum;
      }
    }
  });
  const linearised = { ...target, theta, slope, factors, response, offset: new Float64Array(3 * lights.length) };
  residuals(linearised, reflectance, linearised.offset);
  return linearised;
}

/** Weighted Lab differences of a reflectance from the target, 3 per light: their squares sum to dE00² for small ones. */
export function residuals(target: LinearisedTarget, reflectance: Float64Array, out: Float64Array): void {
  target.lights.forEach((light, l) => {
    const lab = labUnder(light, reflectance);
    const wanted = target.labs[l]!;
    const factor = target.factors[l]!;
    for (let c = 0; c < 3; c++) {
      let sum = 0;
      for (let k = c; k < 3; k++) sum += factor[3 * k + c]! * (lab[k]! - wanted[k]!);
      out[3 * l + c] = sum;
    }
  });
}

/** dE00 under each light. */
export function differences(target: Target, reflectance: Float64Array): number[] {
  return target.lights.map((light, l) => deltaE00(target.labs[l]!, labUnder(light, reflectance)));
}

/** Root mean square, the one figure that the search lowers. */
export function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / Math.max(values.length, 1));
}

/** Measured reflectance of a mixture of toners with these shares, hiding or as a film. */
export function mixtureReading(
  toners: readonly TonerOptics[],
  shares: readonly { readonly toner: number; readonly share: number }[],
  surface: Surface,
  film?: SprayedFilm,
): Float64Array {
  const count = toners[0]?.K.length ?? 0;
  const reading = new Float64Array(count);
  for (let w = 0; w < count; w++) {
    let k = 0;
    let s = 0;
    for (const { toner, share } of shares) {
      k += share * toners[toner]!.K[w]!;
      s += share * toners[toner]!.S[w]!;
    }
    const internal = film
      ? filmReflectance(k, s, film.thickness[w]!, film.under[w]!)
      : opaqueReflectance(k / Math.max(s, 1e-12));
    reading[w] = throughSurface(surface, internal);
  }
  return reading;
}
