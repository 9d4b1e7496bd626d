import type { Factor, MixedModelData } from "#core/season/crossed-design";

/**
 * The mixed model from its definition, with the covariance of all grades as one plain matrix: nothing is eliminated,
 * nothing profiled but the residual variance. For some dozens of grades.
 */
type Matrix = number[][];

const times = (a: Matrix, b: Matrix): Matrix =>
  a.map((row) => b[0]!.map((_, j) => row.reduce((sum, value, k) => sum + value * b[k]![j]!, 0)));
const turned = (a: Matrix): Matrix => a[0]!.map((_, j) => a.map((row) => row[j]!));

/** Gauss and Jordan with row pivots; the log of the determinant's size beside it. */
function inverse(matrix: Matrix): { readonly inverse: Matrix; readonly logDeterminant: number } {
  const size = matrix.length;
  const a = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  let logDeterminant = 0;
  for (let j = 0; j < size; j++) {
    let pivot = j;
    for (let i = j; i < size; i++) if (Math.abs(a[i]![j]!) > Math.abs(a[pivot]![j]!)) pivot = i;
    [a[j], a[pivot]] = [a[pivot]!, a[j]!];
    const head = a[j]![j]!;
    logDeterminant += Math.log(Math.abs(head));
    a[j] = a[j]!.map((value) => value / head);
    for (let i = 0; i < size; i++) {
      const share = a[i]![j]!;
      if (i !== j) a[i] = a[i]!.map((value, k) => value - share * a[j]![k]!);
    }
  }
  return { inverse: a.map((row) => row.slice(size)), logDeterminant };
}

const incidence = ({ levelOf, levels }: Factor): Matrix =>
  Array.from(levelOf, (level) => Array.from({ length: levels }, (_, one) => (one === level ? 1 : 0)));

export type DenseModel = {
  readonly criterion: number;
  readonly residualVariance: number;
  readonly means: { readonly estimates: number[]; readonly standardErrors: number[] };
  /** Of each factor, crossed, outer, inner. */
  readonly effects: readonly number[][];
  readonly standardErrors: readonly number[][];
};

/** At given standard deviations over the residual's, one a factor: crossed, outer, inner, those that there are. */
export function denseModel(data: MixedModelData, theta: readonly number[]): DenseModel {
  const { points, means, crossed, outer, inner } = data;
  const designs = [...crossed, outer, inner].filter((factor) => factor !== null).map((factor) => incidence(factor));
  const n = points.length;
  const y: Matrix = Array.from(points, (value) => [value]);
  const x = incidence(means);
  const v: Matrix = x.map((_, i) => x.map((__, j) => (i === j ? 1 : 0)));
  for (const [k, z] of designs.entries())
    for (const [i, row] of times(z, turned(z)).entries())
      for (const [j, value] of row.entries()) v[i]![j]! += theta[k]! ** 2 * value;
  const ofV = inverse(v);
  const xv = times(turned(x), ofV.inverse);
  const ofX = inverse(times(xv, x));
  const beta = times(ofX.inverse, times(xv, y));
  const left = times(x, beta).map((row, i) => [y[i]![0]! - row[0]!]);
  const weighted = times(ofV.inverse, left);
  const degrees = n - x[0]!.length;
  const residualVariance = times(turned(left), weighted)[0]![0]! / degrees;
  const correction = times(turned(xv), times(ofX.inverse, xv));
  const p = ofV.inverse.map((row, i) => row.map((value, j) => value - correction[i]![j]!));
  const variances = designs.map((_, k) => theta[k]! ** 2);
  return {
    criterion: ofV.logDeterminant + ofX.logDeterminant + degrees * (1 + Math.log(2 * Math.PI * residualVariance)),
    residualVariance,
    means: {
      estimates: beta.map((row) => row[0]!),
      standardErrors: ofX.inverse.map((row, i) => Math.sqrt(residualVariance * row[i]!)),
    },
    effects: designs.map((z, k) => times(turned(z), weighted).map((row) => variances[k]! * row[0]!)),
    standardErrors: designs.map((z, k) =>
      times(turned(z), times(p, z)).map((row, i) =>
        Math.sqrt(Math.max(0, residualVariance * variances[k]! * (1 - variances[k]! * row[i]!))),
      ),
    ),
  };
}
