/**
 * The smoothest reflectance of a colour, where a reading gives Lab only and a search needs some spectrum to begin with.
 * Least squares of the slopes of z with R = (tanh z + 1)/2, so that R stays between 0 and 1, under the three conditions
 * that X, Y, Z are right; Newton's method on the Lagrange function (S. A. Burns 2015, hyperbolic tangent method).
 * One of very many spectra of that colour: never a statement about the paint.
 */
import type { Lab } from '../colour/lab.ts';
import type { Light } from './light.ts';

/** Reflectance per wavelength (0..1) whose Lab under `light` is near `lab`; clipped where no reflectance has it. */
export function smoothReflectance(light: Light, lab: Lab): Float64Array {
  const { count, weights } = light;
  const wanted = relativeTristimulus(lab);
  const size = count + 3;
  const z = new Float64Array(count).fill(Math.atanh(2 * Math.min(Math.max(wanted[1], 0.005), 0.98) - 1));
  const multipliers = new Float64Array(3);
  for (let round = 0; round < 40; round++) {
    const matrix = new Float64Array(size * size);
    const right = new Float64Array(size);
    const set = (i: number, j: number, value: number): void => {
      matrix[i * size + j] = matrix[i * size + j]! + value;
    };
    for (let w = 0; w + 1 < count; w++) {
      const bend = z[w + 1]! - z[w]!;
      right[w] = right[w]! + 2 * bend;
      right[w + 1] = right[w + 1]! - 2 * bend;
      set(w, w, 2);
      set(w + 1, w + 1, 2);
      set(w, w + 1, -2);
      set(w + 1, w, -2);
    }
    for (let w = 0; w < count; w++) {
      const t = Math.tanh(z[w]!);
      const slope = (1 - t * t) / 2;
      for (let c = 0; c < 3; c++) {
        const weight = weights[c * count + w]!;
        right[w] = right[w]! - multipliers[c]! * weight * slope;
        right[count + c] = right[count + c]! - (weight * (t + 1)) / 2;
        set(w, w, -2 * multipliers[c]! * weight * t * slope);
        set(w, count + c, weight * slope);
        set(count + c, w, weight * slope);
      }
    }
    for (let c = 0; c < 3; c++) right[count + c] = right[count + c]! + wanted[c]!;
    const step = eliminate(matrix, right, size);
    if (step === undefined) break;
    let largest = 0;
    for (let w = 0; w < count; w++) largest = Math.max(largest, Math.abs(step[w]!));
    const damping = Math.min(1, 1 / Math.max(largest, 1e-12));
    for (let w = 0; w < count; w++) z[w] = Math.min(Math.max(z[w]! + damping * step[w]!, -3.5), 3.5);
    for (let c = 0; c < 3; c++) multipliers[c] = multipliers[c]! + damping * step[count + c]!;
    if (largest < 1e-9) break;
  }
  return z.map((value) => (Math.tanh(value) + 1) / 2);
}

/** X/Xn, Y/Yn, Z/Zn. */
function relativeTristimulus([L, a, b]: Lab): [number, number, number] {
  const expand = (f: number): number => (f > 6 / 29 ? f ** 3 : (3 * 36 * (f - 4 / 29)) / 841);
  const y = (L + 16) / 116;
  return [expand(y + a / 500), expand(y), expand(y - b / 200)];
}

/** Gauss elimination with pivots (the system of a constrained minimum is symmetric but not positive). */
function eliminate(matrix: Float64Array, right: Float64Array, n: number): Float64Array | undefined {
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let i = column + 1; i < n; i++) {
      if (Math.abs(matrix[i * n + column]!) > Math.abs(matrix[pivot * n + column]!)) pivot = i;
    }
    if (!(Math.abs(matrix[pivot * n + column]!) > 1e-14)) return undefined;
    if (pivot !== column) swapRows(matrix, right, n, pivot, column);
    for (let i = column + 1; i < n; i++) {
      const factor = matrix[i * n + column]! / matrix[column * n + column]!;
      if (factor === 0) continue;
      for (let j = column; j < n; j++) matrix[i * n + j] = matrix[i * n + j]! - factor * matrix[column * n + j]!;
      right[i] = right[i]! - factor * right[column]!;
    }
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = right[i]!;
    for (let j = i + 1; j < n; j++) sum -= matrix[i * n + j]! * right[j]!;
    right[i] = sum / matrix[i * n + i]!;
  }
  return right;
}

function swapRows(matrix: Float64Array, right: Float64Array, n: number, a: number, b: number): void {
  for (let j = 0; j < n; j++) {
    const kept = matrix[a * n + j]!;
    matrix[a * n + j] = matrix[b * n + j]!;
    matrix[b * n + j] = kept;
  }
  const kept = right[a]!;
  right[a] = right[b]!;
  right[b] = kept;
}
