import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { layOut, templateById } from "#core/field/template";
import {
  boundsOf,
  clearTime,
  markTime,
  moveTime,
  playTimes,
  type PlayTime,
  renumbered,
  takePlayOut,
  timeOf,
} from "#core/game/breakdown-edits";
import { applyChanges, invert } from "#core/game/changes";
import { proposedMoments } from "#core/game/moment-proposals";
import { downRulesOf, firstSituation, lineToGain, nextSituation } from "#core/game/next-situation";
import { type GameRecords, nothingSaid, type Play, type PlayResult, type Situation } from "#core/game/records";
import { situationFaults } from "#core/game/situation-faults";
import { aFilm, aGame, aMoment, aPlay } from "../../main/store/build-game.ts";

/**
 * Downs: four to make ten yards or the goal (NCAA and NFHS football rules, rule 5) or the next zone line (NIRSA flag rules:
 * zone lines each 20 yd). Their wording stands in no file here; the facts are those of every rule book, common practice.
 */
const flag = layOut(templateById("flag-100x40")!);
const tackle = layOut(templateById("ncaa")!);
const flagRules = downRulesOf(flag);
const tackleRules = downRulesOf(tackle);

/** Tackle: goal lines at 10 and 110. First and ten from the left 30, going right. */
const first: Situation = {
  offence: "home",
  direction: "right",
  down: 1,
  scrimmageXYards: 40,
  lineToGainXYards: 50,
  ballYYards: 26,
};
const playOf = (number: number, situation: Situation, with_: Partial<Play> = {}): Play => ({
  ...aPlay("g", `p${number}`, "f", { number, startSec: 20 * number, endSec: 20 * number + 12 }),
  ...nothingSaid,
  situation,
  quarter: 1,
  series: 1,
  ...with_,
});
const spot = (xYards: number): PlayResult => ({ kind: "spot", spot: { xYards, yYards: 20 } });
const next = (play: Play) => nextSituation(play, tackleRules, tackle);

describe("the line to gain", () => {
  it("is ten yards off in tackle, or the goal line when that is nearer", () => {
    expect(lineToGain(tackleRules, tackle, { direction: "right", scrimmageXYards: 40 })).toBe(50);
    expect(lineToGain(tackleRules, tackle, { direction: "left", scrimmageXYards: 40 })).toBe(30);
    expect(lineToGain(tackleRules, tackle, { direction: "right", scrimmageXYards: 104 })).toBe(110);
  });

  it("is the next zone line in flag: each 20 yards, and then the goal line", () => {
    expect(flagRules).toEqual({ kind: "zone-lines", linesXYards: [10, 30, 50, 70, 90] });
    expect(lineToGain(flagRules, flag, { direction: "right", scrimmageXYards: 24 })).toBe(30);
    expect(lineToGain(flagRules, flag, { direction: "right", scrimmageXYards: 30 })).toBe(50);
    expect(lineToGain(flagRules, flag, { direction: "left", scrimmageXYards: 24 })).toBe(10);
  });
});

