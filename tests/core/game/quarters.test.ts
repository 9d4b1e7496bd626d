import { describe, expect, it } from "vitest";
import { layOut, templateById } from "#core/field/template";
import { downRulesOf, firstSituation, nextSituation } from "#core/game/next-situation";
import { endsChanged, startsHalf } from "#core/game/quarters";
import { nothingSaid, type Play, type PlayResult, type Situation } from "#core/game/records";
import { seriesRulesOf } from "#core/game/series-rules";
import { situationFaults } from "#core/game/situation-faults";
import { aPlay } from "../../main/store/build-game.ts";

const field = (id: string) => layOut(templateById(id)!);
const tackle = field("ncaa");
const flag = field("flag-100x40");
const ifaf = field("ifaf-5v5");
const tackleRules = downRulesOf(tackle);

const situation: Situation = {
  offence: "home",
  direction: "right",
  down: 2,
  scrimmageXYards: 40,
  lineToGainXYards: 46,
  ballYYards: 20,
};
const spot = (xYards: number, yYards = 20): PlayResult => ({ kind: "spot", spot: { xYards, yYards } });
const playOf = (number: number, of: Situation, with_: Partial<Play> = {}): Play => ({
  ...aPlay("g", `p${number}`, "f", { number, startSec: 20 * number, endSec: 20 * number + 12 }),
  ...nothingSaid,
  quarter: 1,
  series: 1,
  ...with_,
  situation: of,
});

describe("changes of ends", () => {
  // NCAA football rules 2016-17, 3-1-2: between the first and second and the third and fourth periods the teams defend
  // opposite goal lines; 3-1-1: for the second half they choose.
  it("tackle: after the first and the third quarter by rule, at the half as the sides choose", () => {
    expect(endsChanged("tackle", 1, 2)).toEqual({ turned: true, isRule: true });
    expect(endsChanged("tackle", 3, 4)).toEqual({ turned: true, isRule: true });
    expect(endsChanged("tackle", 2, 3)).toEqual({ turned: true, isRule: false });
  });

  // USA Football flag rule book 2018, 1-7: teams change sides after the first half. IFAF 2023 (digest): two halves.
  it("flag: at the half only, whether the halves count as quarters or not", () => {
    expect(endsChanged("flag", 1, 2)?.turned).toBe(false);
    expect(endsChanged("flag", 2, 3)).toEqual({ turned: true, isRule: true });
    expect(endsChanged("flag", 1, 3)).toEqual({ turned: true, isRule: true });
    expect(endsChanged("flag", 3, 4)?.turned).toBe(false);
  });

  it("nothing is said of an unknown, the same or an earlier quarter, or of overtime", () => {
    for (const [from, to] of [
      [null, 2],
      [2, null],
      [2, 2],
      [3, 2],
      [4, 5],
    ] as const) {
      expect(endsChanged("tackle", from, to)).toBeNull();
      expect(startsHalf(from, to)).toBe(false);
    }
  });
});

