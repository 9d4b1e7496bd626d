import { pointsOf, type Scale } from "../grading/scales.ts";
import { type FittedSeason, meansByGame } from "./fitted-season.ts";
import { type Interval, studentInterval } from "./intervals.ts";
import type { SeasonDesign } from "./season-design.ts";
import { distinctByKey, Tally } from "./tally.ts";
import { type Trend, trendOverGames } from "./trend.ts";

export type ObserverTotal = {
  readonly observerId: string;
  readonly grades: number;
  readonly cannotJudge: number;
  readonly games: number;
  /** Officials at a position. */
  readonly officials: number;
  /** Of the grades as they were given, in points; the spread is null with one grade. */
  readonly mean: number;
  readonly spread: number | null;
  /** Distinct points given, of all the scale has, 0 to 1. */
  readonly shareOfScale: number;
  /** How many points worse than others they grade, positive for strict; null where there is but one observer. */
  readonly severity: { readonly points: number; readonly standardError: number; readonly interval: Interval } | null;
  /** Of severity, in points a game: what they graded is compared with what the officials' totals say. Null when too thin. */
  readonly drift: Trend | null;
};

export function observerTotals(
  design: SeasonDesign,
  fitted: FittedSeason | null,
  cannotJudge: (observerId: string) => number,
  scale: Pick<Scale, "best" | "least" | "most" | "step">,
  placeOfGame: Int32Array,
): ObserverTotal[] {
  const { observers, observerOf, gameOf, points } = design;
  const count = observers.length;
  const tally = new Tally(count);
  for (let row = 0; row < points.length; row++) tally.add(observerOf[row]!, points[row]!);
  const games = distinctByKey(observerOf, count, gameOf);
  const officials = distinctByKey(observerOf, count, design.officialOf);
  const onScale = scalePlaces(scale);
  const placesUsed = distinctByKey(
    observerOf,
    count,
    Int32Array.from(points, (value) => onScale.get(value) ?? -1),
  );
  const sign = scale.best === "most" ? -1 : 1;
  const drifts = fitted && driftsOf(fitted, placeOfGame, sign);
  const severityOf = ({ model, estimated }: FittedSeason, observer: number): ObserverTotal["severity"] => {
    if (!estimated.has("observer")) return null;
    const { effects, standardErrors } = model.crossed[1]!;
    // No -0: it would be written as one.
    const severity = sign * effects[observer]! + 0;
    const standardError = standardErrors[observer]!;
    const degrees = model.degreesOfFreedom([{ unknown: model.crossedStart[1]! + observer, share: 1 }]);
    return { points: severity, standardError, interval: studentInterval(severity, standardError, degrees) };
  };
  return observers.map((observerId, observer) => ({
    observerId,
    grades: tally.counts[observer]!,
    cannotJudge: cannotJudge(observerId),
    games: games[observer]!,
    officials: officials[observer]!,
    mean: tally.mean(observer)!,
    spread: tally.spread(observer),
    shareOfScale: placesUsed[observer]! / onScale.size,
    severity: fitted && severityOf(fitted, observer),
    drift: drifts?.[observer] ?? null,
  }));
}

function scalePlaces(scale: Pick<Scale, "least" | "most" | "step">): Map<number, number> {
  return new Map(pointsOf(scale).map((value, place) => [value, place]));
}

function driftsOf({ design, parts }: FittedSeason, placeOfGame: Int32Array, sign: number): (Trend | null)[] {
  const { observers, observerOf, gameOf } = design;
  const values = design.points.map((value, row) => sign * (value - parts.mean[row]! - parts.official[row]!));
  return meansByGame(observerOf, observers.length, placeOfGame, gameOf, values).map((means) => trendOverGames(means));
}
