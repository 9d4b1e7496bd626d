import { factorCholesky, solveCholesky } from "../field/small-linear-algebra.ts";
import type { CrossedDesign } from "./crossed-design.ts";
import {
  factorEquations,
  type FactoredEquations,
  type RelativeVariances,
  solveEquations,
  sumsOfGrades,
} from "./mixed-model-equations.ts";
import { remlSlope, weightedResidual } from "./reml-slope.ts";

/** Relative variances above this are not told apart: next to it there is no noise. */
export const mostRelative = 1e6;

/**
 * The REML criterion, -2 times the restricted log likelihood at its best residual variance and means, as Bates, Mächler,
 * Bolker and Walker (2015, equation 41) and lme4 print it.
 */
export function remlCriterion(equations: FactoredEquations): number {
  const { design, logDeterminant } = equations;
  const degrees = design.grades - design.fixed;
  const residual = weightedResidual(equations, solveEquations(equations, sumsOfGrades(design)));
  return logDeterminant + degrees * (1 + Math.log((2 * Math.PI * residual) / degrees));
}

export type RemlOptimum = {
  readonly equations: FactoredEquations;
  readonly criterion: number;
  readonly evaluations: number;
};

function outOfOneRow(row: readonly number[]): RelativeVariances {
  return { crossed: row.slice(0, -2), outer: row.at(-2)!, inner: row.at(-1)! };
}

/** Where each factor may go in one step. */
type Bounds = { readonly from: readonly number[]; readonly least: readonly number[]; readonly most: number };

/**
 * The Newton step of the free factors, with the information in place of the Hessian, inside bounds: whoever would cross
 * theirs is put there, and the others step anew with that known.
 */
function newtonStep(
  gradient: readonly number[],
  information: readonly (readonly number[])[],
  free: readonly number[],
  { from, least, most }: Bounds,
): number[] {
  const change = gradient.map(() => 0);
  const open = new Set(free);
  while (open.size > 0) {
    const own = [...open];
    const size = own.length;
    const matrix = new Float64Array(size * size);
    const right = Float64Array.from(own, (k) => -gradient[k]!);
    for (const [i, k] of own.entries()) {
      for (const [j, l] of own.entries()) matrix[i * size + j] = information[k]![l]!;
      // Two factors with the same levels have one slope between them: a little of the diagonal parts them evenly.
      matrix[i * size + i]! *= 1 + 1e-6;
      for (const l of free) if (!open.has(l)) right[i]! -= information[k]![l]! * change[l]!;
    }
    if (!(factorCholesky(matrix, size) > 1e-12))
      return diagonalStep(gradient, information, free, { from, least, most });
    solveCholesky(matrix, right, size);
    let crossed = false;
    for (const [i, k] of own.entries()) {
      const target = from[k]! + right[i]!;
      const held = Math.min(most, Math.max(least[k]!, target));
      change[k] = held - from[k]!;
      if (held !== target) crossed = open.delete(k);
    }
    if (!crossed) break;
  }
  return change;
}

/** Each factor by itself: shorter, but it always leads down. */
function diagonalStep(
  gradient: readonly number[],
  information: readonly (readonly number[])[],
  free: readonly number[],
  { from, least, most }: Bounds,
): number[] {
  const change = gradient.map(() => 0);
  for (const k of free) {
    const target = from[k]! - gradient[k]! / Math.max(information[k]![k]!, 1e-300);
    change[k] = Math.min(most, Math.max(least[k]!, target)) - from[k]!;
  }
  return change;
}

/**
 * The relative variances that minimise the REML criterion, each at least 0: average information steps, halved until the
 * criterion falls. `present` says which factors are in the model, in the order of `inOneRow`; the others stay at 0.
 *
 * The search runs on variances, not on their roots: at 0 the slope by the root is 0 whatever the data say, that by the
 * variance says whether 0 is the optimum. A factor at 0 is let go again when the slope there turns down.
 */
export function minimiseReml(design: CrossedDesign, present: readonly boolean[]): RemlOptimum {
  const crossed = design.crossedStart;
  const levels = [
    ...crossed.map((start, index) => (crossed[index + 1] ?? design.kept) - start),
    design.blocks,
    design.innerCount.length,
  ];
  let at: number[] = levels.map((_, k) => (present[k] ? 0.1 : 0));
  let equations = factorEquations(design, outOfOneRow(at));
  let criterion = remlCriterion(equations);
  let evaluations = 1;
  for (let iteration = 0; iteration < 100; iteration++) {
    const { gradient, information } = remlSlope(equations);
    const from = at;
    const isHeld = (k: number) =>
      !present[k] || (from[k] === 0 && gradient[k]! >= 0) || (from[k] === mostRelative && gradient[k]! <= 0);
    const free = [...levels.keys()].filter((k) => !isHeld(k));
    // Far from 0 a step across it says that the step is too long, not that the variance is 0.
    const least = from.map((value, k) => (value * (design.grades / levels[k]!) > 0.1 ? value / 10 : 0));
    const bounds = { from, least, most: mostRelative };
    // Below rounding of the criterion the slope knows better than the criterion does.
    const noise = 1e-13 * Math.abs(criterion) + 1e-11;
    let moved = false;
    for (const stepOf of [newtonStep, diagonalStep]) {
      const change = stepOf(gradient, information, free, bounds);
      const isStill = change.every(
        (value, k) => Math.abs(value) <= 1e-8 * (from[k]! + (1e-3 * levels[k]!) / design.grades),
      );
      if (isStill) break;
      const expected = change.reduce((sum, value, k) => sum - value * gradient[k]!, 0);
      for (let share = 1; expected > 0 && share > 1e-4 && !moved; share /= 2) {
        const tried = from.map((value, k) => value + share * change[k]!);
        const next = factorEquations(design, outOfOneRow(tried));
        const there = remlCriterion(next);
        evaluations++;
        const slack = expected < 100 * noise ? 10 * noise : -1e-4 * share * expected;
        if (there <= criterion + slack) [at, equations, criterion, moved] = [tried, next, there, true];
      }
      if (moved) break;
    }
    if (!moved) break;
  }
  return { equations, criterion, evaluations };
}
