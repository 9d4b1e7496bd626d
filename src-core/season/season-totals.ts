import type { Scale } from "../grading/scales.ts";
import { type ConnectedGroup, connectedGroups } from "./connected-groups.ts";
import { fitSeason, type FittedSeason, isJudged } from "./fitted-season.ts";
import type { VarianceComponent } from "./mixed-model.ts";
import { observerTotals, type ObserverTotal } from "./observer-totals.ts";
import { nothingToEstimate, officialTotals, type OfficialTotal } from "./official-totals.ts";
import { seasonDesign } from "./season-design.ts";
import type { SeasonGrade } from "./season-grade.ts";
import { type MinimumEvidence, type Place, standing } from "./standing.ts";

export type SeasonOptions = {
  readonly scale: Pick<Scale, "best" | "least" | "most" | "step">;
  /** Ids of games by their dates. A game that is not in it counts in every total, but in no trend. */
  readonly gamesInOrder: readonly string[];
  /** Below it an official's adjusted value is withheld, and they are not ranked. */
  readonly minimum: MinimumEvidence;
  /** How many the assigner looks for at a position. */
  readonly topK: number;
  readonly seed: number;
  readonly draws: number;
};

export type RankedOfficial = Place & { readonly officialId: string };

/** Nobody is ranked against an official of another group: between groups it would be a guess. */
export type PositionStanding = {
  readonly position: string;
  readonly group: string;
  readonly places: readonly RankedOfficial[];
};

export type SeasonTotals = {
  readonly grades: number;
  readonly cannotJudge: number;
  /** Null when there is nothing to estimate from. */
  readonly model: {
    readonly criterion: number;
    readonly residualVariance: number;
    /** Those whose variance could be asked for; what is not here is in the noise. */
    readonly components: readonly VarianceComponent[];
  } | null;
  /** One where everybody is tied together. */
  readonly groups: readonly {
    readonly name: string;
    readonly observers: readonly string[];
    readonly officials: readonly { readonly officialId: string; readonly position: string }[];
  }[];
  /** By position, then id. */
  readonly officials: readonly OfficialTotal[];
  readonly standings: readonly PositionStanding[];
  readonly observers: readonly ObserverTotal[];
  /** What bears on every value; what keeps people apart is in the groups, and `noticeLines` says both by name. */
  readonly notices: readonly string[];
};

const byCodeUnits = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/**
 * The totals of a season. The same grades in any order give the same bytes: everything is numbered and sorted by ids
 * first.
 */
export function seasonTotals(grades: readonly SeasonGrade[], options: SeasonOptions): SeasonTotals {
  const { scale, minimum } = options;
  const design = seasonDesign(grades.filter(isJudged));
  const fitted = fitSeason(design);
  const unjudged = grades.filter((grade) => !isJudged(grade));
  const officialKey = (officialId: string, position: string) => JSON.stringify([position, officialId]);
  const ofOfficial = Map.groupBy(unjudged, ({ officialId, position }) => officialKey(officialId, position));
  const ofObserver = Map.groupBy(unjudged, ({ observerId }) => observerId);
  const places = new Map(options.gamesInOrder.map((id, place) => [id, place]));
  const placeOfGame = Int32Array.from(design.games, (id) => places.get(id) ?? -1);
  const digits = scale.step >= 1 && scale.most - scale.least >= 20 ? 1 : 2;

  const officials = officialTotals(
    design,
    fitted,
    (officialId, position) => ofOfficial.get(officialKey(officialId, position))?.length ?? 0,
    minimum,
    placeOfGame,
    { best: scale.best, digits },
  );
  const judged = new Set(officials.map(({ officialId, position }) => officialKey(officialId, position)));
  for (const [key, own] of ofOfficial) if (!judged.has(key)) officials.push(unjudgedOfficial(own));
  officials.sort((a, b) => byCodeUnits(a.position, b.position) || byCodeUnits(a.officialId, b.officialId));

  const groups = connectedGroups(
    { levelOf: design.officialOf, levels: design.officials.length },
    { levelOf: design.observerOf, levels: design.observers.length },
  );
  return {
    grades: design.points.length,
    cannotJudge: unjudged.length,
    model: fitted && {
      criterion: fitted.model.criterion,
      residualVariance: fitted.model.residualVariance,
      components: fitted.model.components.filter(({ name }) => fitted.estimated.has(name)),
    },
    groups: groups.map((group) => ({
      name: group.name,
      observers: group.observers.map((level) => design.observers[level]!),
      officials: group.officials.map((level) => design.officials[level]!),
    })),
    officials,
    standings: fitted === null ? [] : standingsOf(fitted, groups, officials, options),
    observers: observerTotals(design, fitted, (id) => ofObserver.get(id)?.length ?? 0, scale, placeOfGame),
    notices: noticesOf(fitted),
  };
}

function unjudgedOfficial(own: readonly SeasonGrade[]): OfficialTotal {
  const { officialId, position } = own[0]!;
  return {
    officialId,
    position,
    evidence: { grades: 0, plays: 0, games: 0, observers: 0, cannotJudge: own.length },
    mean: null,
    spread: null,
    adjusted: null,
    withheld: "Nothing of theirs could be judged from film.",
    trend: null,
    trends: [],
  };
}

function standingsOf(
  { design, model }: FittedSeason,
  groups: readonly ConnectedGroup[],
  totals: readonly OfficialTotal[],
  { scale, topK, seed, draws }: SeasonOptions,
): PositionStanding[] {
  const isRanked = new Set(
    totals
      .filter(({ adjusted }) => adjusted !== null)
      .map(({ officialId, position }) => JSON.stringify([position, officialId])),
  );
  const positions = [...new Set(design.officials.map(({ position }) => position))];
  return positions.flatMap((position) =>
    groups.flatMap((group) => {
      const levels = group.officials.filter((level) => {
        const official = design.officials[level]!;
        return official.position === position && isRanked.has(JSON.stringify([position, official.officialId]));
      });
      if (levels.length === 0) return [];
      const start = model.crossedStart[0]!;
      const ranked = standing(
        levels.map((level) => model.crossed[0]!.effects[level]!),
        (a, b) => model.covariance(start + levels[a]!, start + levels[b]!),
        { best: scale.best, k: topK, seed, draws },
      );
      const places = levels.map((level, index) => ({
        officialId: design.officials[level]!.officialId,
        ...ranked[index]!,
      }));
      return [{ position, group: group.name, places }];
    }),
  );
}

function noticesOf(fitted: FittedSeason | null): string[] {
  if (fitted === null) return [nothingToEstimate];
  const notices: string[] = [];
  if (!fitted.estimated.has("observer"))
    notices.push("With one observer, severity cannot be told from the mean, and is in every value.");
  for (const { name, isAtBoundary } of fitted.model.components)
    if (isAtBoundary && fitted.estimated.has(name))
      notices.push(`By these grades ${name}s do not differ beyond chance: that variance is estimated as 0.`);
  return notices;
}
