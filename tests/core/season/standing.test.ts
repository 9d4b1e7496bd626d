import { describe, expect, it } from "vitest";
import { seededRandom } from "#core/field/random";
import { normalCdf } from "#core/season/distributions";
import { standing, withheldReason } from "#core/season/standing";

const options = { best: "most", k: 1, seed: 5, draws: 20_000 } as const;
const independent = (sd: number) => (a: number, b: number) => (a === b ? sd * sd : 0);

describe("ranks", () => {
  it("tie where the interval of a difference holds 0: A with B, B with C, and A is clearly better than C", () => {
    // Differences of .5 have an error of .25: 2 of them are told apart, one is not.
    const places = standing([1, 0.6, 0.2], independent(0.25), options);
    expect(places.map(({ rank, rankAtWorst }) => [rank, rankAtWorst])).toEqual([
      [1, 2],
      [1, 3],
      [2, 3],
    ]);
  });

  it("know what two officials have in common: an error that moves both together does not tie them", () => {
    const together = (a: number, b: number) => 0.25 + (a === b ? 0.01 : 0);
    expect(standing([1, 0.6], together, options).map(({ rank }) => rank)).toEqual([1, 2]);
    expect(standing([1, 0.6], independent(0.51), options).map(({ rank }) => rank)).toEqual([1, 1]);
  });

  it("turn round where the least is best", () => {
    const places = standing([1, 5, 3], independent(0.1), { ...options, best: "least" });
    expect(places.map(({ rank }) => rank)).toEqual([1, 3, 2]);
    expect(places.map(({ inTopK }) => inTopK)).toEqual([1, 0, 0]);
  });

  it("do not depend on the order of officials", () => {
    const random = seededRandom(8);
    const effects = Array.from({ length: 9 }, () => random.normal());
    const places = standing(effects, independent(0.4), options);
    const turned = standing(effects.toReversed(), independent(0.4), options).toReversed();
    expect(turned.map(({ rank, rankAtWorst }) => [rank, rankAtWorst])).toEqual(
      places.map(({ rank, rankAtWorst }) => [rank, rankAtWorst]),
    );
  });
});

describe("the share of draws in the top k", () => {
  it("of two is the normal probability that one is above the other, with what they have in common", () => {
    for (const common of [0, 0.8]) {
      const covariance = (a: number, b: number) => (a === b ? 1 : common);
      const [first, second] = standing([0.5, 0], covariance, options);
      const exact = normalCdf(0.5 / Math.sqrt(2 - 2 * common));
      // 20,000 draws: a standard error of at most .0036.
      expect(Math.abs(first!.inTopK - exact)).toBeLessThan(0.011);
      expect(first!.inTopK + second!.inTopK).toBeCloseTo(1, 12);
    }
  });

  it("adds up to k, is shared by officials who cannot be told apart, and is the same for the same seed", () => {
    const places = standing([0, 0, 0, 0, 0], () => 0, { ...options, k: 2, draws: 10 });
    for (const { inTopK, rank, rankAtWorst } of places) {
      expect(inTopK).toBeCloseTo(0.4, 12);
      expect([rank, rankAtWorst]).toEqual([1, 5]);
    }
    const effects = [0.3, -0.2, 0.1, 0.9, -1, 0];
    const spread = standing(effects, independent(0.7), { ...options, k: 3 });
    expect(spread.reduce((sum, { inTopK }) => sum + inTopK, 0)).toBeCloseTo(3, 9);
    expect(standing(effects, independent(0.7), { ...options, k: 3 })).toEqual(spread);
    expect(standing(effects, independent(0.7), { ...options, k: 3, seed: 6 })).not.toEqual(spread);
    expect(standing(effects, independent(0.7), { ...options, k: 6 }).map(({ inTopK }) => inTopK)).toEqual([
      1, 1, 1, 1, 1, 1,
    ]);
  });
});

it("is withheld with what is missing", () => {
  const minimum = { grades: 30, games: 3, observers: 2 };
  expect(withheldReason({ grades: 30, games: 3, observers: 2 }, minimum)).toBeNull();
  expect(withheldReason({ grades: 50, games: 2, observers: 1 }, minimum)).toBe(
    "Too little to judge by: 2 of 3 games, 1 of 2 observers.",
  );
});
