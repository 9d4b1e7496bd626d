import { describe, expect, it } from "vitest";
import { amiss, crossing, foundOf, judgeShots, shots, type Spot } from "./staged-course.ts";

/** Who counts whom is common practice for a flag crew of four: CT-R and CT-LJ count A, CT-FJ and CT-BJ count B. */
const { set } = crossing;

function counted(people: Readonly<Record<string, Spot>>, playersPerSide = 7, sigmaPx = 0.5) {
  return judgeShots(shots({ ...set, people }), { playersPerSide, sigmaPx });
}

describe("the count at the snap", () => {
  it("CT-R, CT-LJ: is met with as many as play, and too many are nobody's fault alone", () => {
    expect(foundOf(counted({}), "CT-R")).toMatchObject({ verdict: "met", position: "crew", score: 100 });
    const eight = foundOf(counted({ farSlot2: [32, 31] }), "CT-R");
    expect(eight).toMatchObject({ verdict: "missed", position: "crew", sentence: "A has 8 of 7: R and LJ count A." });
    expect(eight.measure).toMatchObject({ kind: "count", side: "A", least: 8, asked: 7 });
    expect(eight.markIds).toHaveLength(8);
  });

  it("CT-FJ, CT-BJ: counts B apart from A", () => {
    const many = counted({ middle2: [45, 20] });
    expect(foundOf(many, "CT-FJ").sentence).toBe("B has 8 of 7: FJ and BJ count B.");
    expect(foundOf(many, "CT-R").verdict).toBe("met");
  });

  it("never accuses anybody of too few: one may not be marked", () => {
    const finding = foundOf(counted({}, 8), "CT-R");
    expect(finding).toMatchObject({ verdict: "cannot tell", score: null });
    expect(finding.sentence).toBe("7 of A are marked where 8 play.");
    expect(finding.help).toMatch(/^Mark all of A/u);
  });

  it("leaves out who is off the field, and cannot tell of one at its edge", () => {
    expect(foundOf(counted({ farSlot2: [32, 43] }), "CT-R").verdict).toBe("met");
    expect(foundOf(counted({ farSlot2: [32, 40.01] }, 7, 2), "CT-R").verdict).toBe("cannot tell");
  });

  it("cannot tell of two marks nearer than two bodies stand: one person may be marked twice", () => {
    const finding = foundOf(counted({ farSlot2: [33.3, 28.2] }), "CT-R");
    expect(finding.verdict).toBe("cannot tell");
    expect(finding.sentence).toBe("7 to 8 of A are marked where 7 play.");
  });

  it("says nothing else of a play with no moment after the snap", () => {
    const judged = counted({});
    expect(judged.course).toBeNull();
    expect(amiss(judged)).toEqual([]);
    expect(judged.findings.map(({ ruleId }) => ruleId)).toEqual(["CT-R", "CT-FJ"]);
  });
});
