import { describe, expect, it } from "vitest";
import { fieldPoint } from "#core/field/units";
import type { Phase } from "#core/game/records";
import type { StationScene } from "#core/mechanics/anchors";
import type { RuleCondition } from "#core/mechanics/book";
import { zoneRuleAt } from "#core/mechanics/zone-area";
import { at, flagField, shipped, tackleScene } from "./laid-out.ts";

/**
 * Who watches whom in the shipped books. The flag crew's values are common practice, with no source. STATE: a state
 * association's handbook, 2026, position cards. SEVEN: a state association's seven-person deck, 2022. INTL and EIGHT: the
 * International manual, 16th edition, and a primer for college crews of eight, which contradict each other on the tackle.
 */
const flag = "flag-crew-of-four";
const three = "tackle-crew-of-three";
const four = "tackle-crew-of-four";
const five = "tackle-crew-of-five";
const seven = "tackle-crew-of-seven";
const eight = "tackle-crew-of-eight";

type KeyRow = readonly [book: string, id: string, order: number, on: string, when?: RuleCondition];
const trips = { receiversOwnSide: { from: 3, to: 6 } };
const keys: readonly KeyRow[] = [
  // Common practice: passer, backs, then snapper and blockers.
  [flag, "KEY-R-PASSER", 1, "passer"],
  [flag, "KEY-R-BACKS", 2, "backs"],
  [flag, "KEY-R-SNAPPER", 3, "snapper"],
  [flag, "KEY-R-BLOCKERS", 4, "blockers-near-snapper"],
  [flag, "KEY-LJ-SNAPPER", 1, "snapper"],
  [flag, "KEY-LJ-BLOCKERS", 2, "blockers-near-snapper"],
  [flag, "KEY-FJ-GOAL", 1, "receivers-own-side", { goalLineYards: { from: 0, to: 10 } }],
  [flag, "KEY-FJ-RECEIVERS", 1, "receivers-own-side"],
  [flag, "KEY-BJ-GOAL", 1, "receivers-own-side", { goalLineYards: { from: 0, to: 10 } }],
  [flag, "KEY-BJ-RECEIVERS", 1, "receivers-own-side"],
  // Common practice; no manual prints keys of three.
  [three, "KEY-R-PASSER", 1, "passer"],
  [three, "KEY-R-BACKS", 2, "backs"],
  [three, "KEY-R-LINE", 3, "blockers-near-snapper"],
  [three, "KEY-HL-SNAP", 1, "snapper"],
  [three, "KEY-HL-RECEIVERS", 2, "receivers-own-side"],
  [three, "KEY-LJ-SNAP", 1, "snapper"],
  [three, "KEY-LJ-RECEIVERS", 2, "receivers-own-side"],
  // STATE: R reads the opposite tackle, then the passer; U centre and guards; wings of four every receiver on own side.
  [four, "KEY-R-TACKLE", 1, "line-other-side"],
  [four, "KEY-R-PASSER", 2, "passer"],
  [four, "KEY-U-SNAPPER", 1, "snapper"],
  [four, "KEY-U-GUARDS", 2, "blockers-near-snapper"],
  [four, "KEY-HL-RECEIVERS", 2, "receivers-own-side"],
  [four, "KEY-LJ-RECEIVERS", 2, "receivers-own-side"],
  // STATE: wings of five have the outside receivers; BJ the inside man on LJ's side, with trips the two inside.
  [five, "KEY-HL-WIDEST", 2, "widest-own-side"],
  [five, "KEY-LJ-WIDEST", 2, "widest-own-side"],
  [five, "KEY-BJ-TRIPS-SECOND", 1, "second-own-side", trips],
  [five, "KEY-BJ-TRIPS-THIRD", 2, "third-own-side", trips],
  [five, "KEY-BJ-INSIDE", 1, "inside-own-side"],
  // SEVEN: FJ, SJ the widest; BJ the second widest to the strong side or the third of trips; HL the second or the nearest
  // back; LJ the second of trips, else the backs.
  [seven, "KEY-FJ-WIDEST", 1, "widest-own-side"],
  [seven, "KEY-SJ-WIDEST", 1, "widest-own-side"],
  [seven, "KEY-BJ-THIRD", 1, "third-own-side", trips],
  [seven, "KEY-BJ-SECOND", 1, "second-own-side"],
  [seven, "KEY-HL-SECOND", 1, "second-own-side", { receiversOwnSide: { from: 2, to: 6 } }],
  [seven, "KEY-HL-BACK", 1, "nearest-back"],
  [seven, "KEY-LJ-SECOND", 1, "second-own-side", trips],
  [seven, "KEY-LJ-BACKS", 1, "backs"],
  // INTL against EIGHT: the tackle on the far side, and the conflict stands in the rule's citation.
  [eight, "KEY-R-TACKLE", 1, "line-other-side"],
  [eight, "KEY-CJ-TACKLE", 1, "line-other-side"],
  [eight, "KEY-CJ-BACKS", 2, "backs"],
];

