import { type BootstrapDraws } from "./bootstrap.ts";
import { intraclassCorrelation, type IntraclassCorrelation, type IntraclassForm, meanSquares } from "./intraclass.ts";
import { type Interval, wilsonInterval } from "./intervals.ts";
import { type AgreementTable, type CohenKappa, cohenKappa, quadraticWeights } from "./kappa.ts";
import { krippendorffAlpha, type KrippendorffAlpha, type Measurement } from "./krippendorff.ts";
import type { SeasonGrade } from "./season-grade.ts";

/** One thing that was graded, and what each observer gave it: null where they did not, or could not judge. */
export type SideBySide = {
  readonly playId: string | null;
  readonly officialId: string;
  readonly position: string;
  readonly criterion: string;
  /** In the order of the game's observers. */
  readonly points: readonly (number | null)[];
};

export type ObserverPair = {
  readonly first: string;
  readonly second: string;
  /** Graded by both. */
  readonly both: number;
  readonly agreed: number;
  /** Share with the same points, with its Wilson interval; null when nothing was graded by both. */
  readonly agreement: { readonly share: number; readonly interval: Interval } | null;
  /** How many points more the second gave, on average; null as above. */
  readonly difference: number | null;
  /** How often the first gave points i of the scale where the second gave j. */
  readonly table: AgreementTable;
  /** Null where chance alone would always agree. Its interval takes every grade for one by itself. */
  readonly kappa: CohenKappa | null;
  /** Quadratic weights: two points apart is four times as far as one. */
  readonly weightedKappa: CohenKappa | null;
};

export type DoubleGradedGame = {
  readonly observers: readonly string[];
  /** By play, position, official and criterion. */
  readonly rows: readonly SideBySide[];
  readonly pairs: readonly ObserverPair[];
  /** Of all observers together. Their intervals resample plays, each with all that was graded of it. */
  readonly alpha: Readonly<Record<Exclude<Measurement, "ratio">, KrippendorffAlpha | null>>;
  /** Of what all observers graded; null with fewer than two such, or when nothing varies. */
  readonly intraclass: readonly IntraclassCorrelation[] | null;
};

const byCodeUnits = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Observers are a sample of those who might have graded the game, or stand for themselves. */
const forms: readonly IntraclassForm[] = ["ICC(2,1)", "ICC(3,1)", "ICC(2,k)", "ICC(3,k)"];

/**
 * One game as two or more observers graded it. `scalePoints` are all points of the scale, the least first; grades off it
 * are refused by whoever takes them in.
 *
 * Null when fewer than two observers graded anything in the game.
 */
export function doubleGradedGame(
  grades: readonly SeasonGrade[],
  scalePoints: readonly number[],
  draws: BootstrapDraws,
): DoubleGradedGame | null {
  const observers = [...new Set(grades.map(({ observerId }) => observerId))].sort(byCodeUnits);
  if (observers.length < 2) return null;
  const rows = sideBySide(grades, observers);
  const units = rows.map(({ points }) => points);
  const complete = units
    .map((unit) => unit.filter((value) => value !== null))
    .filter((u) => u.length === observers.length);
  const squares = meanSquares(complete);
  // A grade of the whole game stands by itself.
  const playOf = (row: number) => rows[row]!.playId ?? row;
  const correlations = squares && forms.map((form) => intraclassCorrelation(squares, form));
  return {
    observers,
    rows,
    pairs: observers.flatMap((first, a) =>
      observers.slice(a + 1).map((second, after) => pairOf(first, second, rows, [a, a + 1 + after], scalePoints)),
    ),
    alpha: {
      nominal: krippendorffAlpha(units, "nominal", draws, playOf),
      ordinal: krippendorffAlpha(units, "ordinal", draws, playOf),
      interval: krippendorffAlpha(units, "interval", draws, playOf),
    },
    intraclass: correlations?.every((one) => one !== null) ? correlations : null,
  };
}

function sideBySide(grades: readonly SeasonGrade[], observers: readonly string[]): SideBySide[] {
  const key = ({ playId, position, officialId, criterion }: SeasonGrade) =>
    JSON.stringify([playId, position, officialId, criterion]);
  const rows = [...Map.groupBy(grades, key).values()].map((own): SideBySide => {
    const { playId, officialId, position, criterion } = own[0]!;
    const pointsOf = (observerId: string) => own.find((grade) => grade.observerId === observerId)?.points ?? null;
    return { playId, officialId, position, criterion, points: observers.map(pointsOf) };
  });
  return rows.sort(
    (a, b) =>
      byCodeUnits(a.playId ?? "", b.playId ?? "") ||
      byCodeUnits(a.position, b.position) ||
      byCodeUnits(a.officialId, b.officialId) ||
      byCodeUnits(a.criterion, b.criterion),
  );
}

function pairOf(
  first: string,
  second: string,
  rows: readonly SideBySide[],
  [a, b]: readonly [number, number],
  scalePoints: readonly number[],
): ObserverPair {
  const placeOf = new Map(scalePoints.map((points, place) => [points, place]));
  const table = scalePoints.map(() => scalePoints.map(() => 0));
  let [both, agreed, difference] = [0, 0, 0];
  for (const { points } of rows) {
    const [one, other] = [points[a], points[b]];
    if (one == null || other == null) continue;
    both++;
    if (one === other) agreed++;
    difference += other - one;
    table[placeOf.get(one)!]![placeOf.get(other)!]!++;
  }
  const interval = wilsonInterval(agreed, both);
  return {
    first,
    second,
    both,
    agreed,
    agreement: interval && { share: agreed / both, interval },
    difference: both === 0 ? null : difference / both,
    table,
    kappa: cohenKappa(table),
    weightedKappa: cohenKappa(table, quadraticWeights(table.length)),
  };
}
