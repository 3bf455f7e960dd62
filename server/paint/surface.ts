/**
 * Reflection at the surface of a paint film after J. L. Saunderson (1942, J. Opt. Soc. Am. 32, 727).
 *
 * k1 is what the surface reflects of the light that falls on it, k2 what it throws back of the diffuse light inside.
 * For a refractive index of 1.5, Fresnel gives k1 0.04 and k2 0.596.
 */
export interface Surface {
  readonly k1: number;
  readonly k2: number;
  /** Whether the reading holds the surface's mirror reflection: sphere 'included', 45/0 and multi-angle 'excluded'. */
  readonly specular: 'included' | 'excluded';
}

/** Saunderson constants used where the book states none; common practice for coatings of refractive index 1.5. */
export const defaultSurface: Surface = { k1: 0.04, k2: 0.6, specular: 'excluded' };

/** A surface that changes nothing: internal and measured reflectance are the same. */
export const noSurface: Surface = { k1: 0, k2: 0, specular: 'excluded' };

/** Measured reflectance of a film whose internal reflectance is given. */
export function throughSurface(surface: Surface, internal: number): number {
  const { k1, k2 } = surface;
  const diffuse = ((1 - k1) * (1 - k2) * internal) / (1 - k2 * internal);
  return surface.specular === 'included' ? k1 + diffuse : diffuse;
}

/** d(measured)/d(internal). */
export function surfaceSlope(surface: Surface, internal: number): number {
  const { k1, k2 } = surface;
  return ((1 - k1) * (1 - k2)) / ((1 - k2 * internal) * (1 - k2 * internal));
}

/**
 * Internal reflectance from a measured one: the exact inverse. A reading below k1 with the specular reflection
 * included comes out negative, and one above the brightest possible film above 1: the caller decides what that means.
 */
export function belowSurface(surface: Surface, measured: number): number {
  const { k1, k2 } = surface;
  const diffuse = surface.specular === 'included' ? measured - k1 : measured;
  return diffuse / ((1 - k1) * (1 - k2) + k2 * diffuse);
}

/** d(internal)/d(measured). */
export function belowSurfaceSlope(surface: Surface, measured: number): number {
  return 1 / surfaceSlope(surface, belowSurface(surface, measured));
}

/**
 * Bounds of the internal reflectance that a paint can have. Noise in a very dark or very bright reading leaves them,
 * and K/S of such a reading is meaningless.
 */
const darkest = 5e-4;
const brightest = 0.9999;

/** Internal reflectance of a reading, kept within what a paint can have. */
export function internalReflectance(surface: Surface, measured: number): number {
  return Math.min(Math.max(belowSurface(surface, measured), darkest), brightest);
}
