/**
 * A straight line through samples, by least squares, with the error of its slope. Samples of a running program follow each other
 * (what is high now is high a moment later), so the error is widened by how much the residuals do: by the square root of
 * (1 + r) / (1 - r), r the residuals' correlation with the ones before, the usual correction for such a series.
 */
import jstat from "jstat";

export type Sample = { readonly x: number; readonly y: number };

export type LineFit = {
  readonly slope: number;
  readonly intercept: number;
  /** Standard error of the slope, as if the samples were independent. */
  readonly plainError: number;
  /** Half of the slope's 95 % interval, with the correction; infinite where fewer than four samples tell nothing of it. */
  readonly halfWidth: number;
};

export function fitLine(samples: readonly Sample[]): LineFit {
  const count = samples.length;
  const mean = (of: (sample: Sample) => number) => samples.reduce((sum, one) => sum + of(one), 0) / count;
  const [meanX, meanY] = [mean(({ x }) => x), mean(({ y }) => y)];
  const xx = samples.reduce((sum, { x }) => sum + (x - meanX) ** 2, 0);
  const slope = samples.reduce((sum, { x, y }) => sum + (x - meanX) * (y - meanY), 0) / xx;
  const intercept = meanY - slope * meanX;
  if (count < 4) return { slope, intercept, plainError: Infinity, halfWidth: Infinity };
  const residuals = samples.map(({ x, y }) => y - intercept - slope * x);
  const squares = residuals.reduce((sum, one) => sum + one ** 2, 0);
  const plainError = Math.sqrt(squares / (count - 2) / xx);
  const lagged = residuals.slice(1).reduce((sum, one, index) => sum + one * residuals[index]!, 0);
  const r = squares > 0 ? Math.min(0.95, Math.max(0, lagged / squares)) : 0;
  const widened = plainError * Math.sqrt((1 + r) / (1 - r));
  return { slope, intercept, plainError, halfWidth: widened * jstat.studentt.inv(0.975, count - 2) };
}
