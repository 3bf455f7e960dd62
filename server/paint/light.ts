/** Colour of a reflectance under one light, in the form that the loops of fitting and searching need. */
import { ciede2000 } from '../colour/ciede2000.ts';
import { chroma, type Lab } from '../colour/lab.ts';
import { parseViewing } from '../colour/viewing.ts';
import { tristimulusWeights } from '../colour/weights.ts';

/** A light and an observer, with the weights for one set of wavelengths. */
export interface Light {
  /** As written, e.g. D65/10. */
  readonly name: string;
  readonly count: number;
  /** 3 x count: what each wavelength adds to X/Xn, Y/Yn and Z/Zn. */
  readonly weights: Float64Array;
}

/** The light written `name` (D65/10) for spectra of `count` values from `start` nm. Errors: as tristimulusWeights. */
export function lightFor(name: string, start: number, step: number, count: number): Light {
  const { illuminant, observer } = parseViewing(name);
  const { values, white } = tristimulusWeights(illuminant, observer, start, step, count);
  const weights = new Float64Array(3 * count);
  for (let w = 0; w < count; w++) for (let c = 0; c < 3; c++) weights[c * count + w] = values[3 * w + c]! / white[c]!;
  return { name, count, weights };
}

const delta = 6 / 29;

/** Cube root with the straight line near black (CIE 015). */
function compress(t: number): number {
  return t > delta ** 3 ? Math.cbrt(t) : t / (3 * delta * delta) + 4 / 29;
}

function compressSlope(t: number): number {
  if (t <= delta ** 3) return 1 / (3 * delta * delta);
  const root = Math.cbrt(t);
  return 1 / (3 * root * root);
}

function relative(light: Light, reflectance: Float64Array, channel: number): number {
  const { count, weights } = light;
  let sum = 0;
  for (let w = 0; w < count; w++) sum += weights[channel * count + w]! * reflectance[w]!;
  return sum;
}

/** CIELAB of a reflectance (0..1 per wavelength). */
export function labUnder(light: Light, reflectance: Float64Array): Lab {
  const x = compress(relative(light, reflectance, 0));
  const y = compress(relative(light, reflectance, 1));
  const z = compress(relative(light, reflectance, 2));
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

/** CIEDE2000 of two colours. */
export function deltaE00(one: Lab, other: Lab): number {
  return ciede2000(one[0], one[1], one[2], chroma(one), other[0], other[1], other[2], chroma(other));
}

/** dL*, da*, db* by the reflectance at each wavelength: 3 x count, row by row. */
export function labSlopes(light: Light, reflectance: Float64Array): Float64Array {
  const { count, weights } = light;
  const fx = compressSlope(relative(light, reflectance, 0));
  const fy = compressSlope(relative(light, reflectance, 1));
  const fz = compressSlope(relative(light, reflectance, 2));
  const slopes = new Float64Array(3 * count);
  for (let w = 0; w < count; w++) {
    const x = fx * weights[w]!;
    const y = fy * weights[count + w]!;
    const z = fz * weights[2 * count + w]!;
    slopes[w] = 116 * y;
    slopes[count + w] = 500 * (x - y);
    slopes[2 * count + w] = 200 * (y - z);
  }
  return slopes;
}

/** Symmetric 3 x 3 matrix G, row by row, with dE00² = d' G d for a small Lab difference d around `lab`. */
export function differenceMetric(lab: Lab): Float64Array {
  const h = 0.01;
  const squared = (dL: number, da: number, db: number): number => {
    const [L, a, b] = lab;
    const low: Lab = [L - dL / 2, a - da / 2, b - db / 2];
    const high: Lab = [L + dL / 2, a + da / 2, b + db / 2];
    return deltaE00(low, high) ** 2;
  };
  const unit = (i: number): [number, number, number] => [i === 0 ? h : 0, i === 1 ? h : 0, i === 2 ? h : 0];
  const metric = new Float64Array(9);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      const p = unit(i);
      const q = unit(j);
      const sum = squared(p[0] + q[0], p[1] + q[1], p[2] + q[2]);
      const difference = squared(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
      metric[3 * i + j] = (sum - difference) / (4 * h * h);
    }
  }
  return metric;
}

/**
 * Lower Cholesky factor F of a metric (3 x 3, row by row): |F' d| is the dE00 of a small difference d. A metric that is
 * not quite positive (a rotation term in deep blue) is eased by a little of its own size.
 */
export function metricFactor(metric: Float64Array): Float64Array {
  const m = metric.slice();
  const ease = 1e-6 * (m[0]! + m[4]! + m[8]!);
  m[0] = m[0]! + ease;
  m[4] = m[4]! + ease;
  m[8] = m[8]! + ease;
  const a = Math.sqrt(m[0]);
  const b = m[3]! / a;
  const c = m[6]! / a;
  const d = Math.sqrt(Math.max(m[4]! - b * b, ease));
  const e = (m[7]! - b * c) / d;
  const f = Math.sqrt(Math.max(m[8]! - c * c - e * e, ease));
  return Float64Array.of(a, 0, 0, b, d, 0, c, e, f);
}
