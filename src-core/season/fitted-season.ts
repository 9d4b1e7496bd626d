import { fitMixedModel, isEstimable, type MixedModel } from "./mixed-model.ts";
import { type SeasonDesign, seasonModelData, sortedRows } from "./season-design.ts";
import type { SeasonGrade } from "./season-grade.ts";

/** A season's judged grades as numbers, and what the model says each effect did to each of them. */
export type FittedSeason = {
  readonly design: SeasonDesign;
  readonly model: MixedModel;
  /** Of factors whose variance could be asked for. */
  readonly estimated: ReadonlySet<string>;
  /** By row of the design, in points. */
  readonly parts: {
    readonly mean: Float64Array;
    readonly official: Float64Array;
    readonly observer: Float64Array;
    /** The game's effect, and the play's in it. */
    readonly game: Float64Array;
  };
};

export function isJudged(grade: SeasonGrade): grade is SeasonGrade & { readonly points: number } {
  return grade.points !== null;
}

/** Null when the grades leave nothing to estimate: too few, or all the same. */
export function fitSeason(design: SeasonDesign): FittedSeason | null {
  const data = seasonModelData(design);
  const model = fitMixedModel(data);
  if (model === null) return null;
  const [official, observer] = model.crossed;
  const from = (effects: Float64Array, levelOf: Int32Array) =>
    Float64Array.from(levelOf, (level) => effects[level] ?? 0);
  const ofGame = from(model.outer!.effects, design.gameOf);
  const ofPlay = model.inner === null ? null : from(model.inner.effects, design.playOf);
  const factors = [...data.crossed, data.outer, data.inner].filter((factor) => factor !== null);
  return {
    design,
    model,
    estimated: new Set(factors.filter((factor) => isEstimable(factor)).map(({ name }) => name)),
    parts: {
      mean: from(model.means.estimates, design.cellOf),
      official: from(official!.effects, design.officialOf),
      observer: from(observer!.effects, design.observerOf),
      game: ofPlay === null ? ofGame : ofGame.map((effect, row) => effect + ofPlay[row]!),
    },
  };
}

/**
 * The mean of values in each game, by key, in the order of games. `placeOfGame` is -1 for a game that has no place in the
 * order: it is left out.
 */
export function meansByGame(
  keyOf: Int32Array,
  keys: number,
  placeOfGame: Int32Array,
  gameOf: Int32Array,
  values: Float64Array,
): number[][] {
  const places = placeOfGame.reduce((most, place) => Math.max(most, place), -1) + 1;
  const levelOf = gameOf.map((game) => (placeOfGame[game]! < 0 ? places : placeOfGame[game]!));
  const means: number[][] = Array.from({ length: keys }, () => []);
  const last = new Int32Array(keys).fill(-1);
  const counts = new Int32Array(keys);
  for (const row of sortedRows(gameOf.length, [{ levelOf, levels: places + 1 }])) {
    if (levelOf[row] === places) continue;
    const key = keyOf[row]!;
    const own = means[key]!;
    if (last[key] !== gameOf[row]) {
      last[key] = gameOf[row]!;
      counts[key] = 0;
      own.push(0);
    }
    counts[key]!++;
    own[own.length - 1]! += (values[row]! - own.at(-1)!) / counts[key]!;
  }
  return means;
}
