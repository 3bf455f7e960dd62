/**
 * CIEDE2000 (ISO/CIE 11664-6) on plain numbers, for the loops of search; single differences go through difference.ts, which
 * these agree with to 1e-10. Chromas sqrt(a*^2 + b*^2) are handed in, because an index keeps them beside its colours.
 *
 * Hue enters only through the direction half way between the two colours: the sum of their unit vectors. Its multiples come
 * from the double- and triple-angle formulas, so no angle is taken but in the rotation term, and that only where it counts.
 */
import { difference } from './difference.ts';
import { chroma as chromaOf, type Lab } from './lab.ts';

const DEGREE = Math.PI / 180;
const CHROMA_25_7 = 25 ** 7;
const COS_6 = Math.cos(6 * DEGREE);
const SIN_6 = Math.sin(6 * DEGREE);
const COS_30 = Math.cos(30 * DEGREE);
const COS_63 = Math.cos(63 * DEGREE);
const SIN_63 = Math.sin(63 * DEGREE);
const SIN_60 = Math.sin(60 * DEGREE);
/** Mean hues from 0 to here are further than 140 degrees from 275, where the rotation is below 1e-13. */
const ROTATION_BEGINS = Math.cos(135 * DEGREE);
/** Below this product of chromas the hue difference is under 2e-12, whatever the hues. */
const NEUTRAL = 1e-24;
/** Sum of the unit vectors below which two hues are so nearly opposite that the direction between them is rounding error. */
const OPPOSITE = 1e-7;

/** sqrt(C^7 / (C^7 + 25^7)), the part that high chroma plays in both the a* scale and the rotation. */
function chromaPart(chroma: number): number {
  const square = chroma * chroma;
  const seventh = square * square * square * chroma;
  return Math.sqrt(seventh / (seventh + CHROMA_25_7));
}

/** Colour difference of two colours given by L*, a*, b* and chroma. Symmetric in the two. */
export function ciede2000(
  L1: number,
  a1: number,
  b1: number,
  C1: number,
  L2: number,
  a2: number,
  b2: number,
  C2: number,
): number {
  const stretch = 1.5 - 0.5 * chromaPart(0.5 * (C1 + C2));
  const p1 = stretch * a1;
  const p2 = stretch * a2;
  const D1 = Math.sqrt(p1 * p1 + b1 * b1);
  const D2 = Math.sqrt(p2 * p2 + b2 * b2);
  const mean = 0.5 * (D1 + D2);
  const lightness = lightnessTerm(L1, L2);
  const chroma = (D2 - D1) / (1 + 0.045 * mean);
  const product = D1 * D2;
  if (product < NEUTRAL) return Math.sqrt(lightness * lightness + chroma * chroma);

  let x = p1 * D2 + p2 * D1;
  let y = b1 * D2 + b2 * D1;
  const length = Math.sqrt(x * x + y * y);
  if (length < OPPOSITE * product) return difference('dE00', [L1, a1, b1], [L2, a2, b2]);
  const toUnit = 1 / length;
  x *= toUnit;
  y *= toUnit;

  // 2 sqrt(D1 D2) sin(half the angle between), from whichever of the two products does not cancel.
  const dot = p1 * p2 + b1 * b2;
  const cross = p1 * b2 - p2 * b1;
  let arc: number;
  if (dot > 0) arc = cross / Math.sqrt(0.5 * (product + dot));
  else arc = cross < 0 ? -Math.sqrt(2 * (product - dot)) : Math.sqrt(2 * (product - dot));

  const xx = x * x;
  const cos2 = 2 * xx - 1;
  const sin2 = 2 * x * y;
  const T =
    1 -
    0.17 * (x * COS_30 + 0.5 * y) +
    0.24 * cos2 +
    0.32 * (x * (4 * xx - 3) * COS_6 - y * (4 * xx - 1) * SIN_6) -
    0.2 * ((2 * cos2 * cos2 - 1) * COS_63 + 2 * cos2 * sin2 * SIN_63);
  const hue = arc / (1 + 0.015 * mean * T);
  const squares = lightness * lightness + chroma * chroma + hue * hue;
  // The standard measures the mean hue to 275 degrees without going round the circle: from 0 up there is no rotation.
  if (y >= 0 && x > ROTATION_BEGINS) return Math.sqrt(squares);
  return Math.sqrt(squares + rotation(x, y, mean) * chroma * hue);
}

