/**
 * Inverse of a square matrix, row by row, by Gauss and Jordan with row pivots. Null when a pivot vanishes to rounding,
 * relative to the largest entry of its column.
 */
export function invertDense(matrix: ArrayLike<number>, size: number): Float64Array | null {
  const a = Float64Array.from(matrix);
  const inverse = new Float64Array(size * size);
  for (let i = 0; i < size; i++) inverse[i * size + i] = 1;
  const columnSize = Array.from({ length: size }, (_, j) => {
    let largest = 0;
    for (let i = 0; i < size; i++) largest = Math.max(largest, Math.abs(a[i * size + j]!));
    return largest;
  });
  for (let j = 0; j < size; j++) {
    let pivotRow = j;
    for (let i = j + 1; i < size; i++) {
      if (Math.abs(a[i * size + j]!) > Math.abs(a[pivotRow * size + j]!)) pivotRow = i;
    }
    const pivot = a[pivotRow * size + j]!;
    if (!(Math.abs(pivot) > 1e-14 * columnSize[j]!)) return null;
    for (let k = 0; k < size; k++) {
      const upper = a[j * size + k]!;
      a[j * size + k] = a[pivotRow * size + k]! / pivot;
      if (pivotRow !== j) a[pivotRow * size + k] = upper;
      const upperInverse = inverse[j * size + k]!;
      inverse[j * size + k] = inverse[pivotRow * size + k]! / pivot;
      if (pivotRow !== j) inverse[pivotRow * size + k] = upperInverse;
    }
    for (let i = 0; i < size; i++) {
      const share = a[i * size + j]!;
      if (i === j || share === 0) continue;
      for (let k = 0; k < size; k++) {
        a[i * size + k]! -= share * a[j * size + k]!;
        inverse[i * size + k]! -= share * inverse[j * size + k]!;
      }
    }
  }
  return inverse;
}

/** A · B for square matrices, row by row. */
export function multiplyDense(a: ArrayLike<number>, b: ArrayLike<number>, size: number): Float64Array {
  const out = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < size; k++) {
      const x = a[i * size + k]!;
      if (x === 0) continue;
      for (let j = 0; j < size; j++) out[i * size + j]! += x * b[k * size + j]!;
    }
  }
  return out;
}

/** A · C · Aᵀ: what a covariance becomes through a linear map. */
export function throughLinear(a: ArrayLike<number>, covariance: ArrayLike<number>, size: number): Float64Array {
  const half = multiplyDense(a, covariance, size);
  const out = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = 0; k < size; k++) sum += half[i * size + k]! * a[j * size + k]!;
      out[i * size + j] = sum;
      out[j * size + i] = sum;
    }
  }
  return out;
}
