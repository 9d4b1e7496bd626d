import { factorCholesky, solveCholesky } from "../field/small-linear-algebra.ts";
import type { CrossedDesign } from "./crossed-design.ts";
import { invertFactor } from "./dense-cholesky.ts";

/**
 * Henderson's mixed model equations of a design at given relative variances (a factor's variance over the residual's),
 * in the scaled form of Bates, Mächler, Bolker and Walker (2015, J. Stat. Software 67(1), section 3): a relative variance
 * of 0 needs no case of its own, for its levels then meet nothing.
 *
 * Inner levels are eliminated first, then outer ones; what is left, the Schur complement on the kept unknowns, is dense.
 */

/** One number to each unknown: effects in points, or sums of them. */
export type Effects = { readonly kept: Float64Array; readonly outer: Float64Array; readonly inner: Float64Array };

/** Over the residual variance, each at least 0. A factor that is not in the model has 0. */
export type RelativeVariances = {
  readonly crossed: readonly number[];
  readonly outer: number;
  readonly inner: number;
};

export type FactoredEquations = {
  readonly design: CrossedDesign;
  readonly relative: RelativeVariances;
  /** The relative standard deviation of each kept unknown; 1 for fixed means. */
  readonly scale: Float64Array;
  /** Kept by kept: counts with the eliminated levels taken out of them, lower triangle. */
  readonly reduced: Float64Array;
  /** The Cholesky factor of what is solved, lower triangle. */
  readonly factor: Float64Array;
  /** Of each block with its inner levels taken out: its count, and its counts with its locals. */
  readonly outerCount: Float64Array;
  readonly outerLocal: Float64Array;
  /** Log determinant of the equations, fixed means and all. */
  readonly logDeterminant: number;
};

/** Relative variance over one plus it times the count: how much of a level's sum its effect takes. */
const weightOf = (relative: number, count: number): number => relative / (1 + relative * count);

export function factorEquations(design: CrossedDesign, relative: RelativeVariances): FactoredEquations {
  const { kept, blocks, localStart, pairStart, innerStart, entryStart, entryLocal, entryCount } = design;
  const reduced = new Float64Array(kept * kept);
  const outerCount = design.blockCount.slice();
  const outerLocal = design.localCount.slice();
  let logDeterminant = 0;
  let room = new Float64Array(1);
  for (let block = 0; block < blocks; block++) {
    const first = localStart[block]!;
    const size = localStart[block + 1]! - first;
    const from = pairStart[block]!;
    if (room.length < size * size) room = new Float64Array(size * size);
    for (let at = 0; at < size * size; at++) room[at] = design.pairCount[from + at]!;
    if (relative.inner > 0)
      for (let level = innerStart[block]!; level < innerStart[block + 1]!; level++) {
        const count = design.innerCount[level]!;
        logDeterminant += Math.log1p(relative.inner * count);
        const weight = weightOf(relative.inner, count);
        const end = entryStart[level + 1]!;
        for (let a = entryStart[level]!; a < end; a++) {
          const share = weight * entryCount[a]!;
          const row = entryLocal[a]! * size;
          for (let b = entryStart[level]!; b <= a; b++) room[row + entryLocal[b]!]! -= share * entryCount[b]!;
          outerLocal[first + entryLocal[a]!]! -= share * count;
        }
        outerCount[block]! -= weight * count * count;
      }
    logDeterminant += Math.log1p(relative.outer * outerCount[block]!);
    const weight = weightOf(relative.outer, outerCount[block]!);
    for (let a = 0; a < size; a++) {
      const share = weight * outerLocal[first + a]!;
      const row = design.locals[first + a]! * kept;
      for (let b = 0; b <= a; b++)
        reduced[row + design.locals[first + b]!]! += room[a * size + b]! - share * outerLocal[first + b]!;
    }
  }

  const scale = new Float64Array(kept).fill(1);
  for (const [index, start] of design.crossedStart.entries())
    scale.fill(Math.sqrt(relative.crossed[index]!), start, design.crossedStart[index + 1] ?? kept);
  const factor = new Float64Array(kept * kept);
  for (let i = 0; i < kept; i++) {
    for (let j = 0; j <= i; j++) factor[i * kept + j] = scale[i]! * scale[j]! * reduced[i * kept + j]!;
    if (i >= design.fixed) factor[i * kept + i]! += 1;
  }
  // One mean a stratum and a ridge on everything else: positive definite, but for rounding.
  if (factorCholesky(factor, kept) === 0) throw new Error("The mixed model equations are not positive definite.");
  for (let i = 0; i < kept; i++) logDeterminant += 2 * Math.log(factor[i * kept + i]!);
  return { design, relative, scale, reduced, factor, outerCount, outerLocal, logDeterminant };
}

