import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fieldPoint } from "#core/field/units";
import type { MarkSubject, Moment } from "#core/game/records";
import { assign } from "#core/scoring/handoff-assign";
import { probabilityLonger, runsOf } from "#core/scoring/handoff-lengths";
import { bearingOf, type PlacedMoment, standingAt, tracksOf, turnBetween } from "#core/scoring/handoff-tracks";
import { normalBelow, watchOf } from "#core/scoring/handoff-watch";
import { bookInQuarter } from "#core/mechanics/second-half";
import { judgePlayRecords } from "#core/scoring/judge-play";
import type { PlacedMark } from "#core/scoring/station";
import { demoFilm } from "../../scene/films.ts";
import { sceneOf } from "../../scene/scene.ts";
import { lookRule } from "./look-rule.ts";
import { crossing, judgeShots, shots } from "./staged-course.ts";
import { flagCrewBook, momentHere } from "./staged-play.ts";
import { demoGame, demoSurveys } from "./demo-records.ts";

/** A mark with an error that is as large every way; only its place, its error and its facing are read here. */
function placed(markId: string, subject: MarkSubject, at: readonly [number, number], sd = 0.1): PlacedMark {
  const measured = {
    position: fieldPoint(...at),
    covariance: { xx: sd * sd, xy: 0, yy: sd * sd },
  } as unknown as PlacedMark["measured"];
  return { markId, subject, sigmaPx: 2, measured, facing: null, facingFault: null };
}
const receiver: MarkSubject = { kind: "player", side: "A", role: "receiver" };
const moment = (timeSec: number): Moment => ({ ...momentHere, timeSec });

describe("who is who from moment to moment", () => {
  it("pairs at the least cost that trying every pairing finds", () => {
    const permutations = (list: readonly number[]): number[][] =>
      list.length === 0
        ? [[]]
        : list.flatMap((one, i) => permutations(list.toSpliced(i, 1)).map((rest) => [one, ...rest]));
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 5 }).chain((n) =>
          fc.array(fc.array(fc.integer({ min: 0, max: 99 }), { minLength: n, maxLength: n }), {
            minLength: n,
            maxLength: n,
          }),
        ),
        (costs) => {
          const answer = assign(costs, costs.length, 1000);
          const sum = (columns: readonly number[]) =>
            columns.reduce((total, column, row) => total + (costs[row]?.[column] ?? 0), 0);
          const least = Math.min(...permutations(costs.map((_, i) => i)).map(sum));
          expect(new Set(answer).size).toBe(costs.length);
          expect(sum(answer)).toBe(least);
        },
      ),
      { numRuns: 300, seed: 4 },
    );
  });

  it("leaves alone who costs more to pair than to leave", () => {
    expect(
      assign(
        [
          [5, 100],
          [90, 100],
        ],
        2,
        20,
      ),
    ).toEqual([0, -1]);
    expect(assign([[1], [2]], 1, 20)).toEqual([0, -1]);
  });

  it("moves players least in all, and not each to the nearest", () => {
    // Both are nearest to the mark at 3: taken one by one, the first would take it and leave 10 to the second.
    const tracks = tracksOf([
      { moment: moment(0), placed: [placed("a", receiver, [0, 0]), placed("b", receiver, [4, 0])] },
      { moment: moment(1), placed: [placed("c", receiver, [3, 0]), placed("d", receiver, [7.5, 0])] },
    ]);
    expect(tracks.map(({ points }) => points.map(({ markId }) => markId))).toEqual([
      ["a", "c"],
      ["b", "d"],
    ]);
  });

  it("keeps two who cross apart by what they were doing", () => {
    const tracks = tracksOf([
      { moment: moment(0), placed: [placed("a", receiver, [0, 0]), placed("b", receiver, [9, 1])] },
      { moment: moment(0.5), placed: [placed("a2", receiver, [3, 0]), placed("b2", receiver, [6, 1])] },
      { moment: moment(1), placed: [placed("a3", receiver, [6, 0]), placed("b3", receiver, [3, 1])] },
    ]);
    expect(tracks[0]!.points.map(({ markId }) => markId)).toEqual(["a", "a2", "a3"]);
  });

  it("does not take somebody for one who would have run faster than anybody does", () => {
    const tracks = tracksOf([
      { moment: moment(0), placed: [placed("a", receiver, [0, 0])] },
      { moment: moment(0.5), placed: [placed("b", receiver, [20, 0])] },
    ]);
    expect(tracks).toHaveLength(2);
  });

  it("follows officials by their position, and one whom a moment does not show to the next that does", () => {
    const official: MarkSubject = { kind: "official", position: "FJ" };
    const moments: PlacedMoment[] = [
      { moment: moment(0), placed: [placed("x", official, [0, 0]), placed("a", receiver, [5, 5])] },
      { moment: moment(1), placed: [placed("a2", receiver, [6, 5])] },
      { moment: moment(2), placed: [placed("y", official, [4, 0]), placed("a3", receiver, [7, 5])] },
    ];
    const track = tracksOf(moments).find(({ id }) => id === "x")!;
    expect(track.points).toHaveLength(2);
    expect(standingAt(track, 1)!.at).toEqual(fieldPoint(2, 0));
    expect([standingAt(track, -0.1), standingAt(track, 2.1)]).toEqual([null, null]);
  });
});

