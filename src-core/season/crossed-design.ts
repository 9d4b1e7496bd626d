/**
 * What a mixed model needs to know of the grades, once and for all: how often each two levels meet, and the sums of
 * grades at each level. No evaluation of the likelihood goes back to the grades.
 *
 * The unknowns are of three kinds. The fixed means and the levels of the crossed factors (officials, observers) are few
 * and meet each other anyhow: they are the `kept` unknowns, fixed means first. The levels of `outer` (games) are many but
 * never meet one another, and the levels of `inner` (plays) lie each within one of outer: both are eliminated, level by
 * level, before a dense matrix is made.
 */

/** A classification of the grades: each has one of `levels` levels. In an inner factor, -1 is a grade that has none. */
export type Factor = { readonly name: string; readonly levelOf: Int32Array; readonly levels: number };

export type MixedModelData = {
  /** The grades, in points. Not one may be missing. */
  readonly points: Float64Array;
  /** One fixed mean a level; every level has a grade. */
  readonly means: Factor;
  readonly crossed: readonly Factor[];
  /** Null: grades are not grouped. */
  readonly outer: Factor | null;
  /** Nested in outer: a level has grades of one level of outer only. Null: not in the model. */
  readonly inner: Factor | null;
};

/** Counts and sums. `local` numbers count the kept unknowns that one block (a level of outer) meets. */
export type CrossedDesign = {
  readonly grades: number;
  /** Near the mean; taken from every grade before it is summed, so that squares stay small. */
  readonly origin: number;
  /** Of grades less the origin. */
  readonly sumOfSquares: number;
  readonly fixed: number;
  readonly kept: number;
  /** Where the levels of each crossed factor begin among the kept unknowns. */
  readonly crossedStart: readonly number[];
  readonly keptSums: Float64Array;
  readonly blocks: number;
  readonly blockCount: Float64Array;
  readonly blockSum: Float64Array;
  /** Block b has the kept unknowns `locals[localStart[b]] …`, ascending, and how many of its grades each has. */
  readonly localStart: Int32Array;
  readonly locals: Int32Array;
  readonly localCount: Float64Array;
  /** From `pairStart[b]`, row by row, how many grades of block b two of its unknowns share. */
  readonly pairStart: Int32Array;
  readonly pairCount: Float64Array;
  /** Block b has the inner levels `innerStart[b] …`; `innerLevel` says which they are in the factor. */
  readonly innerStart: Int32Array;
  readonly innerLevel: Int32Array;
  readonly innerCount: Float64Array;
  readonly innerSum: Float64Array;
  /** Inner level i (in the order of blocks) meets the locals `entryLocal[entryStart[i]] …`, ascending. */
  readonly entryStart: Int32Array;
  readonly entryLocal: Int32Array;
  readonly entryCount: Float64Array;
};

/** The rows of each level, as a start into one list: a counting sort, which keeps the order of rows. */
function rowsByLevel(levelOf: Int32Array, levels: number): { readonly start: Int32Array; readonly rows: Int32Array } {
  const start = new Int32Array(levels + 1);
  for (const level of levelOf) start[level + 1]!++;
  for (let level = 0; level < levels; level++) start[level + 1]! += start[level]!;
  const next = start.slice(0, levels);
  const rows = new Int32Array(levelOf.length);
  for (let row = 0; row < levelOf.length; row++) rows[next[levelOf[row]!]!++] = row;
  return { start, rows };
}

/** A list of numbers that grows without boxing them. */
class GrowingList<T extends Int32Array | Float64Array> {
  private readonly make: (size: number) => T;
  private values: T;
  length = 0;
  constructor(make: (size: number) => T) {
    this.make = make;
    this.values = make(1024);
  }
  /** Room for `size` more zeros; returns where they begin. */
  extend(size: number): number {
    const from = this.length;
    this.length += size;
    if (this.length > this.values.length) {
      const larger = this.make(Math.max(this.length, 2 * this.values.length));
      larger.set(this.values);
      this.values = larger;
    }
    return from;
  }
  add(at: number, value: number): void {
    this.values[at]! += value;
  }
  push(value: number): void {
    const at = this.extend(1);
    this.values[at] = value;
  }
  done(): T {
    return this.values.slice(0, this.length) as T;
  }
}

const ints = () => new GrowingList((size) => new Int32Array(size));
const floats = () => new GrowingList((size) => new Float64Array(size));

