import { crossedDesign, type Factor, type MixedModelData } from "./crossed-design.ts";
import { minimiseReml, mostRelative } from "./reml.ts";
import { inOneRow, remlSlope } from "./reml-slope.ts";
import { type Contrast, contrastVariance, satterthwaiteDegrees, varianceUncertainty } from "./satterthwaite.ts";

/** One random factor as it was estimated. */
export type VarianceComponent = {
  readonly name: string;
  readonly levels: number;
  /** Standard deviation over the residual's. */
  readonly theta: number;
  /** In squared points; never negative. */
  readonly variance: number;
  /** The likelihood is best where there is no such variance: reported as 0, not as a small number. */
  readonly isAtBoundary: boolean;
};

/** Predicted effects of one factor, a level each, in points. */
export type PredictedEffects = {
  readonly name: string;
  readonly effects: Float64Array;
  /** Standard error of prediction, of effect less prediction; holds what the means leave open, is given the variances. */
  readonly standardErrors: Float64Array;
};

export type MixedModel = {
  readonly grades: number;
  readonly criterion: number;
  readonly residualVariance: number;
  /** Crossed factors, then outer, then inner: those that are in the model. */
  readonly components: readonly VarianceComponent[];
  readonly means: { readonly estimates: Float64Array; readonly standardErrors: Float64Array };
  readonly crossed: readonly PredictedEffects[];
  readonly outer: PredictedEffects | null;
  /** Without standard errors: no total rests on one play. */
  readonly inner: { readonly name: string; readonly effects: Float64Array } | null;
  /** Covariance of the errors of two kept unknowns, in squared points: means first, then the crossed factors' levels. */
  readonly covariance: (a: number, b: number) => number;
  /** Of the error of a sum of kept unknowns, in points. */
  readonly standardError: (contrast: Contrast) => number;
  /** Satterthwaite's, of a sum of kept unknowns: how well its error variance is known. */
  readonly degreesOfFreedom: (contrast: Contrast) => number;
  /** Where the levels of each crossed factor begin among the kept unknowns. */
  readonly crossedStart: readonly number[];
  /** How often the likelihood was evaluated. */
  readonly evaluations: number;
};

/** A factor tells its variance from noise when it has two levels at least, and fewer than there are grades. */
export function isEstimable({ levelOf, levels }: Factor): boolean {
  return levels >= 2 && levels < levelOf.length;
}

/**
 * A linear mixed model: grade = mean + crossed effects + outer effect + inner effect + noise, all effects normal and
 * independent with one variance a factor. Variances by REML (Patterson and Thompson 1971, Biometrika 58:545-554), effects
 * by best linear unbiased prediction (Henderson 1975, Biometrics 31:423-447).
 *
 * The cost of one evaluation of the likelihood grows with the grades only through the levels of inner: what is dense has
 * the size of the means and the crossed factors together.
 *
 * Null when there is nothing to estimate from: no more grades than means, or grades that the means explain to the last.
 */
export function fitMixedModel(data: MixedModelData): MixedModel | null {
  const design = crossedDesign(data);
  const degrees = design.grades - design.fixed;
  if (degrees < 1) return null;
  const withinMeans = spreadWithinMeans(data);
  if (!(withinMeans > 1e-20 * design.sumOfSquares)) return null;
  const factors = [...data.crossed, data.outer, data.inner];
  const { equations, criterion, evaluations } = minimiseReml(
    design,
    factors.map((factor) => factor !== null && isEstimable(factor)),
  );
  const slope = remlSlope(equations);
  const { effects, covariance, outerVariance } = slope;
  const residualVariance = slope.residual / degrees;
  const { kept, fixed, crossedStart } = design;
  const errors = Float64Array.from({ length: kept }, (_, i) => Math.sqrt(residualVariance * covariance[i * kept + i]!));
  const relative = inOneRow(equations.relative);
  const isFree = (factor: number) => relative[factor]! > 0 && relative[factor]! < mostRelative;
  const uncertainty = varianceUncertainty(design, equations.relative, slope, isFree);
  const innerEffects = new Float64Array(data.inner?.levels ?? 0);
  for (const [place, level] of design.innerLevel.entries()) innerEffects[level] = effects.inner[place]!;
  return {
    grades: design.grades,
    criterion,
    residualVariance,
    components: factors.flatMap((factor, k) =>
      factor === null
        ? []
        : {
            name: factor.name,
            levels: factor.levels,
            theta: Math.sqrt(relative[k]!),
            variance: relative[k]! * residualVariance,
            isAtBoundary: relative[k] === 0,
          },
    ),
    means: {
      estimates: effects.kept.slice(0, fixed).map((value) => value + design.origin),
      standardErrors: errors.slice(0, fixed),
    },
    crossed: data.crossed.map(({ name }, index) => ({
      name,
      effects: effects.kept.slice(crossedStart[index], crossedStart[index + 1]),
      standardErrors: errors.slice(crossedStart[index], crossedStart[index + 1]),
    })),
    outer: data.outer && {
      name: data.outer.name,
      effects: effects.outer,
      standardErrors: outerVariance.map((value) => Math.sqrt(residualVariance * value)),
    },
    inner: data.inner && { name: data.inner.name, effects: innerEffects },
    covariance: (a, b) => residualVariance * covariance[a * kept + b]!,
    standardError: (contrast) => Math.sqrt(residualVariance * contrastVariance(covariance, kept, contrast)),
    degreesOfFreedom: (contrast) => (uncertainty === null ? 1 : satterthwaiteDegrees(uncertainty, kept, contrast)),
    crossedStart,
    evaluations,
  };
}

/** Sum of squares about the fixed means alone. */
function spreadWithinMeans({ points, means }: MixedModelData): number {
  const sums = new Float64Array(means.levels);
  const counts = new Float64Array(means.levels);
  for (let row = 0; row < points.length; row++) {
    sums[means.levelOf[row]!]! += points[row]!;
    counts[means.levelOf[row]!]!++;
  }
  let squares = 0;
  for (let row = 0; row < points.length; row++) {
    const level = means.levelOf[row]!;
    squares += (points[row]! - sums[level]! / counts[level]!) ** 2;
  }
  return squares;
}
