import { describe, expect, it } from "vitest";
import { amiss, crossing, foundOf, judgeShots, shots, type Spot, watchMeasure } from "./staged-course.ts";

/**
 * Planted cases on plays laid out by hand. What is right is common practice for a flag crew of four, with no source: keys
 * to 2 s and longer while pressed, zones after them, a handoff before the last one lets go. Who is turned where is meant
 * by the angle on the plan: full attention to 30°, none from 60°, so that 45° is where half of it is left.
 */
const { set, start, early, late, over, on } = crossing;
const nowhere: Spot = [60, -20];
/** FJ on the back and BJ on the far slot, both alone in their zones; nobody on the near receiver. */
const backNear = { back: [37, 5], farSlot: [42, 28], onFarSlot: [48, 28] } as const;
const elsewhere = { FJ: "back", BJ: "farSlot", LJ: "farWide", R: "passer" } as const;

describe("a receiver who crosses from one zone into the next", () => {
  it("HO-LEFT-ZONE: is passed on clean when the next has him before the last lets go", () => {
    const judged = judgeShots(
      shots(
        set,
        start,
        early,
        { ...late, looks: { BJ: "farSlot" } },
        { ...over, looks: { BJ: "nearWide", FJ: "nearWide" } },
        on,
      ),
    );
    expect(amiss(judged)).toEqual([]);
    const finding = foundOf(judged, "HO-LEFT-ZONE");
    expect([finding.position, finding.verdict]).toEqual(["BJ", "met"]);
    expect(judged.handoffs).toEqual([
      {
        kind: "clean",
        reason: "left-zone",
        trackId: "0-nearWide",
        from: ["FJ"],
        to: ["BJ"],
        dueSec: expect.any(Number),
      },
    ]);
    // Between 1.8 and 2.4 s the middle of the two goes from y = 12.3 to 18.3; the zones meet at 40 / 3 + 2.
    expect(judged.handoffs[0]!.dueSec).toBeCloseTo(1.8 + (0.6 * (40 / 3 + 2 - 12.3)) / 6, 1);
  });

  it("HO-KEY-OVER: is passed on by the clock when he is in the other zone as the key ends", () => {
    const there = { nearWide: [45, 16], onNearWide: [46.2, 16.6] } as const;
    const judged = judgeShots(
      shots(
        set,
        start,
        early,
        { ...late, people: { ...late.people, ...there } },
        { ...over, looks: { BJ: "nearWide" } },
      ),
    );
    expect(judged.handoffs).toEqual([expect.objectContaining({ kind: "clean", reason: "key-time-over", to: ["BJ"] })]);
    // The book's key of FJ is over 2 s after the snap.
    expect(judged.handoffs[0]!.dueSec).toBeCloseTo(2, 1);
    expect(foundOf(judged, "HO-KEY-OVER").verdict).toBe("met");
  });

  it("HO-PRESS-OVER: is passed on when the press ends after the clock, and taken up again beyond", () => {
    const judged = judgeShots(
      shots(
        set,
        start,
        early,
        late,
        { sec: 2.3, phase: "keys", people: { nearWide: [45, 13], onNearWide: [46.2, 13.6] } },
        {
          sec: 2.9,
          phase: "zone",
          // The one who pressed him stays behind, and another takes him on in BJ's zone.
          people: { nearWide: [47, 19], onNearWide: [47, 11], deepNear: [48.2, 19.6] },
          looks: { BJ: "nearWide" },
        },
      ),
    );
    expect(judged.handoffs).toEqual([expect.objectContaining({ kind: "clean", reason: "press-ended", to: ["BJ"] })]);
    expect(foundOf(judged, "HO-PRESS-OVER").verdict).toBe("met");
  });

  it("is dropped when the next never takes him and nobody has him", () => {
    const judged = judgeShots(
      shots(set, start, early, late, { ...over, people: { ...over.people, ...backNear }, looks: elsewhere }, on, {
        sec: 3.4,
        phase: "zone",
        people: { nearWide: [49, 20], onNearWide: [50.2, 20.6] },
      }),
    );
    expect(amiss(judged)).toEqual(["HO-LEFT-ZONE BJ missed"]);
    expect(judged.handoffs.map(({ kind }) => kind)).toEqual(["dropped"]);
    const { lengthSec } = watchMeasure(foundOf(judged, "HO-LEFT-ZONE"));
    // Nobody at 2.4, 2.9 and 3.4 s, somebody at 1.8 s: at least 1.0 s and at most 1.6 s.
    expect(lengthSec!.low).toBeCloseTo(1, 6);
    expect(lengthSec!.high).toBeCloseTo(1.6, 6);
    expect(foundOf(judged, "HO-LEFT-ZONE").sentence).toMatch(/^BJ never took the receiver and the defender/u);
  });

  it("is taken late when nobody has him for two moments and the next then does", () => {
    const judged = judgeShots(
      shots(set, start, early, late, { ...over, people: { ...over.people, ...backNear }, looks: elsewhere }, on, {
        sec: 3.4,
        phase: "zone",
        people: { nearWide: [49, 20], onNearWide: [50.2, 20.6] },
        looks: { BJ: "nearWide" },
      }),
    );
    expect(amiss(judged)).toEqual(["HO-LEFT-ZONE BJ missed"]);
    expect(judged.handoffs.map(({ kind }) => kind)).toEqual(["late"]);
    expect(watchMeasure(foundOf(judged, "HO-LEFT-ZONE")).lengthSec!.low).toBeCloseTo(0.5, 6);
  });

  it("is let go early when he is still the last one's and the next has no business with him", () => {
    const inZone = { nearWide: [45, 13], onNearWide: [46.2, 13.6] } as const;
    const judged = judgeShots(
      shots(
        set,
        start,
        early,
        late,
        { sec: 2.3, phase: "zone", people: inZone },
        { sec: 2.9, phase: "zone", looks: { FJ: nowhere, BJ: "farWide", LJ: "farWide", R: "passer" } },
        { sec: 3.5, phase: "zone" },
        {
          sec: 3.9,
          phase: "zone",
          people: { nearWide: [46, 16.5], onNearWide: [47.2, 17.1] },
          looks: { BJ: "farWide" },
        },
        {
          sec: 4.3,
          phase: "zone",
          people: { nearWide: [46, 17], onNearWide: [47.2, 17.6] },
          looks: { BJ: "nearWide" },
        },
      ),
    );
    expect(judged.handoffs.filter(({ kind }) => kind !== "clean").map(({ kind, from }) => [kind, from])).toEqual([
      ["early", ["FJ"]],
    ]);
    expect(amiss(judged)).toEqual(["HO-LEFT-ZONE FJ missed"]);
  });

  it("cannot be told when the way the next one faced is not marked, nor is anybody accused", () => {
    const judged = judgeShots(
      shots(
        set,
        start,
        early,
        late,
        { ...over, people: { ...over.people, ...backNear }, looks: { ...elsewhere, BJ: null } },
        on,
      ),
    );
    expect(amiss(judged).filter((line) => line.endsWith("missed"))).toEqual([]);
    expect(amiss(judged)).toContain("HO-LEFT-ZONE BJ cannot tell");
  });

  it("cannot be told when one moment shows nobody and its neighbours are too near for the gap to be long", () => {
    const judged = judgeShots(
      shots(
        set,
        start,
        early,
        late,
        { ...over, sec: 2.05, people: { ...over.people, ...backNear }, looks: elsewhere },
        { ...on, sec: 2.4, looks: { BJ: "nearWide" } },
      ),
    );
    expect(amiss(judged).filter((line) => line.endsWith("missed"))).toEqual([]);
  });
});