describe("what follows in another quarter", () => {
  // NCAA 3-1-2-a, b: a spot corresponding exactly in relation to goal lines and sidelines; possession, down and distance
  // unchanged. The left 34 with 20 yd to the near sideline is the right 34 with 20 yd to the far one.
  it("tackle, second quarter: the same down and distance from the matching spot, the other way", () => {
    const proposed = nextSituation(playOf(1, situation, { result: spot(44) }), tackleRules, tackle, { quarter: 2 });
    expect(proposed.situation).toEqual({
      offence: "home",
      direction: "left",
      down: 3,
      scrimmageXYards: 76,
      lineToGainXYards: 74,
      ballYYards: tackle.widthYards - 20,
    });
    expect(proposed.quarter).toBe(2);
    expect(proposed.series).toBe(1);
    expect(proposed.because.at(-1)).toBe(
      "The sides change ends for the second quarter: the ball lies at the matching spot.",
    );
  });

  it("flag, second quarter: play goes on the same way", () => {
    const rules = downRulesOf(flag);
    const before = playOf(1, { ...situation, lineToGainXYards: 50 }, { result: spot(44) });
    expect(nextSituation(before, rules, flag, { quarter: 2 }).situation).toEqual(
      nextSituation(before, rules, flag).situation,
    );
  });

  // USA Football 2018, 1-2 and 1-7; IFAF 2023 (digest): from the own 5.
  it("flag, third quarter: the side that did not begin the game begins, the other way than it went in the second", () => {
    const rules = downRulesOf(ifaf);
    const opening = playOf(1, { ...situation, offence: "away", direction: "left" });
    const goingRight = playOf(9, { ...situation, offence: "home", direction: "right" }, { quarter: 2, series: 6 });
    const plays = [goingRight, opening];
    const { situation: proposed, series } = nextSituation(goingRight, rules, ifaf, { quarter: 3, plays });
    // Home went right in the second quarter, so it goes left now, from 5 yd before the right goal line (60) to the middle.
    expect(proposed).toMatchObject({
      offence: "home",
      direction: "left",
      down: 1,
      scrimmageXYards: 55,
      lineToGainXYards: 35,
    });
    expect(series).toBe(7);
    const last = playOf(9, { ...situation, offence: "away", direction: "left" }, { quarter: 2 });
    expect(nextSituation(last, rules, ifaf, { quarter: 3, plays: [last, opening] }).situation).toMatchObject({
      offence: "home",
      direction: "left",
    });
  });

  // NCAA 3-1-1-b: each half starts with a kickoff. Who kicks and which way is chosen; that it is the other side is usual.
  it("tackle, third quarter: a kickoff by the other side where the game began with one; its way is for a person to see", () => {
    const kickoff = playOf(1, { ...situation, down: null, lineToGainXYards: null }, { kind: "free-kick" });
    const last = playOf(60, { ...situation, direction: "left" }, { quarter: 2, series: 14 });
    const proposed = nextSituation(last, tackleRules, tackle, { quarter: 3, plays: [kickoff, last] });
    expect(proposed).toMatchObject({
      kind: "free-kick",
      situation: { offence: "away", direction: "left", down: null, lineToGainXYards: null, scrimmageXYards: 75 },
    });
    expect(proposed.because.join(" ")).toMatch(/theirs to choose/u);
  });
});

