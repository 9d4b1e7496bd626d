/**
 * Dense algebra on the few sizes the solver needs. Matrices are square, row by row, in Float64Array; only the lower
 * triangle of a symmetric matrix is read unless said otherwise.
 */

/**
 * Cholesky factor of a symmetric positive definite matrix, in place in the lower triangle.
 *
 * Returns the smallest pivot over the matrix's own diagonal there: the share of that diagonal which the earlier columns
 * do not explain, so near 1e-16 means rank-deficient. Returns 0 when the matrix is not positive definite.
 */
export function factorCholesky(a: Float64Array, size: number): number {
  let smallest = 1;
  for (let j = 0; j < size; j++) {
    const rowJ = j * size;
    const before = a[rowJ + j]!;
    let pivot = before;
    for (let k = 0; k < j; k++) {
      const x = a[rowJ + k]!;
      pivot -= x * x;
    }
    if (!(pivot > 0)) return 0;
    const share = pivot / before;
    if (share < smallest) smallest = share;
    const root = Math.sqrt(pivot);
    const inverse = 1 / root;
    a[rowJ + j] = root;
    for (let i = j + 1; i < size; i++) {
      const rowI = i * size;
      let sum = a[rowI + j]!;
      for (let k = 0; k < j; k++) sum -= a[rowI + k]! * a[rowJ + k]!;
      a[rowI + j] = sum * inverse;
    }
  }
  return smallest;
}

/** Solves L Lᵀ x = b in place of b, with L from `factorCholesky`. */
export function solveCholesky(l: Float64Array, b: Float64Array, size: number): void {
  for (let i = 0; i < size; i++) {
    let sum = b[i]!;
    for (let k = 0; k < i; k++) sum -= l[i * size + k]! * b[k]!;
    b[i] = sum / l[i * size + i]!;
  }
  for (let i = size - 1; i >= 0; i--) {
    let sum = b[i]!;
    for (let k = i + 1; k < size; k++) sum -= l[k * size + i]! * b[k]!;
    b[i] = sum / l[i * size + i]!;
  }
}

/** (L Lᵀ)⁻¹ as a full symmetric matrix. */
export function invertCholesky(l: Float64Array, size: number): Float64Array {
  const lower = new Float64Array(size * size);
  for (let j = 0; j < size; j++) {
    lower[j * size + j] = 1 / l[j * size + j]!;
    for (let i = j + 1; i < size; i++) {
      let sum = 0;
      for (let k = j; k < i; k++) sum -= l[i * size + k]! * lower[k * size + j]!;
      lower[i * size + j] = sum / l[i * size + i]!;
    }
  }
  const inverse = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < size; k++) sum += lower[k * size + i]! * lower[k * size + j]!;
      inverse[i * size + j] = sum;
      inverse[j * size + i] = sum;
    }
  }
  return inverse;
}

/**
 * The unit vector that a positive semi-definite matrix shrinks most, by inverse iteration. The matrix is overwritten.
 * Null when it does not even bear a shift of 1e-14 of its trace (non-finite input).
 */
export function smallestDirection(a: Float64Array, size: number): Float64Array | null {
  let trace = 0;
  for (let i = 0; i < size; i++) trace += a[i * size + i]!;
  for (let i = 0; i < size; i++) a[i * size + i]! += trace * 1e-14;
  if (factorCholesky(a, size) === 0) return null;
  const x = new Float64Array(size);
  // Fixed and without symmetry, so that no reasonable map is orthogonal to it.
  for (let i = 0; i < size; i++) x[i] = 1 + 0.37 * i - 0.11 * i * i;
  let previous = 0;
  for (let iteration = 0; iteration < 12; iteration++) {
    solveCholesky(a, x, size);
    let square = 0;
    for (let i = 0; i < size; i++) square += x[i]! * x[i]!;
    const growth = Math.sqrt(square);
    for (let i = 0; i < size; i++) x[i]! /= growth;
    if (iteration > 0 && Math.abs(growth - previous) <= 1e-3 * growth) break;
    previous = growth;
  }
  return x;
}

/** A symmetric 2 × 2 matrix's axes: variances along them and the direction of the larger one, radians from axis 1. */
export function principalAxes(
  xx: number,
  xy: number,
  yy: number,
): { readonly major: number; readonly minor: number; readonly angleRadians: number } {
  const mean = (xx + yy) / 2;
  const half = Math.hypot((xx - yy) / 2, xy);
  // The difference of near-equal numbers is avoided: minor = determinant / major.
  const major = mean + half;
  const minor = major > 0 ? Math.max(0, (xx * yy - xy * xy) / major) : 0;
  return { major, minor, angleRadians: Math.atan2(2 * xy, xx - yy) / 2 };
}
