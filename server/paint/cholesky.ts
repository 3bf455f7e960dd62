/**
 * Cholesky factorisation of small symmetric positive definite matrices, dense and row by row (n x n Float64Array),
 * lower triangle used. Our own because the inner loops of fitting and searching call it on buffers that they keep.
 */

/**
 * Factor in place: the lower triangle of `matrix` becomes L with L L' = matrix.
 * Returns false, with the buffer spoilt, when the matrix is not positive definite.
 */
export function factorise(matrix: Float64Array, n: number): boolean {
  for (let i = 0; i < n; i++) {
    const row = i * n;
    for (let j = 0; j <= i; j++) {
      const other = j * n;
      let sum = matrix[row + j]!;
      for (let k = 0; k < j; k++) sum -= matrix[row + k]! * matrix[other + k]!;
      if (i === j) {
        if (!(sum > 0)) return false;
        matrix[row + i] = Math.sqrt(sum);
      } else {
        matrix[row + j] = sum / matrix[other + j]!;
      }
    }
  }
  return true;
}

/** Solve L y = b in place. */
export function forwardSubstitute(factor: Float64Array, n: number, b: Float64Array): void {
  for (let i = 0; i < n; i++) {
    let sum = b[i]!;
    for (let k = 0; k < i; k++) sum -= factor[i * n + k]! * b[k]!;
    b[i] = sum / factor[i * n + i]!;
  }
}

/** Solve L' x = y in place. */
export function backSubstitute(factor: Float64Array, n: number, y: Float64Array): void {
  for (let i = n - 1; i >= 0; i--) {
    let sum = y[i]!;
    for (let k = i + 1; k < n; k++) sum -= factor[k * n + i]! * y[k]!;
    y[i] = sum / factor[i * n + i]!;
  }
}

/** Solve L L' x = b in place. */
export function solve(factor: Float64Array, n: number, b: Float64Array): void {
  forwardSubstitute(factor, n, b);
  backSubstitute(factor, n, b);
}

/** The diagonal of (L L')⁻¹. */
export function inverseDiagonal(factor: Float64Array, n: number): Float64Array {
  const diagonal = new Float64Array(n);
  const column = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    column.fill(0);
    column[j] = 1;
    forwardSubstitute(factor, n, column);
    let sum = 0;
    for (let i = j; i < n; i++) sum += column[i]! * column[i]!;
    diagonal[j] = sum;
  }
  return diagonal;
}
