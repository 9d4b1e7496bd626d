import { factorCholesky, solveCholesky } from "../field/small-linear-algebra.ts";
import type { CrossedDesign } from "./crossed-design.ts";
import { factorEquations, type RelativeVariances } from "./mixed-model-equations.ts";
import { type RemlSlope, remlSlope } from "./reml-slope.ts";

/** A sum of means and effects: the kept unknowns it is made of, and how much of each. */
export type Contrast = readonly { readonly unknown: number; readonly share: number }[];

/** Over the residual variance, or in squared points, by the scale of `covariance`. */
export function contrastVariance(covariance: Float64Array, kept: number, contrast: Contrast): number {
  let square = 0;
  for (const a of contrast)
    for (const b of contrast) square += a.share * b.share * covariance[a.unknown * kept + b.unknown]!;
  return Math.max(0, square);
}

/** What the degrees of freedom rest on: the optimum, and one point beside it for each variance above 0. */
export type VarianceUncertainty = {
  readonly degrees: number;
  readonly at: { readonly residual: number; readonly covariance: Float64Array };
  readonly beside: readonly { readonly residual: number; readonly covariance: Float64Array }[];
  /** Cholesky factor of the Hessian of the criterion by the logs of these variances. */
  readonly hessian: Float64Array;
};

const logStep = 1e-4;

/**
 * A variance that is 0, or at the search's upper end, is taken as known. Null where the Hessian is not definite: the
 * variances are not known at all.
 */
export function varianceUncertainty(
  design: CrossedDesign,
  relative: RelativeVariances,
  slope: RemlSlope,
  isFree: (factor: number) => boolean,
): VarianceUncertainty | null {
  const row = [...relative.crossed, relative.outer, relative.inner];
  const crossed = relative.crossed.length;
  const free = [...row.keys()].filter((factor) => isFree(factor));
  const points = free.map((factor) => {
    const moved = row.with(factor, row[factor]! * Math.exp(logStep));
    const equations = factorEquations(design, {
      crossed: moved.slice(0, crossed),
      outer: moved[crossed]!,
      inner: moved[crossed + 1]!,
    });
    const { gradient, residual, covariance } = remlSlope(equations);
    const byLog = free.map((one) => (gradient[one]! * moved[one]! - slope.gradient[one]! * row[one]!) / logStep);
    return { byLog, residual, covariance };
  });
  const size = free.length;
  const hessian = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    // The ridge keeps two factors with the same levels apart: what rests on the difference gets next to no degrees.
    for (let j = 0; j < size; j++) hessian[i * size + j] = (points[i]!.byLog[j]! + points[j]!.byLog[i]!) / 2;
  for (let i = 0; i < size; i++) hessian[i * size + i]! *= 1 + 1e-7;
  if (size > 0 && !(factorCholesky(hessian, size) > 1e-10)) return null;
  const { covariance, residual } = slope;
  return {
    degrees: design.grades - design.fixed,
    at: { residual, covariance },
    beside: points,
    hessian,
  };
}

/**
 * Satterthwaite's degrees of freedom (1946, Biometrics Bulletin 2:110-114) of a contrast's error variance v: twice its
 * square over the variance it is estimated with. By the delta method, with r the slope of log v by the logs of the
 * relative variances, H the Hessian of the criterion by them, and n - p degrees of the residual:
 * 1 / (rᵀ H⁻¹ r + 1 / (n - p)). Never below 1.
 */
export function satterthwaiteDegrees(
  { degrees, at, beside, hessian }: VarianceUncertainty,
  kept: number,
  contrast: Contrast,
): number {
  const here = contrastVariance(at.covariance, kept, contrast) * at.residual;
  if (!(here > 0)) return degrees;
  const slopes = Float64Array.from(beside, ({ residual, covariance }) => {
    const there = contrastVariance(covariance, kept, contrast) * residual;
    return Math.log(there / here) / logStep;
  });
  const solved = slopes.slice();
  solveCholesky(hessian, solved, slopes.length);
  const spread = slopes.reduce((sum, slope, k) => sum + slope * solved[k]!, 0);
  return Math.max(1, 1 / (spread + 1 / degrees));
}
