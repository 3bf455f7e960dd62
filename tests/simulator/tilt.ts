import type { Random } from './random.ts';
import type { Direction } from './surface.ts';

/** How flakes lie: tilts about the film's plane as a Gaussian per solid angle, with a wider tail (degrees; share of the tail). */
export interface Tilt {
  sigma: number;
  tail: number;
  tailSigma: number;
}

/** The tilt distribution made ready for tracing. All tilts in radians, densities per steradian of upward normals. */
export interface TiltTable {
  /** Density of normals whose cosine to the film normal is `cosine` (either side of the flake counts as up). */
  density(cosine: number): number;
  /** Mean of |u . n| over all flakes for a ray with |cosine| `mu`: flake area that the ray sees, as a share. */
  projected(mu: number): number;
  /** What a ray sees of the flakes, sorted by incidence: shares of flake area whose |u . n| lies in each of `levels` steps. */
  projectedByIncidence(mu: number, levels: number): Float64Array;
  /** A flake normal as a ray along `u` meets it: drawn in proportion to density times |u . n|. */
  hit(u: Direction, random: Random, normal: Float64Array): void;
}

const steps = 600;
const azimuths = 48;
const azimuthCosines = Float64Array.from({ length: azimuths }, (_, j) => Math.cos(((j + 0.5) * Math.PI) / azimuths));
const projections = 256;

export function tiltTable({ sigma, tail, tailSigma }: Tilt): TiltTable {
  const narrow = gaussian(sigma);
  const wide = gaussian(tailSigma);
  const density = (tilt: number) => (1 - tail) * narrow(tilt) + tail * wide(tilt);

  // Midpoints of equal tilt steps; `mass` is the share of normals in each.
  const step = Math.PI / 2 / steps;
  const mass = Float64Array.from({ length: steps }, (_, i) => {
    const tilt = (i + 0.5) * step;
    return density(tilt) * 2 * Math.PI * Math.sin(tilt) * step;
  });
  const cumulative = new Float64Array(steps + 1);
  for (let i = 0; i < steps; i++) cumulative[i + 1] = cumulative[i]! + mass[i]!;

  const projectedByIncidence = (mu: number, levels: number) => {
    const sine = Math.sqrt(1 - mu * mu);
    const seen = new Float64Array(levels);
    for (let i = 0; i < steps; i++) {
      if (mass[i]! < 1e-12) continue;
      const tilt = (i + 0.5) * step;
      const straight = mu * Math.cos(tilt);
      const aslant = sine * Math.sin(tilt);
      for (let j = 0; j < azimuths; j++) {
        const incidence = Math.abs(straight + aslant * azimuthCosines[j]!);
        const level = Math.min(levels - 1, Math.floor(incidence * levels));
        seen[level]! += (mass[i]! / azimuths) * incidence;
      }
    }
    return seen;
  };
  const seen = Float64Array.from({ length: projections + 1 }, (_, i) => projectedByIncidence(i / projections, 1)[0]!);

  const drawTilt = (random: Random) => {
    const target = random() * cumulative[steps]!;
    let low = 0;
    let high = steps;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (cumulative[middle]! <= target) low = middle;
      else high = middle;
    }
    return (low + (target - cumulative[low]!) / (mass[low]! || 1)) * step;
  };

  return {
    density: (cosine) => density(Math.acos(Math.min(1, Math.abs(cosine)))),
    projected(mu) {
      const place = Math.abs(mu) * projections;
      const i = Math.min(projections - 1, Math.floor(place));
      return seen[i]! + (place - i) * (seen[i + 1]! - seen[i]!);
    },
    projectedByIncidence,
    hit([x, y, z], random, normal) {
      for (;;) {
        const tilt = drawTilt(random);
        const azimuth = 2 * Math.PI * random();
        const sine = Math.sin(tilt);
        normal[0] = sine * Math.cos(azimuth);
        normal[1] = sine * Math.sin(azimuth);
        normal[2] = Math.cos(tilt);
        if (random() < Math.abs(x * normal[0]! + y * normal[1]! + z * normal[2]!)) return;
      }
    },
  };
}

/** exp(-t^2 / 2 sigma^2), normalised numerically over the upper half of all normals. */
function gaussian(sigmaDegrees: number): (tilt: number) => number {
  const width = 2 * ((sigmaDegrees * Math.PI) / 180) ** 2;
  const step = Math.PI / 2 / steps;
  let total = 0;
  for (let i = 0; i < steps; i++) {
    const tilt = (i + 0.5) * step;
    total += Math.exp((-tilt * tilt) / width) * 2 * Math.PI * Math.sin(tilt) * step;
  }
  return (tilt) => Math.exp((-tilt * tilt) / width) / total;
}
