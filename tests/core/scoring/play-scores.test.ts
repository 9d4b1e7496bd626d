import { describe, expect, it } from "vitest";
import type { Finding, Verdict } from "#core/scoring/finding";
import { scoringVersion } from "#core/scoring/judge-moment";
import { gameEvidence, scoresOf } from "#core/scoring/play-scores";
import { crossing, judgeShots, shots } from "./staged-course.ts";
import { flagCrewBook } from "./staged-play.ts";

function finding(ruleId: string, position: string, verdict: Verdict, score: number | null): Finding {
  return {
    ruleId,
    position,
    phase: "zone",
    verdict,
    sentence: "",
    asks: "",
    help: null,
    score,
    measure: null,
    target: null,
    markIds: [],
  };
}
const fold = (findings: readonly Finding[], evidence?: typeof gameEvidence) =>
  scoresOf(findings, flagCrewBook, scoringVersion, evidence).officials;

describe("scores", () => {
  it("weigh the criteria as the book says", () => {
    // Station 100 and 60, so 80, at weight 1; facing 50 at 0.5; key 20 at 1: (80 + 25 + 20) / 2.5 = 50.
    const [fj] = fold([
      finding("ST-FJ-PRE", "FJ", "met", 100),
      finding("ST-FJ-ZONE", "FJ", "missed", 60),
      finding("ST-FJ-FACE", "FJ", "missed", 50),
      finding("KEY-FJ-RECEIVERS", "FJ", "missed", 20),
    ]);
    expect(fj!.criteria.map(({ criterion, score, weight }) => [criterion, score, weight])).toEqual([
      ["station", 80, 1],
      ["facing", 50, 0.5],
      ["key", 20, 1],
    ]);
    expect(fj!.score).toBe(50);
  });

  it("leave what cannot be told and what did not apply out of the denominator", () => {
    const [bj] = fold([
      finding("ZN-BJ", "BJ", "met", 90),
      finding("ZN-BJ", "BJ", "cannot tell", 40),
      finding("KEY-BJ-RECEIVERS", "BJ", "not applicable", null),
    ]);
    expect(bj!.criteria).toEqual([{ criterion: "zone", score: 90, counted: 1, untold: 1, weight: 1 }]);
    expect(bj!.score).toBe(90);
  });

  it("are withheld where too little could be told", () => {
    const [r] = fold([finding("ST-R-PRE", "R", "cannot tell", null), finding("ST-R-FACE", "R", "cannot tell", null)]);
    expect(r).toMatchObject({
      score: null,
      withheld: expect.stringMatching(/^0 findings count and 2 could not be told/u),
    });
    // One of three could be told: less than half of what came up.
    const [lj] = fold([
      finding("ST-LJ-PRE", "LJ", "met", 100),
      finding("ST-LJ-PRE", "LJ", "cannot tell", 50),
      finding("ST-LJ-ZONE", "LJ", "cannot tell", 50),
    ]);
    expect(lj!.score).toBeNull();
  });

  it("take three findings a criterion over a game", () => {
    const few = [1, 2].map(() => finding("ST-LJ-PRE", "LJ", "met", 100));
    expect(fold(few, gameEvidence)[0]!.score).toBeNull();
    expect(fold([...few, finding("ST-LJ-PRE", "LJ", "missed", 10)], gameEvidence)[0]!.score).toBe(70);
  });

  it("keep what is nobody's alone with the crew, and leave out who did not come up", () => {
    const officials = fold([finding("CT-R", "crew", "missed", 0), finding("ST-R-PRE", "R", "met", 100)]);
    expect(officials.map(({ position, score }) => [position, score])).toEqual([
      ["R", 100],
      ["crew", 0],
    ]);
  });

  it("do not depend on the order of the findings, and carry the book, its edition and the scoring version", () => {
    const { set, start, early, late } = crossing;
    const judged = judgeShots(shots(set, start, early, late));
    const all = [...judged.findings, ...judged.moments.flatMap((one) => one.judged.findings)];
    expect(JSON.stringify(scoresOf(all.toReversed(), flagCrewBook, scoringVersion))).toBe(
      JSON.stringify(judged.scores),
    );
    expect(judged.scores).toMatchObject({
      bookId: "flag-crew-of-four",
      bookEdition: flagCrewBook.edition,
      scoringVersion,
    });
  });
});
