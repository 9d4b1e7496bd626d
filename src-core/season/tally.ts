/** Counts, means and spreads of numbers by whole-number keys. */
export class Tally {
  readonly counts: Float64Array;
  private readonly means: Float64Array;
  private readonly squares: Float64Array;

  constructor(keys: number) {
    this.counts = new Float64Array(keys);
    this.means = new Float64Array(keys);
    this.squares = new Float64Array(keys);
  }

  /** Running mean and squares about it (Welford 1962, Technometrics 4:419-420). */
  add(key: number, value: number): void {
    const count = ++this.counts[key]!;
    const before = value - this.means[key]!;
    this.means[key]! += before / count;
    this.squares[key]! += before * (value - this.means[key]!);
  }

  /** Null without numbers. */
  mean(key: number): number | null {
    return this.counts[key] === 0 ? null : this.means[key]!;
  }

  /** Standard deviation; null with fewer than two numbers. */
  spread(key: number): number | null {
    const count = this.counts[key]!;
    return count < 2 ? null : Math.sqrt(this.squares[key]! / (count - 1));
  }
}

/** How many distinct members each key has; -1 is no member. */
export function distinctByKey(keyOf: Int32Array, keys: number, memberOf: Int32Array): Int32Array {
  const seen = new Set<number>();
  const counts = new Int32Array(keys);
  for (let row = 0; row < keyOf.length; row++) {
    const member = memberOf[row]!;
    // Stays below 2^53 for any season.
    const pair = member * keys + keyOf[row]!;
    if (member < 0 || seen.has(pair)) continue;
    seen.add(pair);
    counts[keyOf[row]!]!++;
  }
  return counts;
}