describe("the code that a field is laid out for", () => {
  // IFAF 2023 (digest): own 5 after a score and when the downs are used up, an interception where it was dead, try marks
  // at 5 and 10. USA Football 2018, 1-3 to 1-6: three downs to midfield, three to score. NIRSA 4v4: three downs a zone.
  it("IFAF: fourth down short gives the other side its own 5, an interception the spot", () => {
    const rules = downRulesOf(ifaf);
    const fourth = playOf(1, { ...situation, scrimmageXYards: 30, lineToGainXYards: 35, down: 4 });
    const short = nextSituation({ ...fourth, result: spot(33) }, rules, ifaf);
    expect(short.situation).toMatchObject({
      offence: "away",
      direction: "left",
      scrimmageXYards: 55,
      lineToGainXYards: 35,
    });
    expect(short.because).toEqual(["The other side’s ball from its own 5: fourth down on play 1 was 2 yards short."]);
    const lost = nextSituation({ ...fourth, result: { ...spot(41), kind: "turnover" } }, rules, ifaf);
    expect(lost.situation).toMatchObject({ offence: "away", scrimmageXYards: 41, lineToGainXYards: 35 });
    expect(
      nextSituation({ ...fourth, result: { kind: "score", spot: null } }, rules, ifaf).situation.scrimmageXYards,
    ).toBe(55);
  });

  it("three downs: the third one short is the last, and a fourth is said to be one too many", () => {
    const youth = field("youth-across-tackle");
    const rules = downRulesOf(youth);
    const third = playOf(1, { ...situation, scrimmageXYards: 20, lineToGainXYards: 10 + 50 / 3, down: 3 });
    const proposed = nextSituation({ ...third, result: spot(23) }, rules, youth);
    expect(proposed.situation).toMatchObject({ offence: "away", down: 1 });
    expect(
      situationFaults([playOf(1, { ...third.situation, down: 4 })], rules, youth).map((one) => one.sentence),
    ).toEqual(["Play 1 is fourth down, but a series on this field has 3."]);
    expect(seriesRulesOf(field("flag-60x30")).downs).toBe(3);
  });

  it("NIRSA: a side starts on its own 14, tries from the 3, and there is no kickoff after a try", () => {
    const rules = downRulesOf(flag);
    expect(firstSituation(rules, flag).situation).toMatchObject({ scrimmageXYards: 24, lineToGainXYards: 30 });
    const score = nextSituation(playOf(1, situation, { result: { kind: "score", spot: null } }), rules, flag);
    expect(score).toMatchObject({ kind: "try", situation: { scrimmageXYards: 87, down: null } });
    const after = nextSituation(playOf(2, score.situation, { kind: "try" }), rules, flag);
    expect(after).toMatchObject({
      kind: null,
      situation: { offence: "away", direction: "left", scrimmageXYards: 76, lineToGainXYards: 70, down: 1 },
    });
  });

  // Common practice in tackle: NCAA 5-1-1 gives the series to the side in possession when the ball is dead after a kick.
  it("kicks: a run back for a score, a touchback, a field goal good and missed", () => {
    const kick = (with_: Partial<Play>) => nextSituation(playOf(1, situation, with_), tackleRules, tackle);
    expect(kick({ kind: "punt", result: { kind: "score", spot: null } })).toMatchObject({
      kind: "try",
      situation: { offence: "away", direction: "left", scrimmageXYards: 13 },
    });
    expect(kick({ kind: "punt", result: spot(112) }).situation).toMatchObject({
      offence: "away",
      direction: "left",
      scrimmageXYards: 90,
      lineToGainXYards: 80,
    });
    expect(kick({ kind: "field-goal", result: { kind: "score", spot: null } }).kind).toBe("free-kick");
    expect(kick({ kind: "field-goal", result: { kind: "incomplete", spot: null } }).situation).toMatchObject({
      offence: "away",
      scrimmageXYards: 40,
    });
    expect(kick({ kind: "punt" }).because.join(" ")).toMatch(/Nobody has said where play 1 ended/u);
  });

  it("goal to go: the goal line when it is nearer than ten yards", () => {
    const { situation: goal, because } = nextSituation(
      playOf(1, { ...situation, scrimmageXYards: 98, lineToGainXYards: 100 }, { result: spot(103) }),
      tackleRules,
      tackle,
    );
    expect(goal).toMatchObject({ down: 1, scrimmageXYards: 103, lineToGainXYards: 110 });
    expect(because.join(" ")).toMatch(/The goal line is next/u);
  });
});

