/**
 * What an instrument reads of a paint film: reflection at its surface after J. L. Saunderson (1942, J. Opt. Soc. Am. 32, 727), and
 * how light from one direction read in another differs from the diffuse light that two fluxes know.
 *
 * k1 is what the surface reflects of the light that falls on it, k2 what it throws back of the diffuse light inside.
 * For a refractive index of 1.5, Fresnel gives k1 0.04 and k2 0.596.
 */
export interface Surface {
  readonly k1: number;
  readonly k2: number;
  /** Whether the reading holds the surface's mirror reflection: sphere 'included', 45/0 and multi-angle 'excluded'. */
  readonly specular: 'included' | 'excluded';
  /** The directional constant, see `seenFromOneSide`; absent or 1: the light inside is diffuse. */
  readonly directional?: number;
}

/** Saunderson constants used where the book states none; common practice for coatings of refractive index 1.5. */
export const defaultSurface: Surface = { k1: 0.04, k2: 0.6, specular: 'excluded' };

/** A surface that changes nothing: internal and measured reflectance are the same. */
export const noSurface: Surface = { k1: 0, k2: 0, specular: 'excluded' };

/**
 * Internal reflectance of a film as an instrument sees it that lights it from one side and looks from another.
 *
 * With g = (1 - R)/(1 + R), the root of what a turn of the light absorbs, two fluxes send back R = (1 - g²)/(1 + g)². Light read
 * in one direction goes as (1 - g²)/(1 + e g)², after the approximation of Chandrasekhar's H by (1 + 2 mu)/(1 + 2 mu g) (B. Hapke
 * 1981, J. Geophys. Res. 86, 3039; from memory). e is learned from the cards. Pigments throw light forward, so that little comes
 * back at the first turn, and strong colours, of which the first turns are all that is seen, read darker than their tints make two
 * fluxes expect: e below 1. White stays white, black stays black.
 */
function seenFromOneSide({ directional: e = 1 }: Surface, internal: number): number {
  if (e === 1) return internal;
  const g = (1 - internal) / (1 + internal);
  return (1 - g * g) / (1 + e * g) ** 2;
}

function seenSlope({ directional: e = 1 }: Surface, internal: number): number {
  if (e === 1) return 1;
  const g = (1 - internal) / (1 + internal);
  return (4 * (g + e)) / ((1 + e * g) ** 3 * (1 + internal) ** 2);
}

/** The exact inverse of `seenFromOneSide`. */
function internalOfSeen({ directional: e = 1 }: Surface, seen: number): number {
  if (e === 1) return seen;
  const g = (Math.sqrt(Math.max(seen * (e * e - 1) + 1, 0)) - seen * e) / (seen * e * e + 1);
  return (1 - g) / (1 + g);
}

/** Measured reflectance of a film whose internal reflectance is given. */
export function throughSurface(surface: Surface, internal: number): number {
  const { k1, k2 } = surface;
  const seen = seenFromOneSide(surface, internal);
  const diffuse = ((1 - k1) * (1 - k2) * seen) / (1 - k2 * seen);
  return surface.specular === 'included' ? k1 + diffuse : diffuse;
}

/** d(measured)/d(internal). */
export function surfaceSlope(surface: Surface, internal: number): number {
  const { k1, k2 } = surface;
  const seen = seenFromOneSide(surface, internal);
  return (seenSlope(surface, internal) * (1 - k1) * (1 - k2)) / ((1 - k2 * seen) * (1 - k2 * seen));
}

/**
 * Internal reflectance from a measured one: the exact inverse. A reading below k1 with the specular reflection
 * included comes out negative, and one above the brightest possible film above 1: the caller decides what that means.
 */
export function belowSurface(surface: Surface, measured: number): number {
  const { k1, k2 } = surface;
  const diffuse = surface.specular === 'included' ? measured - k1 : measured;
  return internalOfSeen(surface, diffuse / ((1 - k1) * (1 - k2) + k2 * diffuse));
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
