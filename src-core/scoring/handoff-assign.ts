/**
 * The pairing of rows with columns of least total cost, where a row or a column may also stay alone at a price; by the
 * shortest augmenting paths of Kuhn and Munkres with potentials, O(n³). Answers the column of each row, or −1.
 */
export function assign(costs: readonly (readonly number[])[], columns: number, aloneCost: number): number[] {
  const rows = costs.length;
  const size = rows + columns;
  const cost = (row: number, column: number): number => {
    if (row < rows && column < columns) return Math.min(costs[row]?.[column] ?? Infinity, 1e9);
    return row >= rows && column >= columns ? 0 : aloneCost / 2;
  };
  const rowPotential = new Float64Array(size + 1);
  const columnPotential = new Float64Array(size + 1);
  const rowOf = new Int32Array(size + 1);
  const from = new Int32Array(size + 1);
  for (let row = 1; row <= size; row++) {
    rowOf[0] = row;
    let column = 0;
    const least = new Float64Array(size + 1).fill(Infinity);
    const isUsed = new Uint8Array(size + 1);
    do {
      isUsed[column] = 1;
      const here = rowOf[column]!;
      let delta = Infinity;
      let next = 0;
      for (let j = 1; j <= size; j++) {
        if (isUsed[j]) continue;
        const slack = cost(here - 1, j - 1) - rowPotential[here]! - columnPotential[j]!;
        if (slack < least[j]!) {
          least[j] = slack;
          from[j] = column;
        }
        if (least[j]! < delta) {
          delta = least[j]!;
          next = j;
        }
      }
      for (let j = 0; j <= size; j++) {
        if (isUsed[j]) {
          rowPotential[rowOf[j]!]! += delta;
          columnPotential[j]! -= delta;
        } else least[j]! -= delta;
      }
      column = next;
    } while (rowOf[column] !== 0);
    for (; column !== 0; column = from[column]!) rowOf[column] = rowOf[from[column]!]!;
  }
  const answer = Array.from({ length: rows }, () => -1);
  for (let j = 1; j <= columns; j++) {
    const row = rowOf[j]! - 1;
    if (row < rows) answer[row] = j - 1;
  }
  return answer;
}