describe("keys of the shipped books", () => {
  const rows = keys.map(([book, id, order, on, when]) => [book, id, order, on, when ?? {}] as const);
  it.each(rows)("%s: %s is read as number %d, on %s", (bookId, id, order, on, when) => {
    const rule = shipped(bookId).keys.find((key) => key.id === id);
    expect(rule).toMatchObject({ order, on, position: id.split("-")[1] });
    expect(rule?.when).toEqual(when);
    // Common practice: a key is over in under 2 s, held longer near B's goal line.
    if (when.goalLineYards) expect(rule?.forSec).toBeGreaterThan(2);
    else expect(rule?.forSec).toBeLessThanOrEqual(2);
  });

  it("say in the citation where manuals contradict each other on the tackle", () => {
    const rules = shipped(eight).keys.filter(({ id }) => id.endsWith("-TACKLE"));
    expect(rules).toHaveLength(2);
    for (const { source } of rules) expect(source.citation).toMatch(/far side.*near side/u);
  });
});

/** Flag, going right from x = 34 on a field 40 yd wide with hashes at its thirds; LJ and BJ work the far side. */
const flagScene: StationScene = {
  layout: flagField,
  situation: {
    offence: "home",
    direction: "right",
    down: 1,
    scrimmageXYards: 34,
    lineToGainXYards: 50,
    ballYYards: 20,
  },
  lineJudgeSide: "far",
  players: [],
  ball: { markId: "ball", at: fieldPoint(50, 20) },
};

type ZoneRow = readonly [id: string, phase: Phase, x: number, y: number, holding?: "runner" | "all-but-runner"];

describe("zones of the flag crew (common practice)", () => {
  const rows: readonly ZoneRow[] = [
    ["ZN-R", "zone", 30, 20],
    ["ZN-LJ-SIDELINE", "zone", 60, 36],
    ["ZN-LJ-SIDELINE", "ball-away", 60, 40.5],
    ["ZN-LJ-LANE", "zone", 38, 20],
    ["ZN-LJ-LANE", "zone", 38, 16],
    ["ZN-FJ", "zone", 38, 15],
    ["ZN-FJ", "ball-away", 99, 1],
    ["ZN-FJ", "zone", 60, 15.2],
    ["ZN-BJ", "zone", 60, 15.5],
    ["ZN-BJ", "zone", 40, 20],
    ["ZN-BJ", "zone", 60, 34.5],
    ["ZN-R-CATCH", "catch", 30, 20, "runner"],
    ["ZN-LJ-SIDELINE-CATCH", "catch", 60, 36, "runner"],
    ["ZN-LJ-LANE-CATCH", "dead-ball", 38, 20, "runner"],
    ["ZN-FJ-CATCH", "catch", 60, 5, "runner"],
    ["ZN-BJ-CATCH", "catch", 60, 20, "runner"],
    ["ZN-BJ-AHEAD", "catch", 51, 5, "all-but-runner"],
    ["ZN-FJ-BEHIND", "catch", 49, 36, "all-but-runner"],
  ];
  const full = rows.map(([id, phase, x, y, holding]) => [id, phase, x, y, holding ?? "all-but-runner"] as const);
  it.each(full)("%s holds in the %s phase the place %d, %d", (id, phase, x, y, holding) => {
    const book = shipped(flag);
    expect(zoneRuleAt(book, phase, fieldPoint(x, y), flagScene, holding)?.id).toBe(id);
    // A half-turn of the field turns the zones with it.
    const turned: StationScene = {
      ...flagScene,
      situation: { ...flagScene.situation, direction: "left", scrimmageXYards: 66, lineToGainXYards: 50 },
      lineJudgeSide: "near",
      ball: { markId: "ball", at: fieldPoint(50, 20) },
    };
    expect(zoneRuleAt(book, phase, fieldPoint(100 - x, 40 - y), turned, holding)?.id).toBe(id);
  });

  it("reach out when nobody is in them, but for the referee's and the lane", () => {
    const zones = shipped(flag).zones.filter(({ phases }) => phases.includes("zone"));
    expect(zones.filter(({ reachesOut }) => reachesOut).map(({ id }) => id)).toEqual([
      "ZN-LJ-SIDELINE",
      "ZN-FJ",
      "ZN-BJ",
    ]);
  });

  it("leave nothing of the field to nobody after the snap", () => {
    for (let x = 0.5; x < 100; x += 3)
      for (let y = 0.5; y < 40; y += 3)
        for (const phase of ["zone", "ball-away", "catch"] as const)
          for (const holding of ["runner", "all-but-runner"] as const)
            expect(zoneRuleAt(shipped(flag), phase, fieldPoint(x, y), flagScene, holding)).not.toBeNull();
  });
});

