/** What a measuring angle means inside the clear binder: the constants of the mirror model of effect colours. */

/** Refractive index of binder and clear coat; the usual round value for paint resins (common practice). */
export const BINDER_INDEX = 1.5;

/** Direction of the light and half the detector's opening, degrees (45 degree multi-angle instruments, ASTM E2539). */
const LIGHT = 45;
const HALF_OPENING = 4;

export interface EffectGeometry {
  /** as written in a book: 45as15, 45as-15 … */
  readonly name: string;
  /** angle from the gloss towards the light, degrees */
  readonly aspecular: number;
  /** tilt of a flake that mirrors the light into the detector, radians */
  readonly tilt: number;
  /** angle of incidence on that flake, radians */
  readonly incidence: number;
  /** way in plus way out inside the film, in film thicknesses: 1/cos in + 1/cos out */
  readonly path: number;
  /** from flake normals per steradian to reflectance factor: pi Ti To / (4 n² cos in cos out) */
  readonly mirrorGain: number;
  /** from diffuse light inside to reflectance factor: Ti To / n² */
  readonly diffuseGain: number;
  /** half the detector's opening as tilt of the flake, radians */
  readonly halfAperture: number;
  /** how much a pigment scatters to this angle at once, 1 at 45as45 */
  readonly scatterLobe: number;
}

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/** Unpolarised Fresnel transmittance from air into index n at an angle from the normal (radians). */
export function fresnelTransmittance(angle: number, n: number): number {
  const cosOut = Math.cos(angle);
  const cosIn = Math.sqrt(1 - (Math.sin(angle) / n) ** 2);
  const across = (cosOut - n * cosIn) / (cosOut + n * cosIn);
  const along = (n * cosOut - cosIn) / (n * cosOut + cosIn);
  return 1 - (across ** 2 + along ** 2) / 2;
}

/**
 * Part of evenly diffuse light that the surface throws back inside, for index n.
 * The outer diffuse reflectance is integrated; the inner one follows from it by 1 - (1 - r)/n² (reciprocity).
 */
export function internalDiffuseReflectance(n: number): number {
  const steps = 4000;
  let transmitted = 0;
  for (let i = 0; i < steps; i++) {
    // equal steps of sin² are equal parts of a Lambertian flux
    const angle = Math.asin(Math.sqrt((i + 0.5) / steps));
    transmitted += fresnelTransmittance(angle, n) / steps;
  }
  return 1 - transmitted / (n * n);
}

/** The constants of 45asX for any X that looks at the front of the panel and misses the gloss. */
export function effectGeometry(aspecular: number): EffectGeometry {
  const view = LIGHT - aspecular;
  if (!(Math.abs(view) < 85))
    throw new RangeError(`45as${aspecular} does not look at the front of the panel: use -35 to 125`);
  if (Math.abs(aspecular) < 2 * HALF_OPENING)
    throw new RangeError(`45as${aspecular} lies in the gloss: effect colours are read 8 degrees or more away from it`);
  const n = BINDER_INDEX;
  const inside = Math.asin(Math.sin(radians(LIGHT)) / n);
  const out = Math.asin(Math.sin(radians(view)) / n);
  const surface = fresnelTransmittance(radians(LIGHT), n) * fresnelTransmittance(Math.abs(radians(view)), n);
  return {
    name: `45as${aspecular}`,
    aspecular,
    tilt: Math.abs(inside - out) / 2,
    incidence: Math.abs(inside + out) / 2,
    path: 1 / Math.cos(inside) + 1 / Math.cos(out),
    mirrorGain: (Math.PI * surface) / (4 * n * n * Math.cos(inside) * Math.cos(out)),
    diffuseGain: surface / (n * n),
    halfAperture: (radians(HALF_OPENING) * Math.cos(radians(view))) / (n * Math.cos(out)) / 2,
    scatterLobe: scatterPhase(Math.PI - inside - out) / scatterPhase(Math.PI - inside),
  };
}

/** Henyey and Greenstein 1941, not normalised, with g = 0.5: what the diffuse part takes for every pigment. */
const scatterPhase = (turn: number): number => (1 + 0.5 ** 2 - 2 * 0.5 * Math.cos(turn)) ** -1.5;

/** The geometry of a name such as 45as15, 45as-15 or 45/0; undefined when this model has no constants for it. */
export function effectGeometryNamed(name: string): EffectGeometry | undefined {
  const found = /^45as(-?\d+(?:\.\d+)?)$/.exec(name === '45/0' ? '45as45' : name);
  if (!found) return undefined;
  const aspecular = Number(found[1]);
  if (Math.abs(aspecular) < 2 * HALF_OPENING || Math.abs(LIGHT - aspecular) >= 85) return undefined;
  return { ...effectGeometry(aspecular), name };
}
