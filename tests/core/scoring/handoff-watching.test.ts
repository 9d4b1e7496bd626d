import { describe, expect, it } from "vitest";
import { amiss, crossing, foundOf, judgeShots, shots, type Spot, watchMeasure } from "./staged-course.ts";

/**
 * Planted cases on plays laid out by hand. What is right is common practice for a flag crew of four, with no source: keys
 * to 2 s and longer while pressed, zones after them, a handoff before the last one lets go. Who is turned where is meant
 * by the angle on the plan: full attention to 30°, none from 60°, so that 45° is where half of it is left.
 */
const { set, start, early, late } = crossing;
const nowhere: Spot = [60, -20];
const farAlone = { farSlot: [42, 28], onFarSlot: [48, 28] } as const;
const elsewhere = { FJ: "back", BJ: "farSlot", LJ: "farWide", R: "passer" } as const;

describe("keys", () => {
  const turned = { FJ: "passer", BJ: "farSlot", LJ: "snapper", R: "passer" } as const;

  it("KEY-FJ-RECEIVERS: is left early when its official turns away from a pressed receiver", () => {
    const judged = judgeShots(shots(set, start, { ...early, looks: { ...turned, FJ: [30, 3] } }, late));
    expect(amiss(judged)).toEqual(["KEY-FJ-RECEIVERS FJ missed"]);
    const finding = foundOf(judged, "KEY-FJ-RECEIVERS");
    // Turned away at 1.2 and at 1.8 s, and not at 0.6 s.
    expect(watchMeasure(finding).lengthSec!.low).toBeCloseTo(0.6, 6);
    expect(finding.sentence).toMatch(/^FJ left the receiver and the defender .*with the two still 1\.3 yd apart/u);
  });

  it("KEY-BJ-RECEIVERS: is met by who stays on it, and does not apply where nobody presses", () => {
    const pressed = { farSlot: [40, 28], onFarSlot: [41.3, 28.4] } as const;
    const judged = judgeShots(shots(set, start, { ...early, people: { ...early.people, ...pressed } }));
    expect(foundOf(judged, "KEY-BJ-RECEIVERS").verdict).toBe("met");
    expect(foundOf(judgeShots(shots(set, start, early)), "KEY-BJ-RECEIVERS").verdict).toBe("not applicable");
  });

  it("KEY-R-PASSER: is the referee's while a rusher presses the passer, past the 2 s of the book", () => {
    const pressed = { rusher: [30.2, 18.8], passer: [29, 19] } as const;
    const play = (look: string | Spot) =>
      judgeShots(
        shots(
          set,
          { ...start, people: { ...start.people, ...pressed } },
          late,
          { sec: 2.5, phase: "keys", looks: { R: look } },
          { sec: 3, phase: "keys" },
        ),
      );
    expect(foundOf(play("passer"), "KEY-R-PASSER").verdict).toBe("met");
    expect(foundOf(play([10, 39]), "KEY-R-PASSER").verdict).toBe("missed");
  });

  it("KEY-FJ-RECEIVERS: is held past need when its official stays on one who is alone and leaves two in the own zone", () => {
    const alone = { nearWide: [36, 3], onNearWide: [42, 4], nearWide2: [37, 10] } as const;
    const judged = judgeShots(
      shots(
        { ...set, people: { nearWide2: [33.2, 12] } },
        { ...start, people: { ...start.people, ...alone } },
        { sec: 2.3, phase: "zone", people: { nearWide2: [43, 9], deepNear: [48, 13], ...farAlone } },
        {
          sec: 2.9,
          phase: "zone",
          people: { nearWide2: [46, 9], deepNear: [47.2, 9.6] },
          looks: { ...elsewhere, FJ: "nearWide" },
        },
        { sec: 3.5, phase: "zone" },
      ),
      { playersPerSide: 8 },
    );
    expect(amiss(judged)).toEqual(["KEY-FJ-RECEIVERS FJ missed"]);
    const said = judged.findings.find(({ verdict, ruleId }) => verdict === "missed" && ruleId === "KEY-FJ-RECEIVERS");
    expect(said!.sentence).toMatch(/^FJ stayed on the receiver, alone, 2 yd downfield .* when that key was over/u);
  });
});