export function crossedDesign({ points, means, crossed, outer, inner }: MixedModelData): CrossedDesign {
  const grades = points.length;
  let total = 0;
  for (const value of points) total += value;
  // In eighths: grades in whole or half points, their squares and all sums of them are then without rounding.
  const origin = grades > 0 ? Math.round((8 * total) / grades) / 8 : 0;

  const crossedStart: number[] = [];
  let kept = means.levels;
  for (const { levels } of crossed) {
    crossedStart.push(kept);
    kept += levels;
  }
  const columns = 1 + crossed.length;
  const unknownOf = new Int32Array(columns * grades);
  const keptSums = new Float64Array(kept);
  let sumOfSquares = 0;
  let lost = 0;
  for (let row = 0; row < grades; row++) {
    const y = points[row]! - origin;
    // Compensated (Kahan 1965): a criterion of a million hangs on the last digits of this sum.
    const added = y * y - lost;
    const next = sumOfSquares + added;
    lost = next - sumOfSquares - added;
    sumOfSquares = next;
    for (let column = 0; column < columns; column++) {
      const unknown =
        column === 0 ? means.levelOf[row]! : crossedStart[column - 1]! + crossed[column - 1]!.levelOf[row]!;
      unknownOf[row * columns + column] = unknown;
      keptSums[unknown]! += y;
    }
  }

  const blocks = outer?.levels ?? 1;
  const byBlock = rowsByLevel(outer?.levelOf ?? new Int32Array(grades), blocks);
  const blockCount = new Float64Array(blocks);
  const blockSum = new Float64Array(blocks);
  const [localStart, pairStart, innerStart, entryStart] = [ints(), ints(), ints(), ints()];
  const [locals, innerLevel, entryLocal] = [ints(), ints(), ints()];
  const [localCount, pairCount, innerCount, innerSum, entryCount] = [floats(), floats(), floats(), floats(), floats()];
  const localOf = new Int32Array(kept).fill(-1);
  const placeOfInner = new Int32Array(inner?.levels ?? 0).fill(-1);

  for (let block = 0; block < blocks; block++) {
    const rows = byBlock.rows.subarray(byBlock.start[block], byBlock.start[block + 1]);
    const met: number[] = [];
    for (const row of rows)
      for (let column = 0; column < columns; column++) {
        const unknown = unknownOf[row * columns + column]!;
        if (localOf[unknown] === -1) {
          localOf[unknown] = 0;
          met.push(unknown);
        }
      }
    met.sort((a, b) => a - b);
    localStart.push(locals.length);
    pairStart.push(pairCount.length);
    innerStart.push(innerLevel.length);
    const size = met.length;
    for (const [local, unknown] of met.entries()) {
      localOf[unknown] = local;
      locals.push(unknown);
    }
    const firstCount = localCount.extend(size);
    const firstPair = pairCount.extend(size * size);
    const innerRows: number[][] = [];
    for (const row of rows) {
      const y = points[row]! - origin;
      blockCount[block]!++;
      blockSum[block]! += y;
      for (let a = 0; a < columns; a++) {
        const localA = localOf[unknownOf[row * columns + a]!]!;
        localCount.add(firstCount + localA, 1);
        for (let b = 0; b < columns; b++)
          pairCount.add(firstPair + localA * size + localOf[unknownOf[row * columns + b]!]!, 1);
      }
      const level = inner?.levelOf[row] ?? -1;
      if (level < 0) continue;
      if (placeOfInner[level] === -1) {
        placeOfInner[level] = innerRows.length;
        innerRows.push([]);
        innerLevel.push(level);
      }
      innerRows[placeOfInner[level]!]!.push(row);
    }
    for (const own of innerRows) {
      innerCount.push(own.length);
      let sum = 0;
      const places: number[] = [];
      for (const row of own) {
        sum += points[row]! - origin;
        for (let a = 0; a < columns; a++) places.push(localOf[unknownOf[row * columns + a]!]!);
      }
      innerSum.push(sum);
      entryStart.push(entryLocal.length);
      places.sort((a, b) => a - b);
      for (const [at, place] of places.entries()) {
        if (at > 0 && places[at - 1] === place) entryCount.add(entryCount.length - 1, 1);
        else {
          entryLocal.push(place);
          entryCount.push(1);
        }
      }
    }
    for (const unknown of met) localOf[unknown] = -1;
  }
  localStart.push(locals.length);
  pairStart.push(pairCount.length);
  innerStart.push(innerLevel.length);
  entryStart.push(entryLocal.length);

  return {
    grades,
    origin,
    sumOfSquares,
    fixed: means.levels,
    kept,
    crossedStart,
    keptSums,
    blocks,
    blockCount,
    blockSum,
    localStart: localStart.done(),
    locals: locals.done(),
    localCount: localCount.done(),
    pairStart: pairStart.done(),
    pairCount: pairCount.done(),
    innerStart: innerStart.done(),
    innerLevel: innerLevel.done(),
    innerCount: innerCount.done(),
    innerSum: innerSum.done(),
    entryStart: entryStart.done(),
    entryLocal: entryLocal.done(),
    entryCount: entryCount.done(),
  };
}
