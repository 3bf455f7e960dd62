/**
 * Symmetric positive definite systems stored by envelope: each row from its first non-zero to the diagonal.
 * The normal equations of an effect fit are narrow (a band meets only its neighbours) but for the few unknowns that all
 * bands share, which stand last. Cholesky keeps that envelope (George and Liu 1981, chapter 4).
 */
export interface Envelope {
  readonly size: number;
  /** first stored column of each row */
  readonly first: Int32Array;
  /** where each row starts, less its first column: element (i, j) is at offset[i] + j */
  readonly offset: Int32Array;
  readonly values: Float64Array;
}

export function envelope(first: Int32Array): Envelope {
  const offset = new Int32Array(first.length);
  let used = 0;
  for (let i = 0; i < first.length; i++) {
    offset[i] = used - first[i]!;
    used += i - first[i]! + 1;
  }
  return { size: first.length, first, offset, values: new Float64Array(used) };
}

export function copyEnvelope(from: Envelope): Envelope {
  return { ...from, values: from.values.slice() };
}

/** Adds weight times the outer product of a sparse row (columns, values; `used` of them). */
export function addRow(matrix: Envelope, columns: Int32Array, row: Float64Array, used: number, weight: number): void {
  for (let p = 0; p < used; p++) {
    const i = columns[p]!;
    const v = row[p]! * weight;
    if (v === 0) continue;
    const start = matrix.offset[i]!;
    for (let q = 0; q < used; q++) {
      const j = columns[q]!;
      if (j <= i) matrix.values[start + j]! += v * row[q]!;
    }
  }
}

/** Cholesky in place; false when the matrix is not positive definite. */
export function factorise(matrix: Envelope): boolean {
  const { size, first, offset, values } = matrix;
  for (let i = 0; i < size; i++) {
    const rowI = offset[i]!;
    const firstI = first[i]!;
    for (let j = firstI; j <= i; j++) {
      const rowJ = offset[j]!;
      let sum = values[rowI + j]!;
      for (let k = Math.max(firstI, first[j]!); k < j; k++) sum -= values[rowI + k]! * values[rowJ + k]!;
      if (j < i) {
        values[rowI + j] = sum / values[rowJ + j]!;
      } else {
        if (!(sum > 0)) return false;
        values[rowI + i] = Math.sqrt(sum);
      }
    }
  }
  return true;
}

/** Solves with a factorised matrix; a new array. */
export function solve(factor: Envelope, right: Float64Array): Float64Array {
  const { size, first, offset, values } = factor;
  const x = right.slice();
  for (let i = 0; i < size; i++) {
    const row = offset[i]!;
    let sum = x[i]!;
    for (let k = first[i]!; k < i; k++) sum -= values[row + k]! * x[k]!;
    x[i] = sum / values[row + i]!;
  }
  for (let i = size - 1; i >= 0; i--) {
    const row = offset[i]!;
    const value = x[i]! / values[row + i]!;
    x[i] = value;
    for (let k = first[i]!; k < i; k++) x[k]! -= values[row + k]! * value;
  }
  return x;
}