/** R_T for a mean hue in direction (x, y) and a mean chroma: turns the tolerance ellipses of blues. */
function rotation(x: number, y: number, chroma: number): number {
  const angle = Math.atan2(y, x) / DEGREE;
  const distance = ((angle < 0 ? angle + 360 : angle) - 275) / 25;
  return -2 * chromaPart(chroma) * Math.sin(60 * DEGREE * Math.exp(-distance * distance));
}

/** CIEDE2000 of two colours, for loops; symmetric in the two. */
export function deltaE00(standard: Lab, sample: Lab): number {
  const [L1, a1, b1] = standard;
  const [L2, a2, b2] = sample;
  return ciede2000(L1, a1, b1, chromaOf(standard), L2, a2, b2, chromaOf(sample));
}

/** dL / S_L. Its size grows with the distance from L1 for all L* from 0 to 150, so boxes may be bounded by their nearest edge. */
function lightnessTerm(L1: number, L2: number): number {
  const middle = 0.5 * (L1 + L2) - 50;
  const square = middle * middle;
  const root = Math.sqrt(20 + square);
  return ((L2 - L1) * root) / (root + 0.015 * square);
}

/**
 * Never above CIEDE2000, for any pair, and without trigonometry: T stays below 2, so that S_H <= S_C; the rotation takes away at
 * most its largest share of both terms; and dC'^2 + dH'^2 is the squared distance in the stretched a*, b* plane.
 * @param da size of the difference in a*, not stretched
 * @param C mean of the two chromas, or anything above it
 */
function planeBound(lightness: number, da: number, db: number, C: number): number {
  const stretch = 1.5 - 0.5 * chromaPart(C);
  const D = stretch * C;
  const S = 1 + 0.045 * D;
  const p = stretch * da;
  return Math.sqrt(lightness * lightness + ((1 - SIN_60 * chromaPart(D)) * (p * p + db * db)) / (S * S));
}

/** A figure never above CIEDE2000 of the pair, at a fifth of its cost. */
export function ciede2000Bound(
  L1: number,
  a1: number,
  b1: number,
  C1: number,
  L2: number,
  a2: number,
  b2: number,
  C2: number,
): number {
  return planeBound(lightnessTerm(L1, L2), a1 - a2, b1 - b2, 0.5 * (C1 + C2));
}

/**
 * A figure never above CIEDE2000 between a colour and any colour of a box. `box` holds, from `at` on, the least and greatest L*,
 * a*, b* and the greatest chroma: L0 L1 a0 a1 b0 b1 C. Safe for L* up to 150; further out the lightness term is left away.
 */
export function ciede2000BoxBound(L: number, a: number, b: number, C: number, box: Float64Array, at: number): number {
  const edge = outside(L, box[at]!, box[at + 1]!);
  const inRange = L <= 150 && box[at + 1]! <= 150 && L >= 0 && box[at]! >= 0;
  const lightness = inRange ? lightnessTerm(L, L + edge) : 0;
  const da = outside(a, box[at + 2]!, box[at + 3]!);
  const db = outside(b, box[at + 4]!, box[at + 5]!);
  return planeBound(lightness, da, db, 0.5 * (C + box[at + 6]!));
}

/** How far, with its sign, from a value to an interval; 0 inside. */
function outside(value: number, low: number, high: number): number {
  return value < low ? low - value : value > high ? high - value : 0;
}

/**
 * CIEDE2000 of one standard and many samples, L*, a*, b* one after the other, into `out`.
 */
export function ciede2000Batch(standard: Lab, samples: Float64Array, out: Float64Array): void {
  const [L, a, b] = standard;
  const C = Math.sqrt(a * a + b * b);
  for (let i = 0, j = 0; j + 2 < samples.length; i++, j += 3) {
    const p = samples[j + 1]!;
    const q = samples[j + 2]!;
    out[i] = ciede2000(L, a, b, C, samples[j]!, p, q, Math.sqrt(p * p + q * q));
  }
}
