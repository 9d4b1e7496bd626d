import { describe, expect, it } from "vitest";
import { playSteps, type TaughtPlay } from "#core/report/play-steps";
import type { JudgedPlay } from "#core/scoring/judge-play";
import { type CourseOptions, judgeShots, shots } from "../scoring/staged-course.ts";
import { flagCrewBook, flagField, inPlace } from "../scoring/staged-play.ts";

const all = shots(
  { sec: -0.2, phase: "pre-snap" },
  { sec: 0.6, phase: "keys" },
  { sec: 0.9, phase: "keys", people: { R: [22, 14] } },
  { sec: 2.4, phase: "zone", people: { R: [25, 14] } },
);
const taught = (judged: JudgedPlay, given: Partial<TaughtPlay> = {}): TaughtPlay => ({
  play: { number: 4, snapSec: 10, situation: inPlace.situation },
  judged,
  layout: flagField,
  book: flagCrewBook,
  ...given,
});
const stepsOf = (play: TaughtPlay, onlyPosition: string | null = null) => {
  const { block, why } = playSteps(play, { onlyPosition });
  if (block === null) throw new Error(why);
  return block.steps;
};

describe("a play step by step", () => {
  it("has every moment, and instants between two at about half a second", () => {
    // 0.8 s in two, 0.3 s in one, 1.5 s in three.
    expect(stepsOf(taught(judgeShots(all))).map(({ label }) => label)).toEqual([
      "−0.20 s",
      "+0.20 s",
      "+0.60 s",
      "+0.90 s",
      "+1.40 s",
      "+1.90 s",
      "+2.40 s",
    ]);
  });

  it("says where each official stands from the line of scrimmage and the nearer sideline", () => {
    const steps = stepsOf(taught(judgeShots(all)));
    expect(steps[2]!.figure.alt).toBe(
      "Plan of the field 0.60 s after the snap. " +
        "R 14.0 yd behind the line of scrimmage, 13.0 yd inside the near sideline. " +
        "LJ on the line of scrimmage, 0.2 yd outside the far sideline. " +
        "FJ 10.0 yd downfield of the line of scrimmage, 0.5 yd outside the near sideline. " +
        "BJ 20.0 yd downfield of the line of scrimmage, 13.3 yd inside the far sideline.",
    );
    // A third of the way from (22, 14) to (25, 14).
    expect(steps[4]!.figure.alt).toContain("R 11.0 yd behind the line of scrimmage, 14.0 yd inside the near sideline.");
  });

  it("says the same of a play that goes the other way", () => {
    const options: CourseOptions = { transform: "turned" };
    const { totalLengthYards } = flagField;
    const situation = {
      ...inPlace.situation,
      direction: "left" as const,
      scrimmageXYards: totalLengthYards - 34,
      lineToGainXYards: totalLengthYards - 50,
      ballYYards: 20,
    };
    const [first] = stepsOf(taught(judgeShots(all, options), { play: { number: 4, snapSec: 10, situation } }));
    expect(first!.figure.alt).toContain("R 14.0 yd behind the line of scrimmage, 13.0 yd inside the far sideline.");
    expect(first!.figure.alt).toContain(
      "FJ 10.0 yd downfield of the line of scrimmage, 0.5 yd outside the far sideline.",
    );
  });

  it("tells what was marked from what lies between", () => {
    const captions = stepsOf(taught(judgeShots(all))).map(({ figure }) => figure.caption);
    expect(captions[0]).toBe("0.20 s before the snap, as marked.");
    expect(captions[1]).toBe("Keys, 0.20 s after the snap, between two moments, on straight lines.");
    expect(captions[6]).toBe("Zone, 2.40 s after the snap, as marked.");
  });

  it("begins with the one whom the page is about", () => {
    const [first] = stepsOf(taught(judgeShots(all)), "BJ");
    expect(first!.figure.alt).toMatch(/^Plan of the field 0\.20 s before the snap\. BJ 20\.0 yd .* R 14\.0 yd/u);
  });

  it("names an official whom nobody marked", () => {
    const without = all.map((shot) => {
      const { BJ: _, ...people } = shot.people;
      return { ...shot, people };
    });
    expect(stepsOf(taught(judgeShots(without)))[0]!.figure.alt).toContain("BJ is not marked.");
  });

  it("gives a sentence for a play that has no course", () => {
    const why = (judged: JudgedPlay, given: Partial<TaughtPlay> = {}) => {
      const steps = playSteps(taught(judged, given));
      expect(steps.block).toBeNull();
      return steps.why;
    };
    const start = "Play 4 cannot be shown as a whole: ";
    const one = judgeShots(all.slice(0, 1));
    expect(why(one)).toBe(
      `${start}only one of its moments is surveyed and marked, and it takes two to place people between them.`,
    );
    expect(why({ ...one, moments: [] })).toBe(
      `${start}none of its moments is surveyed and marked, and it takes two to place people between them.`,
    );
    const before = shots({ sec: -0.4, phase: "pre-snap" }, { sec: -0.2, phase: "pre-snap" });
    expect(why(judgeShots(before))).toBe(`${start}none of its marked moments follows the snap.`);
    const unsaid = { play: { number: 4, snapSec: null, situation: inPlace.situation } };
    expect(why(judgeShots(all.slice(1), { snapSec: null }), unsaid)).toBe(`${start}nobody has said when its snap was.`);
    const book = { ...flagCrewBook, looks: [] };
    expect(why(judgeShots(all, { book }), { book })).toBe(`${start}its book does not say how looks are read.`);
  });
});
