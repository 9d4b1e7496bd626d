import { type Adjustment, adjustmentSentence, type Reading } from "./adjustment.ts";
import { type FittedSeason, meansByGame } from "./fitted-season.ts";
import { type Interval, studentInterval } from "./intervals.ts";
import type { SeasonDesign } from "./season-design.ts";
import { type MinimumEvidence, withheldReason } from "./standing.ts";
import { distinctByKey, Tally } from "./tally.ts";
import { type Trend, trendOverGames } from "./trend.ts";

export type OfficialEvidence = MinimumEvidence & {
  readonly plays: number;
  /** Grades that said "cannot judge": in no other count. */
  readonly cannotJudge: number;
};

export type AdjustedValue = {
  /** In points: the position's mean with the official's effect, as if all had been seen by the same observers in the same games. */
  readonly value: number;
  /** Of prediction: holds what is unknown of the mean and of all other effects, is given the variances. */
  readonly standardError: number;
  /** Satterthwaite's: few where few observers or games tell how much these differ. */
  readonly degreesOfFreedom: number;
  /** 95 %, by Student's t. */
  readonly interval: Interval;
  readonly adjustment: Adjustment;
  readonly sentence: string;
};

export type OfficialTotal = {
  readonly officialId: string;
  readonly position: string;
  readonly evidence: OfficialEvidence;
  /** Mean and standard deviation of the grades as they were given, in points; null without grades, or with one. */
  readonly mean: number | null;
  readonly spread: number | null;
  /** Null: withheld. */
  readonly adjusted: AdjustedValue | null;
  readonly withheld: string | null;
  /** In points a game, observers' severity and the mix of criteria taken out; null when too thin. */
  readonly trend: Trend | null;
  readonly trends: readonly { readonly criterion: string; readonly trend: Trend | null }[];
};

export const nothingToEstimate = "All grades are the same, or too few, to estimate anything from.";

/** The weights of a position's criteria in its mean: as they were graded there, by everybody together. */
function weightsOfCells(design: SeasonDesign): Float64Array {
  const ofCell = new Float64Array(design.cells.length);
  for (const cell of design.cellOf) ofCell[cell]!++;
  const ofPosition = new Map<string, number>();
  for (const [cell, { position }] of design.cells.entries())
    ofPosition.set(position, (ofPosition.get(position) ?? 0) + ofCell[cell]!);
  return ofCell.map((count, cell) => count / ofPosition.get(design.cells[cell]!.position)!);
}

export function officialTotals(
  design: SeasonDesign,
  fitted: FittedSeason | null,
  cannotJudge: (officialId: string, position: string) => number,
  minimum: MinimumEvidence,
  placeOfGame: Int32Array,
  reading: Reading,
): OfficialTotal[] {
  const count = design.officials.length;
  const [grades, observed, inGames, meanThere] = [
    new Tally(count),
    new Tally(count),
    new Tally(count),
    new Tally(count),
  ];
  for (let row = 0; row < design.points.length; row++) {
    const official = design.officialOf[row]!;
    grades.add(official, design.points[row]!);
    observed.add(official, fitted?.parts.observer[row] ?? 0);
    inGames.add(official, fitted?.parts.game[row] ?? 0);
    meanThere.add(official, fitted?.parts.mean[row] ?? 0);
  }
  const plays = distinctByKey(design.officialOf, count, design.playOf);
  const games = distinctByKey(design.officialOf, count, design.gameOf);
  const observers = distinctByKey(design.officialOf, count, design.observerOf);
  const weights = weightsOfCells(design);
  const trendsOf = fitted && trendsOfOfficials(fitted, placeOfGame);

  const adjustedOf = ({ model }: FittedSeason, official: number): AdjustedValue => {
    const { position } = design.officials[official]!;
    const cells = [...design.cells.keys()].filter((cell) => design.cells[cell]!.position === position);
    const effect = model.crossedStart[0]! + official;
    const contrast = [
      ...cells.map((cell) => ({ unknown: cell, share: weights[cell]! })),
      { unknown: effect, share: 1 },
    ];
    const mean = cells.reduce((sum, cell) => sum + weights[cell]! * model.means.estimates[cell]!, 0);
    const value = mean + model.crossed[0]!.effects[official]!;
    const standardError = model.standardError(contrast);
    const degreesOfFreedom = model.degreesOfFreedom(contrast);
    const parts = {
      observers: -observed.mean(official)!,
      games: -inGames.mean(official)!,
      criteria: mean - meanThere.mean(official)!,
    };
    const change = value - grades.mean(official)!;
    const adjustment = { change, ...parts, shrinkage: change - parts.observers - parts.games - parts.criteria };
    return {
      value,
      standardError,
      degreesOfFreedom,
      interval: studentInterval(value, standardError, degreesOfFreedom),
      adjustment,
      sentence: adjustmentSentence(adjustment, observers[official]!, reading),
    };
  };

  return design.officials.map(({ officialId, position }, official) => {
    const evidence: OfficialEvidence = {
      grades: grades.counts[official]!,
      plays: plays[official]!,
      games: games[official]!,
      observers: observers[official]!,
      cannotJudge: cannotJudge(officialId, position),
    };
    const withheld = fitted === null ? nothingToEstimate : withheldReason(evidence, minimum);
    return {
      officialId,
      position,
      evidence,
      mean: grades.mean(official),
      spread: grades.spread(official),
      adjusted: fitted === null || withheld !== null ? null : adjustedOf(fitted, official),
      withheld,
      trend: trendsOf?.whole[official] ?? null,
      trends: trendsOf?.byCriterion[official] ?? [],
    };
  });
}

function trendsOfOfficials(
  { design, parts }: FittedSeason,
  placeOfGame: Int32Array,
): {
  readonly whole: readonly (Trend | null)[];
  readonly byCriterion: readonly (readonly { readonly criterion: string; readonly trend: Trend | null }[])[];
} {
  const { officials, officialOf, gameOf, cells, cellOf } = design;
  const values = design.points.map((points, row) => points - parts.observer[row]! - parts.mean[row]!);
  const criteria = [...new Set(cells.map(({ criterion }) => criterion))].sort();
  const criterionOfCell = cells.map(({ criterion }) => criteria.indexOf(criterion));
  const keyOf = officialOf.map((official, row) => official * criteria.length + criterionOfCell[cellOf[row]!]!);
  const whole = meansByGame(officialOf, officials.length, placeOfGame, gameOf, values);
  const each = meansByGame(keyOf, officials.length * criteria.length, placeOfGame, gameOf, values);
  return {
    whole: whole.map((means) => trendOverGames(means)),
    byCriterion: officials.map((_, official) =>
      criteria
        .map((criterion, index) => ({ criterion, means: each[official * criteria.length + index]! }))
        .filter(({ means }) => means.length > 0)
        .map(({ criterion, means }) => ({ criterion, trend: trendOverGames(means) })),
    ),
  };
}
