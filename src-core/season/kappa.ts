import { type Interval, normalInterval } from "./intervals.ts";

/** Square: how often the first observer gave category i where the second gave j. */
export type AgreementTable = readonly (readonly number[])[];

/** How much two categories differ, 0 on the diagonal; its unit does not matter. */
export type DisagreementWeights = readonly (readonly number[])[];

export type CohenKappa = {
  readonly cases: number;
  /** Weighted share of agreement: without weights the plain one, 0 to 1. */
  readonly observed: number;
  /** What two observers who know nothing of each case would agree in, with the same categories used as often. */
  readonly expected: number;
  readonly kappa: number;
  readonly standardError: number;
  /** If there were no agreement beyond chance: for a test, not for an interval. */
  readonly standardErrorNull: number;
  readonly interval: Interval;
};

/** Share of cases on the diagonal, 0 to 1; null when there are none. */
export function percentAgreement(table: AgreementTable): number | null {
  let agreed = 0;
  let cases = 0;
  for (const [i, row] of table.entries())
    for (const [j, count] of row.entries()) {
      cases += count;
      if (i === j) agreed += count;
    }
  return cases === 0 ? null : agreed / cases;
}

export function plainWeights(categories: number): DisagreementWeights {
  return weightsOf(categories, (distance) => (distance === 0 ? 0 : 1));
}

export function linearWeights(categories: number): DisagreementWeights {
  return weightsOf(categories, (distance) => distance);
}

export function quadraticWeights(categories: number): DisagreementWeights {
  return weightsOf(categories, (distance) => distance * distance);
}

function weightsOf(categories: number, of: (distance: number) => number): DisagreementWeights {
  return Array.from({ length: categories }, (_, i) =>
    Array.from({ length: categories }, (__, j) => of(Math.abs(i - j))),
  );
}

/**
 * Cohen's kappa, plain (Cohen 1960, Educ. Psychol. Meas. 20:37-46) or weighted (Cohen 1968, Psychol. Bull. 70:213-220),
 * with the large sample standard errors of Fleiss, Cohen and Everitt (1969, Psychol. Bull. 72:323-327).
 *
 * Null when there is no case, or when chance alone would always agree: both gave one and the same category throughout.
 */
export function cohenKappa(
  table: AgreementTable,
  disagreement: DisagreementWeights = plainWeights(table.length),
): CohenKappa | null {
  const size = table.length;
  const cases = table.flat().reduce((sum, count) => sum + count, 0);
  const most = Math.max(...disagreement.flat());
  if (cases === 0 || !(most > 0)) return null;
  const share = (i: number, j: number) => table[i]![j]! / cases;
  const weight = (i: number, j: number) => 1 - disagreement[i]![j]! / most;
  const sumOver = (of: (k: number) => number) =>
    Array.from({ length: size }, (_, k) => of(k)).reduce((a, b) => a + b, 0);
  const rows = table.map((_, i) => sumOver((j) => share(i, j)));
  const columns = table.map((_, j) => sumOver((i) => share(i, j)));
  const observed = sumOver((i) => sumOver((j) => share(i, j) * weight(i, j)));
  const expected = sumOver((i) => sumOver((j) => rows[i]! * columns[j]! * weight(i, j)));
  if (1 - expected < 1e-12) return null;
  const kappa = (observed - expected) / (1 - expected);
  const ofRow = table.map((_, i) => sumOver((j) => columns[j]! * weight(i, j)));
  const ofColumn = table.map((_, j) => sumOver((i) => rows[i]! * weight(i, j)));
  const spread = (at: (i: number, j: number) => number, over: number) =>
    sumOver((i) => sumOver((j) => at(i, j) * (weight(i, j) - (ofRow[i]! + ofColumn[j]!) * over) ** 2));
  const error = (square: number) => Math.sqrt(Math.max(0, square) / cases) / (1 - expected);
  const standardError = error(spread(share, 1 - kappa) - (kappa - expected * (1 - kappa)) ** 2);
  return {
    cases,
    observed,
    expected,
    kappa,
    standardError,
    standardErrorNull: error(spread((i, j) => rows[i]! * columns[j]!, 1) - expected ** 2),
    interval: normalInterval(kappa, standardError),
  };
}