/** The sums of the grades (less the origin) at each unknown: the right hand side that gives estimates and BLUPs. */
export function sumsOfGrades({ keptSums, blockSum, innerSum }: CrossedDesign): Effects {
  return { kept: keptSums, outer: blockSum, inner: innerSum };
}

/** The effects that solve the equations for a right hand side of sums. */
export function solveEquations(equations: FactoredEquations, sums: Effects): Effects {
  const { design, relative, scale, factor, outerCount, outerLocal } = equations;
  const { localStart, locals, innerStart, entryStart, entryLocal, entryCount } = design;
  const kept = sums.kept.slice();
  const outer = sums.outer.slice();
  const inner = sums.inner.slice();
  for (let block = 0; block < design.blocks; block++) {
    const first = localStart[block]!;
    for (let level = innerStart[block]!; level < innerStart[block + 1]!; level++) {
      const taken = weightOf(relative.inner, design.innerCount[level]!) * inner[level]!;
      for (let a = entryStart[level]!; a < entryStart[level + 1]!; a++)
        kept[locals[first + entryLocal[a]!]!]! -= taken * entryCount[a]!;
      outer[block]! -= taken * design.innerCount[level]!;
    }
    const taken = weightOf(relative.outer, outerCount[block]!) * outer[block]!;
    for (let at = first; at < localStart[block + 1]!; at++) kept[locals[at]!]! -= taken * outerLocal[at]!;
  }
  for (let i = 0; i < design.kept; i++) kept[i]! *= scale[i]!;
  solveCholesky(factor, kept, design.kept);
  for (let i = 0; i < design.kept; i++) kept[i]! *= scale[i]!;
  for (let block = 0; block < design.blocks; block++) {
    const first = localStart[block]!;
    let left = outer[block]!;
    for (let at = first; at < localStart[block + 1]!; at++) left -= outerLocal[at]! * kept[locals[at]!]!;
    outer[block] = weightOf(relative.outer, outerCount[block]!) * left;
    for (let level = innerStart[block]!; level < innerStart[block + 1]!; level++) {
      let rest = inner[level]! - design.innerCount[level]! * outer[block]!;
      for (let a = entryStart[level]!; a < entryStart[level + 1]!; a++)
        rest -= entryCount[a]! * kept[locals[first + entryLocal[a]!]!]!;
      inner[level] = weightOf(relative.inner, design.innerCount[level]!) * rest;
    }
  }
  return { kept, outer, inner };
}

/** The sums that effects make at each unknown: the plain cross-counts times them. */
export function sumsOfEffects(design: CrossedDesign, effects: Effects): Effects {
  const { localStart, locals, pairStart, innerStart, entryStart, entryLocal, entryCount } = design;
  const kept = new Float64Array(design.kept);
  const outer = new Float64Array(design.blocks);
  const inner = new Float64Array(design.innerCount.length);
  for (let block = 0; block < design.blocks; block++) {
    const first = localStart[block]!;
    const size = localStart[block + 1]! - first;
    const ofBlock = effects.outer[block]!;
    let sum = design.blockCount[block]! * ofBlock;
    for (let a = 0; a < size; a++) {
      const row = pairStart[block]! + a * size;
      let own = design.localCount[first + a]! * ofBlock;
      for (let b = 0; b < size; b++) own += design.pairCount[row + b]! * effects.kept[locals[first + b]!]!;
      kept[locals[first + a]!]! += own;
      sum += design.localCount[first + a]! * effects.kept[locals[first + a]!]!;
    }
    for (let level = innerStart[block]!; level < innerStart[block + 1]!; level++) {
      const ofLevel = effects.inner[level]!;
      const count = design.innerCount[level]!;
      let own = count * (ofLevel + ofBlock);
      for (let a = entryStart[level]!; a < entryStart[level + 1]!; a++) {
        const unknown = locals[first + entryLocal[a]!]!;
        own += entryCount[a]! * effects.kept[unknown]!;
        kept[unknown]! += entryCount[a]! * ofLevel;
      }
      inner[level] = own;
      sum += count * ofLevel;
    }
    outer[block] = sum;
  }
  return { kept, outer, inner };
}

/**
 * Covariance of the errors of estimates and predictions of the kept unknowns, over the residual variance, row by row:
 * the inverse of the equations there. What is unknown of every other effect is in it.
 */
export function keptCovariance({ design: { kept }, scale, factor }: FactoredEquations): Float64Array {
  const inverse = invertFactor(factor, kept);
  for (let i = 0; i < kept; i++) for (let j = 0; j < kept; j++) inverse[i * kept + j]! *= scale[i]! * scale[j]!;
  return inverse;
}