describe("zones of the tackle crews", () => {
  // STATE: wings own sideline and own half in four, BJ the deep middle from sideline to sideline in five; NFHS 1.7: R until
  // the play crosses the line. The rest is common practice.
  const rows: readonly (readonly [book: string, id: string, x: number, y: number])[] = [
    [three, "ZN-R", 45, 30],
    [three, "ZN-HL", 60, 40],
    [three, "ZN-LJ", 60, 10],
    [four, "ZN-R", 45, 30],
    [four, "ZN-U", 55, 27],
    [four, "ZN-HL", 65, 27],
    [four, "ZN-LJ", 65, 26],
    [five, "ZN-HL", 90, 50],
    [five, "ZN-LJ", 90, 5],
    [five, "ZN-U", 55, 27],
    [five, "ZN-BJ", 80, 27],
    [seven, "ZN-R", 45, 30],
    [seven, "ZN-HL", 60, 50],
    [seven, "ZN-LJ", 60, 5],
    [seven, "ZN-FJ", 70, 5],
    [seven, "ZN-SJ", 70, 50],
    [seven, "ZN-U", 55, 27],
    [seven, "ZN-BJ", 70, 27],
    [eight, "ZN-CJ", 45, 40],
    [eight, "ZN-R", 45, 10],
  ];
  it.each(rows)("%s: %s holds the place %d, %d", (bookId, id, x, y) => {
    for (const phase of ["zone", "ball-away", "catch", "dead-ball"] as const)
      expect(zoneRuleAt(shipped(bookId), phase, fieldPoint(x, y), tackleScene, "runner")?.id).toBe(id);
  });

  it("turn with the play: CJ's is on the offence's left", () => {
    const left = at(tackleScene, { direction: "left" });
    expect(zoneRuleAt(shipped(eight), "zone", fieldPoint(55, 10), left, "runner")?.id).toBe("ZN-CJ");
  });
});