describe("the situation that follows", () => {
  it("a gain short of the line: the next down from where the ball was dead, to the same line", () => {
    const { situation, because } = next(playOf(1, first, { result: spot(44) }));
    expect(situation).toEqual({ ...first, down: 2, scrimmageXYards: 44, ballYYards: 20 });
    expect(because).toEqual(["Second down: 4 of the 10 yards were gained."]);
  });

  it("the line reached: first down, to a new line", () => {
    const { situation, series } = next(playOf(1, { ...first, down: 3 }, { result: spot(53) }));
    expect(situation).toMatchObject({ down: 1, scrimmageXYards: 53, lineToGainXYards: 63 });
    expect(series).toBe(1);
  });

  it("fourth down short: the other side's first down from there, the other way, in a new series", () => {
    const { situation, series } = next(playOf(1, { ...first, down: 4 }, { result: spot(47) }));
    expect(situation).toMatchObject({
      offence: "away",
      direction: "left",
      down: 1,
      scrimmageXYards: 47,
      lineToGainXYards: 37,
    });
    expect(series).toBe(2);
  });

  it.each([
    ["incomplete", { kind: "incomplete", spot: null }, { down: 2, scrimmageXYards: 40, offence: "home" }],
    ["no play", { kind: "no-play", spot: null }, { down: 1, scrimmageXYards: 40, offence: "home" }],
    ["a score", { kind: "score", spot: null }, { down: null, scrimmageXYards: 107, lineToGainXYards: null }],
    [
      "a turnover",
      { kind: "turnover", spot: { xYards: 60, yYards: 3 } },
      { offence: "away", direction: "left", scrimmageXYards: 60 },
    ],
  ] as const)("%s", (_, result, expected) => {
    expect(next(playOf(1, first, { result })).situation).toMatchObject(expected);
  });

  it("a punt: the other side's ball; after a try the side that tried kicks off", () => {
    expect(next(playOf(1, first, { kind: "punt", result: spot(80) })).situation).toMatchObject({
      offence: "away",
      direction: "left",
      scrimmageXYards: 80,
    });
    const tried = next(
      playOf(
        1,
        { ...first, down: null, lineToGainXYards: null },
        { kind: "try", result: { kind: "score", spot: null } },
      ),
    );
    expect(tried).toMatchObject({ kind: "free-kick", situation: { offence: "home", direction: "right", down: null } });
  });

  it("nothing said of the end: it says so", () => {
    expect(next(playOf(1, first)).because[0]).toMatch(/Nobody has said how play 1 ended/u);
  });

  it("what it proposes is never at fault itself", () => {
    const results: fc.Arbitrary<PlayResult | null> = fc.oneof(
      fc.constant(null),
      fc.record({
        kind: fc.constantFrom("spot", "turnover" as const),
        spot: fc.record({ xYards: fc.integer({ min: 11, max: 109 }), yYards: fc.constant(20) }),
      }),
      fc.record({ kind: fc.constantFrom("incomplete", "no-play", "score" as const), spot: fc.constant(null) }),
    );
    fc.assert(
      fc.property(fc.array(results, { minLength: 1, maxLength: 40 }), fc.boolean(), (ends, isFlag) => {
        const [rules, layout] = isFlag ? [flagRules, flag] : [tackleRules, tackle];
        const start = firstSituation(rules, layout);
        const plays: Play[] = [];
        let at = start;
        for (const [index, end] of ends.entries()) {
          // On a flag field the goal lines are at 10 and 90.
          const result =
            end?.spot && isFlag ? { ...end, spot: { xYards: Math.min(89, end.spot.xYards), yYards: 20 } } : end;
          const play = playOf(index + 1, at.situation, {
            kind: at.kind,
            quarter: at.quarter,
            series: at.series,
            result,
          });
          plays.push(play);
          at = nextSituation(play, rules, layout);
        }
        expect(situationFaults(plays, rules, layout)).toEqual([]);
      }),
      { numRuns: 300, seed: 5 },
    );
  });
});

describe("contradictions", () => {
  const said = (...plays: readonly Play[]) =>
    situationFaults(plays, tackleRules, tackle).map(({ sentence }) => sentence);

  it("a down that cannot follow", () => {
    const second: Situation = { ...first, down: 2, scrimmageXYards: 50, lineToGainXYards: 54 };
    expect(said(playOf(1, first), playOf(2, second))).toEqual([
      "Second and 4 cannot follow a 10-yard gain on first and 10: it should be first.",
    ]);
    expect(said(playOf(1, first), playOf(2, { ...first, down: 3, scrimmageXYards: 44 }))).toEqual([
      "Third and 6 cannot follow a 4-yard gain on first and 10: it should be second.",
    ]);
    expect(said(playOf(1, first), playOf(2, first))).toEqual([
      "First and 10 cannot follow no gain on first and 10: it should be second, or play 1 did not count.",
    ]);
  });

  it("a series that goes on after fourth down, a line that moves, a line behind the ball, sides going one way", () => {
    expect(
      said(playOf(1, { ...first, down: 4 }), playOf(2, { ...first, scrimmageXYards: 45, lineToGainXYards: 55 }))[0],
    ).toMatch(/other side’s ball/u);
    expect(said(playOf(1, first), playOf(2, { ...first, down: 2, scrimmageXYards: 44, lineToGainXYards: 53 }))).toEqual(
      ["The line to gain moved within a series: from play 1 it is 6 yards away."],
    );
    expect(said(playOf(1, { ...first, lineToGainXYards: 30 }))[0]).toMatch(/behind the ball/u);
    expect(said(playOf(1, first), playOf(2, { ...first, offence: "away" }, { series: 2 }))[0]).toMatch(/same way/u);
  });

  it("nothing against a repeated down after a play that did not count, nor within the error of a spot", () => {
    expect(said(playOf(1, first, { result: { kind: "no-play", spot: null } }), playOf(2, first))).toEqual([]);
    expect(said(playOf(1, first), playOf(2, { ...first, scrimmageXYards: 49.6, lineToGainXYards: 59.6 }))).toEqual([]);
  });
});

