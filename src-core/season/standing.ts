import { seededRandom } from "../field/random.ts";
import { normalReach, usualLevel } from "./intervals.ts";

/** What an official must have been seen in, to be ranked. */
export type MinimumEvidence = { readonly grades: number; readonly games: number; readonly observers: number };

/** Why there is too little to judge an official by, in words; null when there is enough. */
export function withheldReason(evidence: MinimumEvidence, minimum: MinimumEvidence): string | null {
  const short = (["grades", "games", "observers"] as const)
    .filter((what) => evidence[what] < minimum[what])
    .map((what) => `${evidence[what]} of ${minimum[what]} ${what}`);
  return short.length === 0 ? null : `Too little to judge by: ${short.join(", ")}.`;
}

export type StandingOptions = {
  readonly best: "most" | "least";
  readonly k: number;
  readonly seed: number;
  readonly draws: number;
  readonly level?: number;
};

/** An official's place among others of one position, in one connected group. */
export type Place = {
  /** One more than there are who are clearly better. */
  readonly rank: number;
  /** As many as there are who are not clearly worse. */
  readonly rankAtWorst: number;
  /** Share of draws in which they are among the k best. */
  readonly inTopK: number;
};

/**
 * Ranks officials by their effects (points) and the joint covariance of these effects' errors (squared points).
 *
 * Two officials tie unless the interval of their difference leaves out 0. That is asked of the difference and not of
 * their two intervals: what is unknown of the mean is in both and moves both together. Ties are not transitive (A with B,
 * B with C, A clearly better than C), so nobody is put into a class: a rank counts who is clearly better, and beside it
 * stands the worst rank, which counts who is not clearly worse. Both depend on no order of going through the list.
 *
 * The share in the top k is taken from seeded draws of the joint normal distribution; where draws tie for the last of the
 * k places, they share it.
 */
export function standing(
  effects: readonly number[],
  covariance: (a: number, b: number) => number,
  { best, k, seed, draws, level = usualLevel }: StandingOptions,
): Place[] {
  const size = effects.length;
  const sign = best === "most" ? 1 : -1;
  const reach = normalReach(level);
  const isClearlyBetter = (a: number, b: number): boolean => {
    const square = covariance(a, a) + covariance(b, b) - 2 * covariance(a, b);
    const difference = sign * (effects[a]! - effects[b]!);
    return difference > reach * Math.sqrt(Math.max(0, square)) && difference > 1e-12;
  };
  const others = [...effects.keys()];
  const inTopK = topShares(
    effects.map((effect) => sign * effect),
    covariance,
    { k, seed, draws },
  );
  return effects.map((_, one) => ({
    rank: 1 + others.filter((other) => isClearlyBetter(other, one)).length,
    rankAtWorst: size - others.filter((other) => isClearlyBetter(one, other)).length,
    inTopK: inTopK[one]!,
  }));
}

/** A root of a positive semi-definite covariance; a direction without variance gets a column of zeros. */
function rootOfCovariance(size: number, covariance: (a: number, b: number) => number): Float64Array {
  const root = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    for (let j = 0; j <= i; j++) {
      let sum = covariance(i, j);
      for (let c = 0; c < j; c++) sum -= root[i * size + c]! * root[j * size + c]!;
      if (i === j) root[i * size + i] = sum > 1e-12 * covariance(i, i) ? Math.sqrt(sum) : 0;
      else if (root[j * size + j]! > 0) root[i * size + j] = sum / root[j * size + j]!;
    }
  return root;
}

function topShares(
  effects: readonly number[],
  covariance: (a: number, b: number) => number,
  { k, seed, draws }: Pick<StandingOptions, "k" | "seed" | "draws">,
): Float64Array {
  const size = effects.length;
  const shares = new Float64Array(size);
  if (k >= size) return shares.fill(1);
  if (k <= 0) return shares;
  const root = rootOfCovariance(size, covariance);
  const random = seededRandom(seed);
  const normals = new Float64Array(size);
  const drawn = new Float64Array(size);
  for (let draw = 0; draw < draws; draw++) {
    for (let i = 0; i < size; i++) normals[i] = random.normal();
    for (let i = 0; i < size; i++) {
      let value = effects[i]!;
      for (let c = 0; c <= i; c++) value += root[i * size + c]! * normals[c]!;
      drawn[i] = value;
    }
    const last = drawn.toSorted()[size - k]!;
    let above = 0;
    let level = 0;
    for (const value of drawn) {
      if (value > last) above++;
      else if (value === last) level++;
    }
    const part = (k - above) / level;
    for (let i = 0; i < size; i++) shares[i]! += drawn[i]! > last ? 1 : drawn[i] === last ? part : 0;
  }
  return shares.map((share) => share / draws);
}
