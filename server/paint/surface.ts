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
  /** What is lacking of the light that turned once, 0..1, see `seenFromOneSide`; absent: nothing. */
  readonly firstTurn?: number;
}

/** What a book's cards tell of its readings besides K and S. */
export type ReadingConstants = Required<Pick<Surface, 'directional' | 'firstTurn'>>;

/** Readings as two fluxes have them. */
export const plainReading: ReadingConstants = { directional: 1, firstTurn: 0 };

/** Saunderson constants used where the book states none; common practice for coatings of refractive index 1.5. */
export const defaultSurface: Surface = { k1: 0.04, k2: 0.6, specular: 'excluded' };

/** A surface that changes nothing: internal and measured reflectance are the same. */
export const noSurface: Surface = { k1: 0, k2: 0, specular: 'excluded' };

/** How steeply the light that turned once comes to be all. On simulated cards left out, 4 and 8 did about alike; the gentler is taken. */
const steepness = 4;

/**
 * Internal reflectance of a film as an instrument sees it that lights it from one side and looks from another.
 *
 * With g = (1 - R)/(1 + R), the root of what a turn of the light absorbs, two fluxes send back R = (1 - g²)/(1 + g)². Light read
 * in one direction goes as (1 - g²)/(1 + e g)², after the approximation of Chandrasekhar's H by (1 + 2 mu)/(1 + 2 mu g) (B. Hapke
 * 1981, J. Geophys. Res. 86, 3039; from memory). And pigments throw light forward, so that less comes back at the first turn, which
 * in a strong colour is all there is: a factor 1 - d g⁴, whose form is ours. e and d are learned from the cards. White stays white,
 * black stays black; what lies between is darker than tints make two fluxes expect.
 */
function seenFromOneSide(surface: Surface, internal: number): number {
  return isPlain(surface) ? internal : seenAt(surface, (1 - internal) / (1 + internal));
}

const isPlain = ({ directional: e = 1, firstTurn: d = 0 }: Surface): boolean => e === 1 && d === 0;

function seenAt({ directional: e = 1, firstTurn: d = 0 }: Surface, g: number): number {
  return ((1 - g * g) / (1 + e * g) ** 2) * (1 - d * g ** steepness);
}

/** d(seen)/dg. */
function slopeAt({ directional: e = 1, firstTurn: d = 0 }: Surface, g: number): number {
  const turned = (1 - g * g) / (1 + e * g) ** 2;
  const byTurned = (-2 * (g + e)) / (1 + e * g) ** 3;
  return byTurned * (1 - d * g ** steepness) - turned * d * steepness * g ** (steepness - 1);
}

function seenSlope(surface: Surface, internal: number): number {
  if (isPlain(surface)) return 1;
  return (-2 * slopeAt(surface, (1 - internal) / (1 + internal))) / (1 + internal) ** 2;
}

/** The inverse of `seenFromOneSide`: exact without first turn, else by Newton's method from there. */
function internalOfSeen(surface: Surface, seen: number): number {
  if (isPlain(surface)) return seen;
  const { directional: e = 1, firstTurn = 0 } = surface;
  let g = (Math.sqrt(Math.max(seen * (e * e - 1) + 1, 0)) - seen * e) / (seen * e * e + 1);
  for (let round = 0; firstTurn > 0 && round < 20; round++) {
    const step = (seenAt(surface, g) - seen) / slopeAt(surface, g);
    g -= step;
    if (Math.abs(step) < 1e-14) break;
  }
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