describe("zones", () => {
  it("ZN-FJ: is not kept by who looks away from two opponents in it, with nobody else on them", () => {
    const judged = judgeShots(
      shots(
        set,
        { ...start, people: { ...start.people, nearWide: [37, 5], onNearWide: [42, 6] } },
        { sec: 2.3, phase: "zone", people: { nearWide: [43, 8], onNearWide: [48, 10], ...farAlone } },
        {
          sec: 2.9,
          phase: "zone",
          people: { nearWide: [46, 9], onNearWide: [47.2, 9.6] },
          looks: { ...elsewhere, FJ: nowhere },
        },
        { sec: 3.5, phase: "zone" },
        { sec: 4, phase: "zone" },
      ),
    );
    expect(amiss(judged)).toEqual(["ZN-FJ FJ missed"]);
    expect(foundOf(judged, "ZN-FJ").sentence).toMatch(/^FJ did not watch the receiver and the defender/u);
  });

  const emptyNear = {
    nearWide: [45, 22],
    onNearWide: [46.2, 22.6],
    farSlot: [38, 30],
    onFarSlot: [44, 30],
  } as const;
  const emptied = (look: string | Spot) =>
    judgeShots(
      shots(
        set,
        start,
        { sec: 1.9, phase: "zone", people: emptyNear, looks: { FJ: look, BJ: "nearWide", LJ: "farWide" } },
        { sec: 2.5, phase: "zone" },
        { sec: 3, phase: "zone" },
      ),
    );

  it("ZN-FJ: with nobody in it reaches out to the nearest two outside", () => {
    const kept = emptied("nearWide");
    expect(amiss(kept)).toEqual([]);
    expect(foundOf(kept, "ZN-FJ").sentence).toMatch(/^With nobody in the own zone, FJ reached out/u);
    const stood = emptied([60, 1]);
    expect(amiss(stood)).toEqual(["ZN-FJ FJ missed"]);
    expect(foundOf(stood, "ZN-FJ").sentence).toMatch(/did not reach out/u);
  });

  it("KEY-FJ-RECEIVERS: is held past need by who stays on it out of an empty zone", () => {
    const judged = judgeShots(
      shots(
        { ...set, people: { nearWide2: [33.2, 10] } },
        start,
        // The receiver of FJ's side has gone behind the line, alone; the other near one is pressed in BJ's zone.
        {
          sec: 2.4,
          phase: "zone",
          people: { ...emptyNear, nearWide: [31, 6], onNearWide: [46.2, 22.6], nearWide2: [45, 22] },
          looks: { FJ: "nearWide", BJ: "nearWide2", LJ: "farWide" },
        },
        { sec: 2.9, phase: "zone" },
        { sec: 3.4, phase: "zone" },
      ),
      { playersPerSide: 8 },
    );
    expect(amiss(judged)).toEqual(["KEY-FJ-RECEIVERS FJ missed"]);
    const said = judged.findings.find(({ verdict }) => verdict === "missed")!;
    expect(said.sentence).toMatch(
      /^With nobody in the own zone, FJ .* stayed on the receiver, alone, 3 yd behind the line/u,
    );
  });

  it("ZN-BJ, ZN-LJ-SIDELINE: are kept by who is turned to two opponents in them", () => {
    const judged = judgeShots(
      shots(set, start, {
        sec: 2.4,
        phase: "zone",
        people: { ...emptyNear, farWide: [42, 37], onFarWide: [43.2, 37.5] },
        looks: { FJ: "nearWide", BJ: "nearWide", LJ: "farWide" },
      }),
    );
    expect(foundOf(judged, "ZN-BJ").verdict).toBe("met");
    expect(foundOf(judged, "ZN-LJ-SIDELINE").verdict).toBe("met");
  });
});