describe("between two moments", () => {
  it("places people on the straight line and turns them the shorter way", () => {
    const faced = (degrees: number, timeSec: number): PlacedMoment => {
      const feet = placed(`o${timeSec}`, { kind: "official", position: "R" }, [timeSec, 10]);
      const turn = (degrees * Math.PI) / 180;
      const ahead = placed("f", { kind: "ball" }, [timeSec + 5 * Math.cos(turn), 10 + 5 * Math.sin(turn)], 0.1);
      return { moment: moment(timeSec), placed: [{ ...feet, facing: ahead.measured }] };
    };
    const [track] = tracksOf([faced(170, 0), faced(-150, 2)]);
    const half = standingAt(track!, 1)!;
    expect(half.at).toEqual(fieldPoint(1, 10));
    // From 170° to 210°: halfway is 190°, which is −170°.
    expect(turnBetween(half.facing!.radians, (190 * Math.PI) / 180)).toBeCloseTo(0, 9);
    const [back] = tracksOf([faced(-150, 0), faced(170, 2)]);
    expect(turnBetween(standingAt(back!, 1)!.facing!.radians, (190 * Math.PI) / 180)).toBeCloseTo(0, 9);
    // Two clicks 5 yd apart, each off by 0.1 yd across: √2 · 0.1 / 5 rad.
    expect(bearingOf(faced(30, 0).placed[0]!)!.sdRadians).toBeCloseTo((Math.SQRT2 * 0.1) / 5, 9);
  });

  it("is turned to a place when the credit for the turn, and for how far it is, leave half", () => {
    // Full to 30° and none from 60°: half at 45°. At 35 yd half of the range is left, so only full attention will do.
    const official = (degrees: number) => ({
      at: fieldPoint(0, 0),
      covariance: { xx: 0, xy: 0, yy: 0 },
      facing: { radians: (degrees * Math.PI) / 180, sdRadians: (4 * Math.PI) / 180 },
    });
    const none = { xx: 0, xy: 0, yy: 0 };
    const at = (degrees: number, yards: number) => watchOf(official(degrees), fieldPoint(yards, 0), none, lookRule)!;
    expect(at(45, 10).probability).toBeCloseTo(0.5, 6);
    // 41° is one standard deviation inside: Φ(1) = 0.8413 by the tables.
    expect(at(41, 10).probability).toBeCloseTo(0.8413, 4);
    expect(at(41, 35).limitDegrees).toBeCloseTo(30, 9);
    expect(at(0, 46).probability).toBe(0);
  });

  it("has the normal distribution of the tables", () => {
    for (const [z, p] of [
      [0, 0.5],
      [1, 0.84134],
      [1.96, 0.975],
      [-1.2816, 0.1],
      [2.5758, 0.995],
    ] as const)
      expect(normalBelow(z)).toBeCloseTo(p, 4);
  });

  it("says how likely a gap was longer, as the areas of the two triangles have it", () => {
    // Both ends anywhere in [0, 1], most likely at the middle: longer than 0 is an even chance.
    const same = { low: 0, mode: 0.5, high: 1 };
    expect(probabilityLonger(same, same, 0)).toBeCloseTo(0.5, 1);
    // A fixed start and an end on a rising triangle over [0, 1]: P(end > 0.4) = 1 − 0.4².
    expect(probabilityLonger({ low: 0, mode: 0, high: 0 }, { low: 0, mode: 1, high: 1 }, 0.4)).toBeCloseTo(0.84, 1);
    expect(probabilityLonger({ low: 0, mode: 0, high: 0 }, { low: 1, mode: 1, high: 1 }, 0.4)).toBe(1);
  });

  it("bounds a stretch by the moments about it, and finds the change within", () => {
    const runs = runsOf([1, 2, 3, 4], 0, (time) => (time > 1.5 && time < 3.25 ? 1 : 0));
    expect(runs).toHaveLength(1);
    expect([runs[0]!.start.low, runs[0]!.start.high, runs[0]!.end.low, runs[0]!.end.high]).toEqual([1, 2, 3, 4]);
    expect(runs[0]!.start.mode).toBeCloseTo(1.5, 0.5);
    expect(runs[0]!.end.mode).toBeCloseTo(3.25, 0.5);
  });
});