describe("handoffs, looks, counts and duties", () => {
  it("give each reason of a handoff one rule in every book", () => {
    for (const id of [flag, three, four, five, seven, eight]) {
      const rules = shipped(id).handoffs.map((rule) => [rule.id, rule.reason]);
      expect(rules).toEqual([
        ["HO-KEY-OVER", "key-time-over"],
        ["HO-PRESS-OVER", "press-ended"],
        ["HO-LEFT-ZONE", "left-zone"],
        ["HO-BALL-AWAY", "ball-away"],
        ["HO-CATCH", "catch"],
        ["HO-EYES-ON-BALL", "eyes-on-ball"],
        ["HO-DOUBLED", "doubled"],
      ]);
      for (const { gapSec } of shipped(id).handoffs) expect(gapSec).toBeLessThanOrEqual(1);
    }
  });

  it("LK-PAIR: two opponents within 2.5 yd, bodies of 0.3 yd, attention to 30° and none past 60°", () => {
    for (const id of [flag, seven]) {
      expect(shipped(id).looks).toHaveLength(1);
      expect(shipped(id).looks[0]).toMatchObject({
        id: "LK-PAIR",
        pairWithinYards: 2.5,
        bodyRadiusYards: 0.3,
        attentionDegrees: { full: 30, none: 60 },
        seenFrom: 0.5,
      });
    }
  });

  // Flag: common practice. Three: a clinic's review of three-person mechanics, R counts both teams. Four and five: STATE,
  // R and U count A; U counts B in four, BJ in five. Seven: common practice, FJ and SJ by an association's material.
  it.each([
    [flag, { "CT-R": "A", "CT-LJ": "A", "CT-FJ": "B", "CT-BJ": "B" }],
    [three, { "CT-R-A": "A", "CT-R-B": "B" }],
    [four, { "CT-R": "A", "CT-U-A": "A", "CT-U-B": "B" }],
    [five, { "CT-BJ": "B", "CT-R": "A", "CT-U-A": "A" }],
    [seven, { "CT-R": "A", "CT-U": "A", "CT-BJ": "B", "CT-FJ": "B", "CT-SJ": "B" }],
    [eight, { "CT-CJ": "A", "CT-R": "A", "CT-U": "A", "CT-BJ": "B", "CT-FJ": "B", "CT-SJ": "B" }],
  ])("%s: who counts whom", (id, expected) => {
    const counts = shipped(id).counts.map((rule) => [rule.id, rule.counts]);
    expect(Object.fromEntries(counts)).toEqual(expected);
  });

  it.each([
    // Common practice of a flag crew.
    [flag, "DT-R-SNAP", /the snap, the backs/u],
    [flag, "DT-LJ-SNAP", /motion at the snap, false starts, encroachment/u],
    [flag, "DT-LJ-SUBS", /substitutions on own side, and where players stand against the neutral zone/u],
    [flag, "DT-FJ-SUBS", /substitutions on own side/u],
    [flag, "DT-FJ-AHEAD", /no deeper than the goal line/u],
    [flag, "DT-BJ-AHEAD", /stops at the goal line, unless the end zone is the target/u],
    // A clinic's review of three-person mechanics: wings count the team on their side.
    [three, "DT-HL-COUNT", /team on own side/u],
    [three, "DT-LJ-COUNT", /team on own side/u],
    [three, "DT-HL-LINE", /men on the line/u],
    [three, "DT-LJ-LINE", /men on the line/u],
    // STATE, and NFHS 1.6 for the clocks.
    [four, "DT-R-RELEASE", /eyes stay on the passer after the release/u],
    [four, "DT-R-CUSHION", /5 yards from the passer in the pocket and 10 on a roll/u],
    [four, "DT-U-NUMBERS", /ineligible numbers/u],
    [four, "DT-R-PLAY-CLOCK", /play clock/u],
    [four, "DT-LJ-CLOCK", /game clock/u],
    [four, "DT-U-SPOT", /wing on the far side/u],
    [four, "DT-HL-LINE", /men on the line/u],
    [four, "DT-HL-READS", /flat, stays; short or medium, goes down 5/u],
    [four, "DT-LJ-READS", /flat, stays; short or medium, goes down 5/u],
    [four, "DT-HL-PROGRESS", /downfield foot/u],
    [four, "DT-LJ-PROGRESS", /downfield foot/u],
    [five, "DT-BJ-PLAY-CLOCK", /play clock/u],
    [five, "DT-BJ-CLOCK", /game clock/u],
    // An association's seven-person material, and SEVEN for progress.
    [seven, "DT-FJ-AHEAD", /20 yards or more ahead of the wing/u],
    [seven, "DT-SJ-AHEAD", /20 yards or more ahead of the wing/u],
    [seven, "DT-HL-PROGRESS", /about B's 2/u],
    // EIGHT.
    [eight, "DT-R-THROUGH", /through the tackle/u],
  ])("%s: %s", (bookId, id, words) => {
    expect(shipped(bookId).duties.find((duty) => duty.id === id)?.sentence).toMatch(words);
  });
});
