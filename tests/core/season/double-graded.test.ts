import { describe, expect, it } from "vitest";
import { doubleGradedGame } from "#core/season/double-graded";
import type { SeasonGrade } from "#core/season/season-grade";
import { shroutFleiss } from "./published.ts";

const draws = { seed: 2, draws: 200 };

/** Targets as plays, judges as observers. */
function gradesOf(table: readonly (readonly (number | null)[])[]): SeasonGrade[] {
  return table.flatMap((row, play) =>
    row.map((points, observer) => ({
      officialId: "x1",
      position: "R",
      criterion: "station",
      observerId: `o${observer}`,
      gameId: "g1",
      playId: `p${play}`,
      points,
    })),
  );
}

describe("a game graded by several", () => {
  it("has the six targets and four judges of Shrout and Fleiss as one of its correlations", () => {
    const partly = [...shroutFleiss, [5, null, 5, 5], [null, null, 2, 9]];
    const game = doubleGradedGame(gradesOf(partly), [1, 2, 3, 4, 5, 6, 7, 8, 9, 10], draws)!;
    expect(game.pairs).toHaveLength(6);
    const found = new Map(game.intraclass!.map(({ form, icc }) => [form, icc.toFixed(6)]));
    expect([found.get("ICC(2,1)"), found.get("ICC(3,k)")]).toEqual(["0.289764", "0.909316"]);
    // Judge 1 gives 46 in all, judge 2 gives 15.
    expect(game.pairs[0]!.difference).toBeCloseTo((15 - 46) / 6, 12);
  });

  it("counts a pair's table, and shows agreement beside kappa: 85 in a hundred, .700", () => {
    const cells = (count: number, one: number, other: number) => Array.from({ length: count }, () => [one, other]);
    const table = [...cells(40, 1, 1), ...cells(9, 1, 2), ...cells(6, 2, 1), ...cells(45, 2, 2)];
    const game = doubleGradedGame(gradesOf([...table, [1, null], [null, 2]]), [1, 2], draws)!;
    const [pair] = game.pairs;
    expect(pair!.table).toEqual([
      [40, 9],
      [6, 45],
    ]);
    expect([pair!.both, pair!.agreed, pair!.agreement!.share]).toEqual([100, 85, 0.85]);
    expect(pair!.kappa!.kappa).toBeCloseTo(0.7, 3);
    // Two categories: squares of distances are 0 and 1, as without weights.
    expect(pair!.weightedKappa!.kappa).toBeCloseTo(pair!.kappa!.kappa, 12);
    expect(game.alpha.nominal!.units).toBe(100);
    expect(game.rows).toHaveLength(102);
    expect(game.rows.find(({ playId }) => playId === "p100")!.points).toEqual([1, null]);
  });

  it("draws a play's grades together", () => {
    const table = [3, 4, 5, 2, 4, 3, 1, 5, 4, 4].map((one, play) => [one, play % 3 === 0 ? Math.max(1, one - 1) : one]);
    const criteria = ["station", "look", "key", "zone"];
    const grades = criteria.flatMap((criterion) => gradesOf(table).map((grade) => ({ ...grade, criterion })));
    const asPlays = grades.map((grade) => ({ ...grade, playId: `${grade.playId}${grade.criterion}` }));
    const width = (all: SeasonGrade[]) => {
      const { low, high } = doubleGradedGame(all, [1, 2, 3, 4, 5], { seed: 2, draws: 1000 })!.alpha.interval!.interval!;
      return high - low;
    };
    expect(width(asPlays) / width(grades)).toBeLessThan(0.7);
  });

  it("is the same whoever comes first, and is nothing with one observer", () => {
    const grades = gradesOf(shroutFleiss.map((row) => row.slice(0, 3)));
    const points = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];
    expect(JSON.stringify(doubleGradedGame(grades.toReversed(), points, draws))).toBe(
      JSON.stringify(doubleGradedGame(grades, points, draws)),
    );
    expect(doubleGradedGame(gradesOf([[3], [4]]), points, draws)).toBeNull();
  });

  it("has no correlation where no play was graded by all, and no kappa where both always gave the same", () => {
    const game = doubleGradedGame(
      gradesOf([
        [4, 4, null],
        [4, 4, null],
        [null, null, 4],
      ]),
      [1, 2, 3, 4, 5],
      draws,
    )!;
    expect(game.intraclass).toBeNull();
    expect(game.pairs[0]!.kappa).toBeNull();
    expect(game.pairs[0]!.agreement!.share).toBe(1);
    expect(game.pairs[1]!.agreement).toBeNull();
    expect(game.alpha.interval).toBeNull();
  });
});
