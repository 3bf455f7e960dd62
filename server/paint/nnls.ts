/**
 * Non-negative least squares on normal equations: the active-set method of Lawson and Hanson (1974) in the form of
 * Bro and de Jong (1997, J. Chemometrics 11, 393), which never sees the rows again.
 */
import { factorise, solve } from './cholesky.ts';

/**
 * x >= 0 that minimises x'Gx/2 - h'x, G = A'A (n x n, row by row, symmetric), h = A'b.
 * A tiny ridge keeps unknowns that no row speaks of from making the system singular.
 */
export function nonNegativeLeastSquares(gram: Float64Array, h: Float64Array): Float64Array {
  const n = h.length;
  const x = new Float64Array(n);
  const passive = new Uint8Array(n);
  let largest = 0;
  for (let i = 0; i < n; i++) largest = Math.max(largest, gram[i * n + i]!);
  if (largest === 0) return x;
  const ridge = largest * 1e-14;
  const threshold = 1e-10 * Math.max(...h.map(Math.abs), Number.MIN_VALUE);
  for (let round = 0; round < 3 * n; round++) {
    const entering = steepest(gram, h, x, passive);
    if (entering < 0 || slope(gram, h, x, entering) <= threshold) break;
    passive[entering] = 1;
    settle(gram, h, x, passive, ridge);
  }
  return x;
}

function slope(gram: Float64Array, h: Float64Array, x: Float64Array, i: number): number {
  const n = h.length;
  let sum = h[i]!;
  for (let j = 0; j < n; j++) if (x[j] !== 0) sum -= gram[i * n + j]! * x[j]!;
  return sum;
}

function steepest(gram: Float64Array, h: Float64Array, x: Float64Array, passive: Uint8Array): number {
  let best = -1;
  let bestSlope = 0;
  for (let i = 0; i < h.length; i++) {
    if (passive[i]) continue;
    // Scaled by the unknown's own curvature: the gain of freeing it, whatever its unit.
    const gain = slope(gram, h, x, i) / Math.sqrt(gram[i * h.length + i]! + Number.MIN_VALUE);
    if (gain > bestSlope) {
      best = i;
      bestSlope = gain;
    }
  }
  return best;
}

/** Solve on the passive set; whoever turns negative is stopped at 0 and leaves it. */
function settle(gram: Float64Array, h: Float64Array, x: Float64Array, passive: Uint8Array, ridge: number): void {
  const n = h.length;
  for (let round = 0; round < n; round++) {
    const members: number[] = [];
    for (let i = 0; i < n; i++) if (passive[i]) members.push(i);
    const m = members.length;
    if (m === 0) return;
    const matrix = new Float64Array(m * m);
    const z = new Float64Array(m);
    members.forEach((i, row) => {
      z[row] = h[i]!;
      for (let column = 0; column <= row; column++) matrix[row * m + column] = gram[i * n + members[column]!]!;
      matrix[row * m + row] = matrix[row * m + row]! * (1 + 1e-13) + ridge;
    });
    if (!factorise(matrix, m)) return;
    solve(matrix, m, z);
    let step = 1;
    let leaving = -1;
    members.forEach((i, row) => {
      if (z[row]! > 0) return;
      const here = x[i]! / (x[i]! - z[row]!);
      if (here < step || leaving < 0) {
        step = Math.min(step, here);
        leaving = i;
      }
    });
    members.forEach((i, row) => {
      x[i] = leaving < 0 ? z[row]! : x[i]! + step * (z[row]! - x[i]!);
    });
    if (leaving < 0) return;
    for (const i of members) {
      if (i === leaving || x[i]! <= 0) {
        x[i] = 0;
        passive[i] = 0;
      }
    }
  }
}