describe("contradictions over quarters, series, spots and lines", () => {
  const saidOn = (layout: typeof flag, ...plays: readonly Play[]) =>
    situationFaults(plays, downRulesOf(layout), layout).map(({ sentence }) => sentence);
  const zoned: Situation = { ...situation, down: 1, scrimmageXYards: 34, lineToGainXYards: 50 };

  it("flag: the same way again after the half", () => {
    const before = playOf(7, zoned, { quarter: 2 });
    const later = { ...zoned, scrimmageXYards: 24, lineToGainXYards: 30 };
    const halves =
      "Between the second quarter (play 7) and the third quarter (play 8) the sides change ends: the direction should be turned.";
    expect(saidOn(flag, before, playOf(8, later, { quarter: 3, series: 2 }))).toEqual([halves]);
    // Away goes left, so home would go right as before.
    const away: Situation = { ...later, offence: "away", direction: "left", scrimmageXYards: 76, lineToGainXYards: 70 };
    expect(saidOn(flag, before, playOf(8, away, { quarter: 3, series: 2 }))).toEqual([halves]);
    const turned: Situation = { ...away, offence: "home" };
    expect(saidOn(flag, before, playOf(8, turned, { quarter: 3, series: 2 }))).toEqual([]);
  });

  it("tackle: the same way again after the first quarter; the half is the sides' own choice", () => {
    const ten: Situation = { ...situation, down: 1, lineToGainXYards: 50 };
    expect(saidOn(tackle, playOf(1, ten), playOf(2, { ...ten, down: 2 }, { quarter: 2 }))[0]).toMatch(
      /the first quarter \(play 1\) and the second quarter \(play 2\) the sides change ends/u,
    );
    expect(saidOn(tackle, playOf(1, ten, { quarter: 2 }), playOf(2, ten, { quarter: 3, series: 2 }))).toEqual([]);
  });

  it("an earlier quarter, an earlier series, the ball changed and not the series, a turnover kept", () => {
    expect(saidOn(flag, playOf(1, zoned, { quarter: 3 }), playOf(2, zoned, { quarter: 2, series: 2 }))).toEqual([
      "Play 2 is in an earlier quarter than play 1.",
    ]);
    expect(saidOn(flag, playOf(1, zoned, { series: 3 }), playOf(2, zoned, { series: 2 }))).toEqual([
      "Play 2 is in an earlier series than play 1.",
    ]);
    const away: Situation = { ...zoned, offence: "away", direction: "left", lineToGainXYards: 30 };
    expect(saidOn(flag, playOf(1, zoned), playOf(2, away))).toEqual([
      "The ball changed sides from play 1 to play 2, but not the series.",
    ]);
    const lost = playOf(1, zoned, { result: { kind: "turnover", spot: { xYards: 34, yYards: 3 } } });
    expect(saidOn(flag, lost, playOf(2, zoned))).toEqual([
      "Play 1 ended in a turnover, but the same side has the ball in play 2.",
    ]);
  });

  it("a play that begins elsewhere than the last one ended, beyond what two spots by eye may differ", () => {
    const second = (xYards: number) => playOf(2, { ...zoned, down: 2, scrimmageXYards: xYards });
    expect(saidOn(flag, playOf(1, zoned, { result: spot(41) }), second(46))).toEqual([
      "Play 2 begins 5 yards from where play 1 ended: one of the spots is wrong, unless a penalty moved the ball.",
    ]);
    expect(saidOn(flag, playOf(1, zoned, { result: spot(41) }), second(42.4))).toEqual([]);
    expect(saidOn(flag, playOf(1, zoned, { result: { kind: "incomplete", spot: null } }), second(41))).toHaveLength(1);
    expect(saidOn(flag, playOf(1, zoned), second(46))).toEqual([]);
  });

  it("a spot or an end outside the field, a line to gain past the goal or on no zone line", () => {
    expect(saidOn(flag, playOf(1, { ...zoned, scrimmageXYards: 4 }))[0]).toBe(
      "The ball of play 1 lies outside the field of play.",
    );
    expect(saidOn(flag, playOf(1, { ...zoned, ballYYards: 41 }))).toHaveLength(1);
    expect(saidOn(flag, playOf(1, zoned, { result: spot(101) }))).toEqual(["Play 1 ends outside the field."]);
    expect(saidOn(flag, playOf(1, { ...zoned, lineToGainXYards: 44 }))).toEqual([
      "The line to gain of play 1 is no zone line of this field.",
    ]);
    expect(saidOn(tackle, playOf(1, { ...situation, scrimmageXYards: 105, lineToGainXYards: 115 }))).toEqual([
      "The line to gain of play 1 lies beyond the goal line.",
    ]);
  });
});
