import fc from "fast-check";
import jstat from "jstat";
import { describe, expect, it } from "vitest";
import { trendOverGames } from "#core/season/trend";

describe("the trend over games", () => {
  /** By hand: mean 3, slope (−2·2 −1·3 +0·2 +1·4 +2·4)/10 = .5; left .1 + … = 1.5; its error √(1.5/3/10). */
  it("of 2, 3, 2, 4, 4 is half a point a game", () => {
    const { games, slope, standardError, interval } = trendOverGames([2, 3, 2, 4, 4])!;
    expect(games).toBe(5);
    expect(slope).toBeCloseTo(0.5, 12);
    expect(standardError).toBeCloseTo(Math.sqrt(1.5 / 3 / 10), 12);
    expect(interval.high - slope).toBeCloseTo(jstat.studentt.inv(0.975, 3) * standardError, 6);
    expect(slope - interval.low).toBeCloseTo(interval.high - slope, 12);
  });

  it("is not told of three games, and is certain of a straight line", () => {
    expect(trendOverGames([1, 2, 3])).toBeNull();
    const { slope, interval } = trendOverGames([4, 3.5, 3, 2.5])!;
    expect(slope).toBeCloseTo(-0.5, 12);
    expect(interval.high).toBeCloseTo(-0.5, 6);
  });

  it("turns its sign when games are turned round, and does not mind a shift", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 100 }), { minLength: 4, maxLength: 20 }), (means) => {
        const [one, other] = [trendOverGames(means)!, trendOverGames(means.toReversed().map((value) => value + 7))!];
        expect(other.slope).toBeCloseTo(-one.slope, 9);
        expect(other.standardError).toBeCloseTo(one.standardError, 9);
      }),
      { seed: 1, numRuns: 100 },
    );
  });
});
