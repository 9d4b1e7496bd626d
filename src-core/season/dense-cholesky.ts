/**
 * (L Lᵀ)⁻¹ as a full symmetric matrix, row by row, from a factor made by `factorCholesky`, for sizes of some hundreds:
 * every inner loop runs along a row, where `invertCholesky` of the field walks down columns.
 */
export function invertFactor(l: Float64Array, size: number): Float64Array {
  const lower = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    const rowI = i * size;
    for (let k = 0; k < i; k++) {
      const share = l[rowI + k]!;
      if (share === 0) continue;
      const rowK = k * size;
      for (let j = 0; j <= k; j++) lower[rowI + j]! -= share * lower[rowK + j]!;
    }
    const over = 1 / l[rowI + i]!;
    for (let j = 0; j < i; j++) lower[rowI + j]! *= over;
    lower[rowI + i] = over;
  }
  const inverse = new Float64Array(size * size);
  for (let k = 0; k < size; k++) {
    const rowK = k * size;
    for (let i = 0; i <= k; i++) {
      const share = lower[rowK + i]!;
      if (share === 0) continue;
      const rowI = i * size;
      for (let j = 0; j <= i; j++) inverse[rowI + j]! += share * lower[rowK + j]!;
    }
  }
  for (let i = 0; i < size; i++) for (let j = 0; j < i; j++) inverse[j * size + i] = inverse[i * size + j]!;
  return inverse;
}