describe("a play, however it is looked at", () => {
  const { set, start, early, late, over, on } = crossing;
  const play = shots(
    set,
    start,
    early,
    late,
    {
      ...over,
      people: { ...over.people, back: [37, 5] },
      looks: { FJ: "back", BJ: "farSlot", LJ: "farWide", R: "passer" },
    },
    on,
  );
  const rows = (judged: ReturnType<typeof judgeShots>) =>
    judged.findings.map(({ ruleId, position, verdict }) => [ruleId, position, verdict]);

  it("scores the same in a mirror and turned round", () => {
    const here = judgeShots(play);
    expect(rows(here)).toContainEqual(["HO-LEFT-ZONE", "BJ", "missed"]);
    for (const transform of ["mirrored", "turned"] as const) {
      const there = judgeShots(play, { transform });
      expect(rows(there)).toEqual(rows(here));
      for (const [i, finding] of here.findings.entries()) {
        if (finding.score === null) continue;
        expect(there.findings[i]!.score).toBeCloseTo(finding.score, 4);
      }
      expect(there.handoffs.map(({ kind, from, to }) => [kind, from, to])).toEqual(
        here.handoffs.map(({ kind, from, to }) => [kind, from, to]),
      );
    }
  });

  it("gives the same bytes whatever the order of moments and marks, and every time", () => {
    const bytes = (options: Parameters<typeof judgeShots>[1]) => {
      const { findings, handoffs, timelines, scores, moments } = judgeShots(play, options);
      return JSON.stringify([findings, handoffs, timelines, scores, moments.map(({ judged }) => judged.findings)]);
    };
    expect(bytes({ sigmaPx: 2, reverse: true })).toBe(bytes({ sigmaPx: 2 }));
    expect(bytes({ sigmaPx: 2 })).toBe(bytes({ sigmaPx: 2 }));
  });

  it("takes the snap at the last moment before it where nobody has said when it was", () => {
    expect(judgeShots(play, { snapSec: null }).course!.times[0]).toBeCloseTo(0.8, 9);
  });

  it("shows the play as stretches that follow on one another, with the gap in them", () => {
    const judged = judgeShots(play);
    const line = judged.timelines.find(({ trackId }) => trackId === "0-nearWide")!;
    const gap = line.stretches.find(({ state }) => state === "gap")!;
    expect([gap.owners, gap.by]).toEqual([["BJ"], "zone"]);
    for (const [i, stretch] of line.stretches.entries()) {
      expect(stretch.toSec).toBeGreaterThan(stretch.fromSec);
      expect(stretch.fromSec).toBeGreaterThanOrEqual(line.stretches[i - 1]?.toSec ?? 0);
    }
    expect(line.stretches[0]!.owners).toEqual(["FJ"]);
  });

  it("works the sides of the second half where the book says that the crew changes them", () => {
    const other = { "line-judge-side": "other-side", "other-side": "line-judge-side", middle: "middle" } as const;
    const book = {
      ...flagCrewBook,
      positions: flagCrewBook.positions.map((one) => ({ ...one, secondHalfSide: other[one.side] })),
    };
    expect(bookInQuarter(book, 2)).toBe(book);
    expect(bookInQuarter(flagCrewBook, 4)).toBe(flagCrewBook);
    const sides = (quarter: number) => bookInQuarter(book, quarter).positions.map(({ side }) => side);
    expect(sides(3)).toEqual(sides(1).map((side) => other[side]));
    // On the sides of the first half the crew stands wrong in the third quarter.
    const missed = (quarter: number) =>
      judgeShots(play, { book, quarter }).moments[0]!.judged.findings.filter(({ verdict }) => verdict === "missed")
        .length;
    expect(missed(3)).toBeGreaterThan(missed(1));
  });

  it("says nothing of keys and zones with fewer than two moments on the ground", () => {
    expect(judgeShots(play.slice(0, 1)).course).toBeNull();
    expect(judgeShots(play.slice(2, 3)).course).toBeNull();
  });

  it("judges a book without looks, keys and zones only by what it has", () => {
    const book = { ...flagCrewBook, looks: [], keys: [], zones: [], handoffs: [] };
    expect(judgeShots(play, { book }).course).toBeNull();
    const bare = { ...flagCrewBook, keys: [], zones: [], handoffs: [] };
    expect(judgeShots(play, { book: bare }).findings.map(({ ruleId }) => ruleId)).toEqual(["CT-R", "CT-FJ"]);
  });
});