describe("the ball in the air", () => {
  const thrown = { ball: [38, 24] } as const;
  const flying = { ball: [41, 26] } as const;
  const coming = { farWide: [54, 35.5], onFarWide: [55, 36] } as const;
  const quiet = { sec: 2.2, phase: "zone", people: { ...coming, nearWide: [40, 5], onNearWide: [46, 6] } } as const;
  const all = (look: string | Spot) => ({ R: look, LJ: look, FJ: look, BJ: look });

  it("HO-EYES-ON-BALL: is a body that turns with it, away from where it comes down", () => {
    const judged = judgeShots(
      shots(
        set,
        start,
        { ...quiet, looks: { LJ: "farWide", BJ: "farWide", R: "passer" } },
        { sec: 2.6, phase: "ball-away", people: thrown, looks: { ...all("farWide"), LJ: "ball" } },
        { sec: 3, phase: "ball-away", people: flying },
      ),
    );
    const finding = foundOf(judged, "HO-EYES-ON-BALL", "LJ");
    expect(finding.verdict).toBe("missed");
    expect(amiss(judged)).toEqual(["HO-EYES-ON-BALL LJ missed"]);
    for (const position of ["R", "FJ", "BJ"])
      expect(foundOf(judged, "HO-EYES-ON-BALL", position).verdict, position).toBe("met");
  });

  it("HO-EYES-ON-BALL: is not said of a body that stands still, though the ball was there at one moment", () => {
    const judged = judgeShots(
      shots(
        set,
        start,
        { ...quiet, looks: { LJ: "farWide", BJ: "farWide", R: "passer" } },
        { sec: 2.6, phase: "ball-away", people: thrown, looks: { ...all("farWide"), LJ: [36, 10] } },
        { sec: 3, phase: "ball-away", people: flying },
      ),
    );
    expect(amiss(judged).filter((line) => line.endsWith("missed"))).toEqual([]);
  });

  it("HO-BALL-AWAY: is somebody turned to where it comes down in time, or nobody", () => {
    const play = (look: string | Spot) =>
      judgeShots(
        shots(
          set,
          start,
          { ...quiet, looks: { LJ: "farWide", BJ: "farWide", R: "passer" } },
          { sec: 2.6, phase: "ball-away", people: thrown, looks: all(look) },
          { sec: 3.4, phase: "ball-away", people: flying },
        ),
      );
    expect(foundOf(play("farWide"), "HO-BALL-AWAY").verdict).toBe("met");
    const missed = foundOf(play([20, 5]), "HO-BALL-AWAY");
    expect(missed.verdict).toBe("missed");
    expect(missed.sentence).toMatch(/^Nobody looked to where the ball came down/u);
  });

  it("HO-CATCH: is somebody who has the runner after it, or nobody", () => {
    const caught = { ball: [54.2, 35.6] } as const;
    const play = (look: string | Spot) =>
      judgeShots(
        shots(
          set,
          start,
          { ...quiet, looks: { LJ: "farWide", BJ: "farWide", R: "passer" } },
          { sec: 2.6, phase: "ball-away", people: thrown, looks: all("farWide") },
          { sec: 3.2, phase: "catch", people: caught, looks: all(look) },
          { sec: 4, phase: "catch" },
        ),
      );
    expect(foundOf(play("farWide"), "HO-CATCH").verdict).toBe("met");
    expect(foundOf(play([20, 5]), "HO-CATCH").verdict).toBe("missed");
  });
});

describe("two on one", () => {
  it("HO-DOUBLED: is said when it lasts and two opponents elsewhere have nobody", () => {
    const open = { nearWide: [46, 9], onNearWide: [47.2, 9.6], farWide: [44, 37], onFarWide: [50, 37] } as const;
    const doubled = (lastSec: number) =>
      judgeShots(
        shots(
          set,
          { ...start, people: { ...start.people, nearWide: [37, 5], onNearWide: [43, 6] } },
          {
            sec: 2.2,
            phase: "zone",
            people: open,
            looks: { LJ: "farWide", BJ: "farWide", R: "passer", FJ: "passer" },
          },
          { sec: 2.2 + lastSec / 2, phase: "zone" },
          { sec: 2.2 + lastSec, phase: "zone" },
        ),
      );
    const long = foundOf(doubled(1.4), "HO-DOUBLED");
    expect([long.position, long.verdict]).toEqual(["crew", "missed"]);
    expect(long.sentence).toMatch(/^LJ and BJ were both on the receiver, alone, 10 yd downfield on the far side/u);
    expect(watchMeasure(long).lengthSec!.low).toBeCloseTo(1.4, 6);
    const short = doubled(0.3).findings.find(({ ruleId }) => ruleId === "HO-DOUBLED");
    expect(short?.verdict).not.toBe("missed");
  });

  it("HO-DOUBLED: is not said of two on one player when one of them has another matter in sight as well", () => {
    const judged = judgeShots(
      shots(
        set,
        { ...start, people: { ...start.people, nearWide: [37, 5], onNearWide: [43, 6] } },
        {
          sec: 2.2,
          phase: "zone",
          // Beside the far receiver, whom both are on, the slot has an opponent close, 15° off for BJ.
          people: {
            nearWide: [46, 9],
            onNearWide: [47.2, 9.6],
            farWide: [44, 37],
            onFarWide: [50, 37],
            farSlot: [42, 34],
            onFarSlot: [43, 33],
          },
          looks: { LJ: "farWide", BJ: "farWide", R: [10, 39], FJ: nowhere },
        },
        { sec: 2.9, phase: "zone" },
        { sec: 3.6, phase: "zone" },
      ),
    );
    expect(judged.findings.filter(({ ruleId }) => ruleId === "HO-DOUBLED")).toEqual([]);
  });
});
