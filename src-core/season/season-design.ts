import type { Factor, MixedModelData } from "./crossed-design.ts";
import type { SeasonGrade } from "./season-grade.ts";

/** With fewer plays graded more than once, what a play does to its grades cannot be told from noise. */
export const leastRepeatedPlays = 30;

/**
 * The grades of a season as numbers. Levels are numbered by their ids in the order of code units, and rows are sorted by
 * levels, so that the order in which grades came leaves no trace, not even in the last bit of a sum.
 */
export type SeasonDesign = {
  /** Officials at a position: the level is of both. */
  readonly officials: readonly { readonly officialId: string; readonly position: string }[];
  readonly observers: readonly string[];
  readonly games: readonly string[];
  /** What has a mean of its own. */
  readonly cells: readonly { readonly position: string; readonly criterion: string }[];
  /** How many levels of plays there are; a play is one of its game's. */
  readonly plays: number;
  readonly points: Float64Array;
  readonly officialOf: Int32Array;
  readonly observerOf: Int32Array;
  readonly gameOf: Int32Array;
  readonly cellOf: Int32Array;
  /** -1: a grade of the whole game. */
  readonly playOf: Int32Array;
};

type Levels<T> = { readonly levelOf: Int32Array; readonly values: T[] };

const byCodeUnits = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Numbers the distinct pairs of two ids by the first, then the second. */
function pairLevels(
  grades: readonly SeasonGrade[],
  first: (grade: SeasonGrade) => string,
  second: (grade: SeasonGrade) => string,
): Levels<readonly [string, string]> {
  const places = new Map<string, Map<string, number>>();
  const found: { readonly pair: readonly [string, string]; readonly place: number }[] = [];
  const placeOf = new Int32Array(grades.length);
  for (const [row, grade] of grades.entries()) {
    const a = first(grade);
    const b = second(grade);
    let own = places.get(a);
    if (!own) places.set(a, (own = new Map()));
    let place = own.get(b);
    if (place === undefined) {
      place = found.length;
      own.set(b, place);
      found.push({ pair: [a, b], place });
    }
    placeOf[row] = place;
  }
  found.sort((x, y) => byCodeUnits(x.pair[0], y.pair[0]) || byCodeUnits(x.pair[1], y.pair[1]));
  const levelOfPlace = new Int32Array(found.length);
  for (const [level, { place }] of found.entries()) levelOfPlace[place] = level;
  return { levelOf: placeOf.map((place) => levelOfPlace[place]!), values: found.map(({ pair }) => pair) };
}

function levelsOf(grades: readonly SeasonGrade[], id: (grade: SeasonGrade) => string): Levels<string> {
  const { levelOf, values } = pairLevels(grades, id, () => "");
  return { levelOf, values: values.map(([first]) => first) };
}

/** Rows in the order of several keys, the last key first: counting sorts, one a key. */
export function sortedRows(
  rows: number,
  keys: readonly { readonly levelOf: Int32Array; readonly levels: number }[],
): Int32Array {
  let order: Int32Array = Int32Array.from({ length: rows }, (_, row) => row);
  for (const { levelOf, levels } of keys) {
    const next = new Int32Array(levels + 1);
    for (const level of levelOf) next[level + 1]!++;
    for (let level = 0; level < levels; level++) next[level + 1]! += next[level]!;
    const sorted = new Int32Array(rows);
    for (const row of order) sorted[next[levelOf[row]!]!++] = row;
    order = sorted;
  }
  return order;
}

/** Of grades that have points; those that cannot be judged are left out by the caller. */
export function seasonDesign(judged: readonly (SeasonGrade & { readonly points: number })[]): SeasonDesign {
  const officials = pairLevels(
    judged,
    ({ position }) => position,
    ({ officialId }) => officialId,
  );
  const cells = pairLevels(
    judged,
    ({ position }) => position,
    ({ criterion }) => criterion,
  );
  const observers = levelsOf(judged, ({ observerId }) => observerId);
  const games = levelsOf(judged, ({ gameId }) => gameId);
  // An id of a play is a text that cannot begin with a NUL unless somebody made it up; a mark tells "none" from "".
  const plays = pairLevels(
    judged,
    ({ gameId }) => gameId,
    ({ playId }) => (playId === null ? "\u0000" : `p${playId}`),
  );
  const playLevel = new Int32Array(plays.values.length);
  let playCount = 0;
  for (const [level, [, play]] of plays.values.entries()) playLevel[level] = play === "\u0000" ? -1 : playCount++;
  const distinctPoints = [...new Set(judged.map(({ points }) => points))].sort((a, b) => a - b);
  const placeOfPoints = new Map(distinctPoints.map((points, place) => [points, place]));
  const pointsOf = Int32Array.from(judged, ({ points }) => placeOfPoints.get(points)!);
  const order = sortedRows(judged.length, [
    { levelOf: pointsOf, levels: distinctPoints.length },
    { levelOf: observers.levelOf, levels: observers.values.length },
    { levelOf: cells.levelOf, levels: cells.values.length },
    { levelOf: officials.levelOf, levels: officials.values.length },
    { levelOf: plays.levelOf, levels: plays.values.length },
  ]);
  const inOrder = (levelOf: Int32Array) => order.map((row) => levelOf[row]!);
  return {
    officials: officials.values.map(([position, officialId]) => ({ officialId, position })),
    observers: observers.values,
    games: games.values,
    cells: cells.values.map(([position, criterion]) => ({ position, criterion })),
    plays: playCount,
    points: Float64Array.from(order, (row) => judged[row]!.points),
    officialOf: inOrder(officials.levelOf),
    observerOf: inOrder(observers.levelOf),
    gameOf: inOrder(games.levelOf),
    cellOf: inOrder(cells.levelOf),
    playOf: inOrder(plays.levelOf).map((level) => playLevel[level]!),
  };
}

/**
 * grade = mean of the position's criterion + official + observer + game (+ play within game) + noise. The play is in the
 * model from `leastRepeatedPlays` plays on that have two grades or more; with fewer its share stays in the noise.
 */
export function seasonModelData(design: SeasonDesign): MixedModelData {
  const factor = (name: string, levelOf: Int32Array, levels: number): Factor => ({ name, levelOf, levels });
  const gradesOfPlay = new Int32Array(design.plays);
  for (const play of design.playOf) if (play >= 0) gradesOfPlay[play]!++;
  let repeated = 0;
  for (const count of gradesOfPlay) if (count > 1) repeated++;
  return {
    points: design.points,
    means: factor("mean", design.cellOf, design.cells.length),
    crossed: [
      factor("official", design.officialOf, design.officials.length),
      factor("observer", design.observerOf, design.observers.length),
    ],
    outer: factor("game", design.gameOf, design.games.length),
    inner: repeated >= leastRepeatedPlays ? factor("play", design.playOf, design.plays) : null,
  };
}
