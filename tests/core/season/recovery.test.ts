import { beforeAll, describe, expect, it } from "vitest";
import { scales } from "#core/grading/scales";
import { seasonTotals } from "#core/season/season-totals";
import { simulateSeason } from "./simulated-season.ts";

const seasons = 200;
const topK = 3;

type Judged = {
  readonly rankRaw: number;
  readonly rankAdjusted: number;
  readonly covered: number;
  readonly officials: number;
  readonly severityCovered: number;
  readonly observers: number;
  readonly topK: readonly { readonly said: number; readonly is: boolean }[];
};

/** Spearman's, of values without ties. */
function rankCorrelation(a: readonly number[], b: readonly number[]): number {
  const ranks = (values: readonly number[]) => values.map((value) => values.filter((other) => other < value).length);
  const [ra, rb] = [ranks(a), ranks(b)];
  const squares = ra.reduce((sum, rank, at) => sum + (rank - rb[at]!) ** 2, 0);
  return 1 - (6 * squares) / (a.length * (a.length ** 2 - 1));
}

function judge(seed: number): Judged {
  const { grades, official, observer } = simulateSeason({
    seed,
    positions: ["R", "U"],
    criteria: ["station", "look"],
    officialsPerPosition: 20,
    observers: 12,
    games: 120,
    playsPerGame: 5,
    gradesPerPlay: 3,
    sd: { official: 0.3, observer: 0.5, game: 0.15, play: 0.2, noise: 0.6 },
    step: null,
  });
  const totals = seasonTotals(grades, {
    scale: scales[0],
    gamesInOrder: [],
    minimum: { grades: 2, games: 1, observers: 1 },
    topK,
    seed,
    draws: 500,
  });
  const judged = totals.officials.filter(({ adjusted }) => adjusted !== null);
  const truth = (officialId: string) => official.get(officialId)!;
  const holds = ({ low, high }: { low: number; high: number }, value: number) => low <= value && value <= high;
  let [rankRaw, rankAdjusted] = [0, 0];
  for (const position of ["R", "U"]) {
    const here = judged.filter((one) => one.position === position);
    const truths = here.map(({ officialId }) => truth(officialId));
    rankRaw +=
      rankCorrelation(
        here.map(({ mean }) => mean!),
        truths,
      ) / 2;
    rankAdjusted +=
      rankCorrelation(
        here.map(({ adjusted }) => adjusted!.value),
        truths,
      ) / 2;
  }
  return {
    rankRaw,
    rankAdjusted,
    covered: judged.filter(({ officialId, adjusted }) => holds(adjusted!.interval, truth(officialId))).length,
    officials: judged.length,
    severityCovered: totals.observers.filter(({ observerId, severity }) =>
      holds(severity!.interval, -observer.get(observerId)!),
    ).length,
    observers: totals.observers.length,
    topK: totals.standings.flatMap(({ places }) => {
      const best = places.map(({ officialId }) => truth(officialId)).sort((a, b) => b - a)[topK - 1]!;
      return places.map(({ officialId, inTopK }) => ({ said: inTopK, is: truth(officialId) >= best }));
    }),
  };
}

/** 200 seasons of 40 officials, 12 observers and 1,800 grades whose truth is known. Seeded: the shares are always these. */
describe("seasons with a known truth", () => {
  let judged: Judged[] = [];
  beforeAll(() => {
    judged = Array.from({ length: seasons }, (_, season) => judge(season + 1));
  }, 60_000);
  const sum = (of: (one: Judged) => number) => judged.reduce((total, one) => total + of(one), 0);

  it("the adjusted values rank officials better than raw means do, in 95 seasons of a hundred", () => {
    const better = judged.filter(({ rankRaw, rankAdjusted }) => rankAdjusted > rankRaw).length / seasons;
    console.log(
      `adjusted beats raw in ${(100 * better).toFixed(1)} % of seasons; rank correlation with the truth ` +
        `${(sum((one) => one.rankAdjusted) / seasons).toFixed(3)} against ${(sum((one) => one.rankRaw) / seasons).toFixed(3)}`,
    );
    expect(better).toBeGreaterThanOrEqual(0.95);
  });

  it("95 % intervals hold the truth of officials and observers 93 to 97 times in a hundred", () => {
    const officials = sum((one) => one.covered) / sum((one) => one.officials);
    const observers = sum((one) => one.severityCovered) / sum((one) => one.observers);
    console.log(`cover: officials ${(100 * officials).toFixed(1)} %, observers ${(100 * observers).toFixed(1)} %`);
    for (const share of [officials, observers]) {
      expect(share).toBeGreaterThanOrEqual(0.93);
      expect(share).toBeLessThanOrEqual(0.97);
    }
  });

  it("who is said to be in the top 3 with some probability is so that often, in five bins", () => {
    const all = judged.flatMap((one) => one.topK);
    for (const from of [0, 0.2, 0.4, 0.6, 0.8]) {
      const bin = all.filter(({ said }) => said >= from && (said < from + 0.2 || from === 0.8));
      const said = bin.reduce((total, one) => total + one.said, 0) / bin.length;
      const is = bin.filter((one) => one.is).length / bin.length;
      console.log(
        `top ${topK}, said ${from.toFixed(1)} to ${(from + 0.2).toFixed(1)}: ${bin.length} officials, said ${said.toFixed(3)}, are ${is.toFixed(3)}`,
      );
      expect(bin.length).toBeGreaterThan(100);
      // Three standard errors of a share, and a hundredth for variances that are estimated.
      expect(Math.abs(is - said)).toBeLessThan(3 * Math.sqrt((said * (1 - said)) / bin.length) + 0.01);
    }
  });
});
