import type { CrossedDesign } from "./crossed-design.ts";
import {
  type Effects,
  type FactoredEquations,
  keptCovariance,
  type RelativeVariances,
  solveEquations,
  sumsOfEffects,
  sumsOfGrades,
} from "./mixed-model-equations.ts";

/** The random factors of a model in one row: the crossed ones, then outer, then inner. */
export function inOneRow({ crossed, outer, inner }: RelativeVariances): number[] {
  return [...crossed, outer, inner];
}

export type RemlSlope = {
  /** Of the criterion by each relative variance, crossed factors first, then outer, then inner. */
  readonly gradient: readonly number[];
  /** The average information of the same, row by row: positive semi-definite, near the Hessian at the optimum. */
  readonly information: readonly (readonly number[])[];
  readonly effects: Effects;
  /** yᵀ P y. */
  readonly residual: number;
  readonly covariance: Float64Array;
  /** Error variances of the predicted outer effects, over the residual variance. */
  readonly outerVariance: Float64Array;
};

/** Zᵀ P Z on the diagonal, summed over the levels of each factor, in the order of `inOneRow`. */
function projectedTraces(
  equations: FactoredEquations,
  covariance: Float64Array,
): { readonly traces: number[]; readonly outerVariance: Float64Array } {
  const { design, relative, reduced, scale, outerCount, outerLocal } = equations;
  const { kept, localStart, locals, innerStart, entryStart, entryLocal, entryCount } = design;
  const traces = relative.crossed.map((variance, index) => {
    const end = design.crossedStart[index + 1] ?? kept;
    let trace = 0;
    for (let i = design.crossedStart[index]!; i < end; i++) {
      if (variance * reduced[i * kept + i]! > 1e-6) {
        trace += (1 - covariance[i * kept + i]! / variance) / variance;
        continue;
      }
      // So small a variance cancels above: the same from the other side of the projection.
      const row = Float64Array.from({ length: kept }, (_, j) => reduced[Math.max(i, j) * kept + Math.min(i, j)]!);
      trace += row[i]!;
      for (let a = 0; a < kept; a++) {
        if (row[a] === 0 || scale[a] === 0) continue;
        let sum = 0;
        for (let b = 0; b < kept; b++) sum += covariance[a * kept + b]! * row[b]!;
        trace -= row[a]! * sum;
      }
    }
    return trace;
  });

  let ofOuter = 0;
  let ofInner = 0;
  const outerVariance = new Float64Array(design.blocks);
  let room = new Float64Array(1);
  for (let block = 0; block < design.blocks; block++) {
    const first = localStart[block]!;
    const size = localStart[block + 1]! - first;
    if (room.length < size * size) room = new Float64Array(size * size);
    const through = new Float64Array(size);
    let quadratic = 0;
    for (let a = 0; a < size; a++) {
      const row = locals[first + a]! * kept;
      let sum = 0;
      for (let b = 0; b < size; b++) {
        const value = covariance[row + locals[first + b]!]!;
        room[a * size + b] = value;
        sum += value * outerLocal[first + b]!;
      }
      through[a] = sum;
      quadratic += sum * outerLocal[first + a]!;
    }
    const divisor = 1 + relative.outer * outerCount[block]!;
    ofOuter += outerCount[block]! / divisor - quadratic / (divisor * divisor);
    const weight = relative.outer / divisor;
    outerVariance[block] = weight + weight * weight * quadratic;
    for (let level = innerStart[block]!; level < innerStart[block + 1]!; level++) {
      const count = design.innerCount[level]!;
      let inside = count * count * outerVariance[block]!;
      for (let a = entryStart[level]!; a < entryStart[level + 1]!; a++) {
        const row = entryLocal[a]! * size;
        let sum = -2 * count * weight * through[entryLocal[a]!]!;
        for (let b = entryStart[level]!; b < entryStart[level + 1]!; b++)
          sum += entryCount[b]! * room[row + entryLocal[b]!]!;
        inside += entryCount[a]! * sum;
      }
      const over = 1 + relative.inner * count;
      ofInner += count / over - inside / (over * over);
    }
  }
  return { traces: [...traces, ofOuter, ofInner], outerVariance };
}

/** Zᵀ P y: what is left of the grades at each level once all effects are taken from them, summed. */
function leftOver(design: CrossedDesign, effects: Effects): Effects {
  const sums = sumsOfGrades(design);
  const explained = sumsOfEffects(design, effects);
  const less = (all: Float64Array, part: Float64Array) => all.map((value, at) => value - part[at]!);
  return {
    kept: less(sums.kept, explained.kept),
    outer: less(sums.outer, explained.outer),
    inner: less(sums.inner, explained.inner),
  };
}

/** One factor's part of effects or sums, everything else 0. */
function partOf(design: CrossedDesign, all: Effects, factor: number): Effects {
  const crossed = design.crossedStart.length;
  const kept = new Float64Array(design.kept);
  if (factor < crossed) {
    const start = design.crossedStart[factor]!;
    kept.set(all.kept.subarray(start, design.crossedStart[factor + 1] ?? design.kept), start);
  }
  const empty = (values: Float64Array) => new Float64Array(values.length);
  return {
    kept,
    outer: factor === crossed ? all.outer : empty(all.outer),
    inner: factor === crossed + 1 ? all.inner : empty(all.inner),
  };
}

function product(a: Effects, b: Effects): number {
  let sum = 0;
  for (const [x, y] of [
    [a.kept, b.kept],
    [a.outer, b.outer],
    [a.inner, b.inner],
  ] as const)
    for (let at = 0; at < x.length; at++) sum += x[at]! * y[at]!;
  return sum;
}

/** Sum of squares that the model leaves, yᵀ P y: the residual variance times its degrees of freedom. */
export function weightedResidual(equations: FactoredEquations, effects: Effects): number {
  return Math.max(0, equations.design.sumOfSquares - product(sumsOfGrades(equations.design), effects));
}

/**
 * Gradient and average information of the profiled REML criterion (Gilmour, Thompson and Cullis 1995, Biometrics
 * 51:1440-1450), with the residual variance profiled out: from d = log|V| + log|Xᵀ V⁻¹ X| + (n - p) log(yᵀ P y), with
 * K = Z Zᵀ of a factor, tr(P K) - (n - p) yᵀPKPy / yᵀPy.
 */
export function remlSlope(equations: FactoredEquations): RemlSlope {
  const { design, relative } = equations;
  const covariance = keptCovariance(equations);
  const { traces, outerVariance } = projectedTraces(equations, covariance);
  const effects = solveEquations(equations, sumsOfGrades(design));
  const left = leftOver(design, effects);
  const degrees = design.grades - design.fixed;
  const residual = weightedResidual(equations, effects);
  const parts = inOneRow(relative).map((_, factor) => partOf(design, left, factor));
  const squares = parts.map((part) => product(part, part) / residual);
  const sums = parts.map((part) => sumsOfEffects(design, part));
  const solved = sums.map((sum) => solveEquations(equations, sum));
  return {
    gradient: traces.map((trace, k) => trace - degrees * squares[k]!),
    information: parts.map((part, k) =>
      parts.map(
        (_, l) =>
          degrees * ((product(part, sums[l]!) - product(sums[k]!, solved[l]!)) / residual - squares[k]! * squares[l]!),
      ),
    ),
    effects,
    residual,
    covariance,
    outerVariance,
  };
}
