import { type Lab, labsOfSpectra } from '../colour/lab.ts';
import type { TristimulusWeights } from '../colour/weights.ts';

/** Lab of each angle of an angle-major reflectance. */
export function labsOfAngles(reflectance: Float64Array, weights: TristimulusWeights): Lab[] {
  const angles = reflectance.length / weights.count;
  const flat = new Float64Array(3 * angles);
  labsOfSpectra(reflectance, weights, flat);
  return Array.from({ length: angles }, (_, a) => [flat[3 * a]!, flat[3 * a + 1]!, flat[3 * a + 2]!] as const);
}