describe("cutting a film into plays", () => {
  const film = aFilm("g", "f", { durationSec: 600 });
  const empty: GameRecords = {
    game: aGame("g"),
    films: [film],
    plays: [],
    angles: [],
    moments: [],
    stakes: [],
    carries: [],
    marks: [],
    grades: [],
    rulings: [],
    notes: [],
    seals: [],
  };
  const ids = () => {
    let count = 0;
    return () => `n${++count}`;
  };
  const press = (records: GameRecords, which: PlayTime, timeSec: number, newId: () => string) =>
    markTime(records, { film, frameIndex: Math.round(timeSec * 30), timeSec }, which, newId, flagRules, flag);

  it("four keys make a play: snap, release, catch, dead ball; its end follows the dead ball", () => {
    const newId = ids();
    let records = empty;
    for (const [which, at] of [
      ["snap", 10],
      ["release", 12.4],
      ["catch", 13.2],
      ["dead", 16],
    ] as const) {
      const edit = press(records, which, at, newId);
      if (!edit.ok) throw new Error(edit.sentence);
      records = applyChanges(records, edit.changes);
    }
    expect(records.plays).toHaveLength(1);
    expect(records.plays[0]).toMatchObject({
      number: 1,
      startSec: 7,
      snapSec: 10,
      releaseSec: 12.4,
      catchSec: 13.2,
      deadSec: 16,
      endSec: 17.5,
    });
    expect(
      proposedMoments(records.plays[0]!).map(({ phase, playSec }) => [phase, Math.round(playSec * 10) / 10]),
    ).toEqual([
      ["pre-snap", 9.8],
      ["keys", 11],
      ["zone", 12.2],
      ["ball-away", 12.8],
      ["catch", 13.2],
      ["dead-ball", 16],
    ]);
  });

  it("a dead ball after the end that was guessed is still the play's; times out of order are refused with what is in the way", () => {
    const newId = ids();
    const begun = press(empty, "snap", 10, newId);
    if (!begun.ok) throw new Error(begun.sentence);
    const records = applyChanges(empty, begun.changes);
    const dead = press(records, "dead", 24, newId);
    expect(dead.ok && dead.play).toMatchObject({ snapSec: 10, deadSec: 24, endSec: 25.5 });
    expect(press(records, "release", 9, newId)).toEqual({
      ok: false,
      sentence: "The release of play 1 would come before its snap (0:10.00): move that first.",
    });
    expect(press(empty, "catch", 3, newId)).toMatchObject({ ok: false });
  });

  it("a dead ball ends its play shortly after, but neither over the next play nor before what is judged in it", () => {
    const one = playOf(1, first, { startSec: 10, endSec: 20, snapSec: 12 });
    const following = playOf(2, first, { startSec: 20, endSec: 30, snapSec: 22 });
    const endOf = (edit: ReturnType<typeof moveTime>) => (edit.ok ? edit.play.endSec : edit.sentence);
    const two: GameRecords = { ...empty, plays: [one, following] };
    expect(endOf(moveTime(two, one, "dead", 15))).toBe(16.5);
    expect(endOf(moveTime(two, one, "dead", 19.2))).toBe(20);
    const judged: GameRecords = { ...two, moments: [aMoment(one, "m", { phase: "dead-ball", timeSec: 18 })] };
    const end = endOf(moveTime(judged, one, "dead", 15));
    expect(end).toBeGreaterThan(18);
    expect(end).toBeLessThan(18.5);
  });

  it("a start or an end does not pass over a moment that is judged", () => {
    const one = playOf(1, first, { startSec: 10, endSec: 20, snapSec: 14 });
    const moments = [aMoment(one, "m1", { timeSec: 13.8 }), aMoment(one, "m2", { phase: "catch", timeSec: 17 })];
    const judged: GameRecords = { ...empty, plays: [one], moments };
    const refusal = (which: PlayTime, sec: number) => {
      const edit = moveTime(judged, one, which, sec);
      return edit.ok ? null : edit.sentence;
    };
    expect(refusal("start", 13.9)).toMatch(/^A moment of play 1 is judged at 0:13\.80, which would lie outside it/u);
    expect(refusal("end", 16.5)).toMatch(/^A moment of play 1 is judged at 0:17\.00/u);
    expect(refusal("start", 13)).toBeNull();
    expect(refusal("end", 18)).toBeNull();
  });

  it("a time that was said can be taken back, and nothing else with it", () => {
    const play = aPlay("g", "p", "f", { startSec: 1, endSec: 18 });
    const edit = clearTime(play, "catch");
    expect(edit.ok && edit.play).toEqual({ ...play, catchSec: null });
  });

  it("a play put in before others takes their numbers along", () => {
    const newId = ids();
    let records = empty;
    for (const at of [100, 50, 200]) {
      const edit = press(records, "snap", at, newId);
      if (edit.ok) records = applyChanges(records, edit.changes);
    }
    expect(records.plays.toSorted((a, b) => a.number - b.number).map(({ snapSec }) => snapSec)).toEqual([50, 100, 200]);
    const left = applyChanges(
      records,
      takePlayOut(
        records,
        records.plays.find(({ number }) => number === 1)!,
      ),
    );
    expect(left.plays.map(({ number }) => number).toSorted((a, b) => a - b)).toEqual([1, 2]);
  });

  it("however one presses: times stay in order, plays apart, numbers 1 to n, and each edit can be taken back", () => {
    const action = fc.record({
      which: fc.constantFrom(...playTimes),
      // Two minutes: so that plays crowd each other.
      at: fc.integer({ min: 0, max: 240 }).map((half) => half / 2),
      moves: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(action, { maxLength: 60 }), (actions) => {
        const newId = ids();
        let records = empty;
        for (const { which, at, moves } of actions) {
          const some = records.plays[Math.floor(at) % Math.max(1, records.plays.length)];
          const edit = moves && some ? moveTime(records, some, which, at) : press(records, which, at, newId);
          if (!edit.ok) {
            expect(edit.sentence.length).toBeGreaterThan(10);
            continue;
          }
          const after = applyChanges(records, edit.changes);
          const back = applyChanges(after, invert(edit.changes));
          expect(back.plays.toSorted((a, b) => (a.id < b.id ? -1 : 1))).toEqual(
            records.plays.toSorted((a, b) => (a.id < b.id ? -1 : 1)),
          );
          records = after;
        }
        expect(renumbered(records)).toEqual([]);
        const sorted = records.plays.toSorted((a, b) => a.number - b.number);
        for (const [index, play] of sorted.entries()) {
          expect(play.number).toBe(index + 1);
          const times = playTimes.flatMap((time) => timeOf(play, time) ?? []);
          expect(times).toEqual(times.toSorted((a, b) => a - b));
          expect(play.endSec).toBeGreaterThanOrEqual(play.startSec);
          expect(play.startSec).toBeGreaterThanOrEqual(sorted[index - 1]?.endSec ?? 0);
          for (const time of playTimes) {
            const [low, high] = boundsOf(records, play, time);
            expect(low).toBeLessThanOrEqual(high);
          }
        }
      }),
      { numRuns: 300, seed: 6 },
    );
  });
});