/** The clicks are those made from the film's pixels, the faults the script's own. */
describe("the demo film, play by play", () => {
  const scene = sceneOf(demoFilm);
  const records = demoGame;
  const surveys = demoSurveys;
  const judged = records.plays.map((play) => ({
    play,
    result: judgePlayRecords(records, play, { surveysOf: () => surveys, layout: surveys.layout, book: flagCrewBook }),
  }));

  it("finds every planted fault of keys, zones, handoffs and counts, of the right official, and accuses nobody else", () => {
    const found = judged.flatMap(({ play, result }) =>
      result.findings
        .filter(({ verdict }) => verdict === "missed")
        .map(({ ruleId, position }) => `${play.number} ${position} ${ruleId.slice(0, ruleId.indexOf("-") + 1)}`),
    );
    const planted = scene.plantedFaults
      .filter(({ ruleIdPrefix }) => !["ST-", "LK-"].includes(ruleIdPrefix))
      .map(({ playNumber, position, ruleIdPrefix }) => `${playNumber} ${position} ${ruleIdPrefix}`);
    expect(found).toEqual(planted);
    expect(planted).toHaveLength(5);
  });

  it("finds the planted looks with whose each matter was, says none twice, and accuses nobody of another", () => {
    const found = judged.flatMap(({ play, result }) =>
      result.moments.flatMap((one) =>
        one.judged.findings
          .filter(({ ruleId, verdict }) => ruleId.startsWith("LK-") && verdict === "missed")
          .map(({ position }) => `${play.number} ${position}`),
      ),
    );
    const planted = scene.plantedFaults
      .filter(({ ruleIdPrefix }) => ruleIdPrefix === "LK-")
      .map(({ playNumber, position }) => `${playNumber} ${position}`);
    expect([...new Set(found)]).toEqual(planted);
  });

  it("says when each fault of keys and handoffs was, within the time that the script gives it", () => {
    for (const fault of scene.plantedFaults) {
      if (!["KEY-", "HO-", "ZN-"].includes(fault.ruleIdPrefix)) continue;
      const { result } = judged.find(({ play }) => play.number === fault.playNumber)!;
      const { measure } = result.findings.find(({ verdict }) => verdict === "missed")!;
      if (measure?.kind !== "watch") throw new Error("nothing was watched");
      // They overlap, by more than half of the script's own time.
      const overlap = Math.min(measure.toSec, fault.toSec) - Math.max(measure.fromSec, fault.fromSec);
      expect(overlap / (fault.toSec - fault.fromSec), fault.kind).toBeGreaterThan(0.5);
    }
  });
});
