import type { Factor, MixedModelData } from "#core/season/crossed-design";

/** Shrout and Fleiss 1979, Psychol. Bull. 86:420-428, table 2: targets by judges. */
export const shroutFleiss = [
  [9, 2, 5, 8],
  [6, 1, 3, 2],
  [8, 4, 6, 8],
  [7, 1, 2, 6],
  [10, 5, 6, 9],
  [6, 2, 4, 7],
];

/** Penicillin: diameters on 24 plates, a to x, by six samples, A to F (Davies and Goldsmith 1972, as lme4 ships it). */
export const penicillin = `27 23 26 23 23 21|27 23 26 23 23 21|25 21 25 24 24 20|26 23 25 23 23 20|25 22 26 22 23 20
24 22 25 23 22 19|24 20 23 21 22 19|26 22 26 24 24 21|24 21 24 22 22 20|24 21 24 23 22 19|26 23 26 24 24 21
25 22 26 24 24 20|26 24 26 24 25 22|26 23 26 23 23 20|26 23 25 24 24 22|25 22 25 23 23 20|25 21 24 23 23 20
25 22 24 23 23 19|24 21 23 21 21 19|26 23 26 24 24 21|25 21 24 22 22 18|25 22 25 22 22 20|24 21 24 22 24 19
24 21 24 22 21 18`
  .split(/[|\n]/)
  .map((row) => row.split(" ").map(Number));

/** Dyestuff: yields of six batches, A to F (Davies and Goldsmith 1972, as lme4 ships it). */
export const dyestuff = [
  [1545, 1440, 1440, 1520, 1580],
  [1540, 1555, 1490, 1560, 1495],
  [1595, 1550, 1605, 1510, 1560],
  [1445, 1440, 1595, 1465, 1545],
  [1595, 1630, 1515, 1635, 1625],
  [1520, 1455, 1450, 1480, 1445],
];

export function factorOf(name: string, levelOf: readonly number[]): Factor {
  return { name, levelOf: Int32Array.from(levelOf), levels: Math.max(...levelOf) + 1 };
}

/** A table's cells as grades with one mean: its rows and its columns as factors. */
export function cellsOf(table: readonly (readonly number[])[]): {
  readonly points: Float64Array;
  readonly means: Factor;
  readonly rows: Factor;
  readonly columns: Factor;
} {
  const cells = table.flatMap((row, i) => row.map((value, j) => ({ value, i, j })));
  return {
    points: Float64Array.from(cells, ({ value }) => value),
    means: factorOf(
      "mean",
      cells.map(() => 0),
    ),
    rows: factorOf(
      "row",
      cells.map(({ i }) => i),
    ),
    columns: factorOf(
      "column",
      cells.map(({ j }) => j),
    ),
  };
}

/** Rows and columns both kept, as officials and observers are. */
export function crossedTable(table: readonly (readonly number[])[]): MixedModelData {
  const { points, means, rows, columns } = cellsOf(table);
  return { points, means, crossed: [rows, columns], outer: null, inner: null };
}
