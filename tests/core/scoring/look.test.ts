import { describe, expect, it } from "vitest";
import { fieldPoint } from "#core/field/units";
import type { Responsible } from "#core/scoring/matters";
import {
  along,
  degrees,
  looksAmiss,
  looksMet,
  lookBook,
  lookOf,
  looksOf,
  official,
  player,
  stand,
  staged,
  watch,
} from "./look-play.ts";
import { lookRule } from "./look-rule.ts";
import { judge, moved, without } from "./staged-play.ts";

describe("a moment worked out by hand", () => {
  /**
   * The line judge 10 yd short of a receiver who has a defender 2 yd to the side; another defender stands half a yard to
   * that side of the line between, half way. A second receiver is alone. Plain trigonometry, no source.
   */
  const play = staged({
    LJ: stand(official("LJ"), [40, 10], [40, 16]),
    a: stand(player("A", "receiver"), [40, 20]),
    b: stand(player("B", "defender"), [42, 20]),
    c: stand(player("B", "defender"), [40.5, 15]),
    d: stand(player("A", "receiver"), [50, 30]),
  });
  const r = 0.3;

  it("gives each term, the quality and the coverage that pen and paper give", () => {
    // From LJ the receiver lies 10 yd straight ahead, the defender 2 yd to one side of that, midway at (1, 10).
    const angle = degrees(Math.atan2(10, 1));
    const toB = Math.hypot(2, 10);
    const gap = degrees(Math.atan2(2, 10) - Math.asin(r / 10) - Math.asin(r / toB));
    const span = degrees(Math.asin(r / 10) + Math.atan2(2, 10) + Math.asin(r / toB));
    // The other defender is seen wholly within that span.
    const hidden = degrees(2 * Math.asin(r / Math.hypot(0.5, 5)));
    const clear = 1 - hidden / span;
    const range = Math.hypot(1, 10);
    const facing = degrees(Math.atan2(1, 10));
    // 2 yd apart: a third of the way... from full weight at 1 yd to half of it at 2.5 yd, two thirds of the way.
    const weight = 1 - (0.5 * (2 - 1)) / (2.5 - 1);
    const quality = 1 * 1 * clear * 1 * 1;
    // The receiver who is alone, 26.6° off the way faced, 22.4 yd away, is seen wholly.
    const coverage = (weight * quality + 0.15 * 1) / (weight + 0.15);

    const judged = watch(play);
    const look = lookOf(judged, "LJ");
    const looks = looksOf(judged);
    const printed = [
      ["angle", look.angleDegrees, angle, "°"],
      ["gap", look.gapDegrees, gap, "°"],
      ["clear share", look.clearShare, clear, ""],
      ["range", look.rangeYards, range, " yd"],
      ["facing", look.facingDegrees ?? Number.NaN, facing, "°"],
      ["quality", look.quality, quality, ""],
      ["weight", looks.matters.find((one) => one.matter.id === "a+b")!.matter.weight, weight, ""],
      ["coverage", looks.coverage!.value, coverage, ""],
    ] as const;
    console.log(
      printed
        .map(([name, read, hand, unit]) => `${name} ${read.toFixed(4)}${unit}, by hand ${hand.toFixed(4)}`)
        .join("\n"),
    );
    for (const [name, read, hand] of printed) expect.soft(read, name).toBeCloseTo(hand, 4);
    expect([look.angleCredit, look.gapCredit, look.rangeCredit, look.facingCredit]).toEqual([1, 1, 1, 1]);
    // To the printed digits: 0.535 is just seen.
    expect([quality.toFixed(3), coverage.toFixed(3)]).toEqual(["0.535", "0.620"]);
    expect(looks.officials).toEqual([{ position: "LJ", own: 1, seen: 1, straightLined: 0, step: null }]);
    expect(looksAmiss(judged)).toEqual([]);
  });

  it("takes off in proportion between a rule's two ends: angle, range and facing", () => {
    const pair = { a: stand(player("A", "receiver"), [40, 20]), b: stand(player("B", "defender"), [41, 20]) };
    const from = (at: readonly [number, number], faces?: readonly [number, number]) =>
      lookOf(watch(staged({ LJ: stand(official("LJ"), at, faces), ...pair })), "LJ");
    // 20° off the line through the two, half way from 10° to 30°.
    const tilted = from([40.5 - 12 * Math.cos(Math.PI / 9), 20 - 12 * Math.sin(Math.PI / 9)]);
    expect(tilted.angleCredit).toBeCloseTo(0.5, 4);
    // 3 yd, half way from 2 to 4; 34 yd, eleven twentieths of the way from 45 to 25.
    expect(from([40.5, 17]).rangeCredit).toBeCloseTo(0.5, 4);
    expect(from([40.5, -14]).rangeCredit).toBeCloseTo(0.55, 4);
    expect([from([40.5, 18.2]).quality, from([40.5, 10]).rangeCredit]).toEqual([0, 1]);
    // Turned 45°, half way from 30° to 60°; and right away.
    expect(from([40.5, 10], [45.5, 15]).facingCredit).toBeCloseTo(0.5, 4);
    expect(from([40.5, 10], [40.5, 5]).quality).toBe(0);
  });

  it("takes off what of the further body the nearer one hides", () => {
    // Two who touch, 0.6 yd apart, from 12 yd at 30° to the line through them.
    const [x, y] = [40.3 - 12 * Math.cos(Math.PI / 6), 20 - 12 * Math.sin(Math.PI / 6)];
    const read = (apart: number) =>
      lookOf(
        watch(
          staged({
            LJ: stand(official("LJ"), [x, y]),
            a: stand(player("A", "receiver"), [40.3 - apart / 2, 20]),
            b: stand(player("B", "defender"), [40.3 + apart / 2, 20]),
          }),
        ),
        "LJ",
      );
    const between = Math.atan2(20 - y, 40 - x) - Math.atan2(20 - y, 40.6 - x);
    const halfA = Math.asin(r / Math.hypot(40 - x, 20 - y));
    const halfB = Math.asin(r / Math.hypot(40.6 - x, 20 - y));
    const share = 1 - (halfA + halfB - between) / (2 * halfB);
    expect(read(0.6).gapDegrees).toBeCloseTo(degrees(between - halfA - halfB), 3);
    expect(read(0.6).gapCredit).toBeCloseTo(share, 4);
    // About the half that a sine of 30° leaves.
    expect(share).toBeCloseTo(0.5, 1);
    expect(read(2).gapCredit).toBe(1);
    // Closer than two bodies can stand: they touch, at whatever distance they were clicked.
    expect(read(0.1).gapCredit).toBeCloseTo(share, 1);
  });

  it("counts a facing that is not marked as unknown, takes nothing off for it, and says so", () => {
    const { facing: _, ...unturned } = play.people["LJ"]!;
    const judged = watch(staged({ ...play.people, LJ: unturned }));
    expect(lookOf(judged, "LJ")).toMatchObject({ facingDegrees: null, facingCredit: 1 });
    expect(looksOf(judged).facingUnknown).toEqual(["LJ"]);
    expect(looksOf(watch(play)).facingUnknown).toEqual([]);
  });
});

describe("a straight-lined look", () => {
  const theirs: Responsible = () => ["LJ"];

  it("is a fault of the official whose matter it is, and says that a partner had it free and which step opens it", () => {
    const judged = watch(along, { responsible: theirs });
    const found = looksAmiss(judged);
    expect(found.map((finding) => [finding.position, finding.verdict])).toEqual([["LJ", "missed"]]);
    expect(found[0]!.sentence).toBe(
      "LJ was straight-lined on the receiver and the defender 6 yd downfield in the middle of the field, " +
        "0° off the line through the two; FJ had it free. A step of 2.5 yd upfield and toward the middle would have opened it.",
    );
    expect(found[0]!.markIds).toEqual(["LJ", "a", "b"]);
    expect(found[0]!.measure).toMatchObject({ kind: "look", probabilityMet: 0, seenFrom: 0.5 });
    expect(found[0]!.score).toBe(0);
  });

  it("is opened by the step it names, and by none that is half a yard shorter", () => {
    const step = lookOf(watch(along, { responsible: theirs }), "LJ").step!;
    expect(step.yards).toBeLessThanOrEqual(lookRule.stepYards);
    const walked = (share: number) => {
      const { at } = along.people["LJ"]!;
      const play = moved(along, "LJ", (step.to.xYards - at.xYards) * share, (step.to.yYards - at.yYards) * share);
      // Turned to the pair as before.
      const people = { ...play.people, LJ: { ...play.people["LJ"]!, facing: fieldPoint(40, 20.75) } };
      return lookOf(watch(staged(people), { responsible: theirs }), "LJ");
    };
    expect(walked(1).quality).toBeCloseTo(step.quality, 4);
    expect(walked(1).quality).toBeGreaterThanOrEqual(lookRule.seenFrom);
    expect(walked((step.yards - 0.5) / step.yards).quality).toBeLessThan(lookRule.seenFrom);
    // 6.25 yd from midway: 20° off the line, half the credit, takes 6.25 tan 20° = 2.27 yd.
    expect(step.yards).toBe(2.5);
  });

  it("is half a yard when half a yard is enough, and none when the whole reach is not", () => {
    // 20° off the line is enough: 2.27 yd aside of 6.25 yd away. From 2 yd aside another half is; from 15 yd away no 3 yd are.
    const step = (aside: number, back: number) =>
      lookOf(watch(moved(along, "LJ", aside, -back), { responsible: theirs }), "LJ").step;
    expect(step(2, 0)!.yards).toBe(0.5);
    expect(step(0, 9)).toBeNull();
  });

  it("is taken with the eyes as far from the pair as they were: further when half turned away, none when turned", () => {
    const turnedBy = (off: number) => {
      const angle = Math.PI / 2 + (off * Math.PI) / 180;
      const { at } = along.people["LJ"]!;
      const facing = fieldPoint(at.xYards + 6 * Math.cos(angle), at.yYards + 6 * Math.sin(angle));
      const people = { ...along.people, LJ: { ...along.people["LJ"]!, facing } };
      return lookOf(watch(staged(people), { responsible: theirs }), "LJ").step;
    };
    // 40° leaves two thirds, so the angle must leave three quarters: 25°, 6.25 tan 25° = 2.91 yd.
    expect([turnedBy(0)!.yards, turnedBy(40)!.yards, turnedBy(50)]).toEqual([2.5, 3, null]);
  });

  it("leads to no spot where somebody stands, nor far off the field", () => {
    const { to } = lookOf(watch(along, { responsible: theirs }), "LJ").step!;
    // Somebody 0.7 yd from there, on the side away from the pair, where they hide nothing of it.
    const back = 0.7 / Math.hypot(to.xYards - 40, to.yYards - 20.75);
    const behind = [to.xYards + back * (to.xYards - 40), to.yYards + back * (to.yYards - 20.75)] as const;
    const taken = staged({ ...along.people, R: stand(official("R"), behind, [22, 10]) });
    const other = lookOf(watch(taken, { responsible: theirs }), "LJ").step!.to;
    expect(Math.hypot(other.xYards - behind[0], other.yYards - behind[1])).toBeGreaterThanOrEqual(1);
    // Too close to two who stand outside the sideline: all that would help is to back off, to 4.4 yd outside it.
    const crowded = staged({
      LJ: stand(official("LJ"), [40, -2.9]),
      a: stand(player("A", "receiver"), [39.4, -1.3]),
      b: stand(player("B", "defender"), [40.6, -1.3]),
    });
    expect(lookOf(watch(crowded), "LJ").step?.to.yYards ?? 0).toBeGreaterThanOrEqual(-3.001);
  });

  it("is no fault of somebody who was not looking there, nor named where nobody's matter it is known to be", () => {
    const elsewhere = { ...along.people["LJ"]!, facing: fieldPoint(36, 10) };
    expect(looksAmiss(watch(staged({ ...along.people, LJ: elsewhere })))).toEqual([]);
    // Marked as turned to it, they were looking.
    const found = looksAmiss(watch(along));
    expect(found.map((finding) => [finding.position, finding.verdict])).toEqual([["LJ", "missed"]]);
  });

  it("cannot be told when the marks' errors reach across the limit", () => {
    // 8° off the line: within the 10°, by less than the marks are good for.
    const off = moved(along, "LJ", 6.25 * Math.tan((8 * Math.PI) / 180), 0);
    const [finding] = looksAmiss(watch(off, { sigmaPx: 3, responsible: theirs }));
    expect(finding).toMatchObject({ position: "LJ", verdict: "cannot tell" });
    expect(finding!.sentence).toMatch(/may have been straight-lined|cannot be told/u);
    expect(finding!.help).toMatch(/Click the two players more closely/u);
  });
});

describe("a matter that was seen", () => {
  // LJ stands along the pair; FJ has it square and is turned to it.
  const seen = staged(Object.fromEntries(Object.entries(along.people).filter(([name]) => name !== "LJ")));

  it("counts for the crew and for each who had it, or a score would be made of faults alone", () => {
    const judged = watch(seen);
    const met = looksMet(judged);
    expect(met.map(({ position }) => position)).toContain("crew");
    expect(met.map(({ position }) => position)).toContain("FJ");
    const own = met.find(({ position }) => position === "FJ")!;
    const look = lookOf(judged, "FJ");
    expect(own.score).toBeCloseTo(100 * look.expectedQuality, 9);
    expect(own.sentence).toMatch(/^FJ saw the receiver and the defender .*: [01]\.\d\d where 0\.5 counts as seen\.$/u);
    expect(looksAmiss(judged).filter(({ verdict }) => verdict === "missed")).toEqual([]);
  });

  it("is theirs alone whose alone it was", () => {
    const met = looksMet(watch(seen, { responsible: () => ["FJ"] }));
    expect(met.map(({ position, ruleId }) => [position, ruleId])).toEqual([["FJ", lookRule.id]]);
  });
});

describe("a matter that nobody saw", () => {
  // A wall of two before the pair on FJ's side, R too far off, LJ along it, BJ turned away.
  const shut = staged({
    ...along.people,
    w1: stand(player("B", "defender"), [47, 20.3]),
    w2: stand(player("B", "defender"), [47, 21.1]),
    w3: stand(player("B", "defender"), [46, 20.7]),
  });

  it("is one finding of the crew with what kept each of them from it, and the shortest step", () => {
    const found = looksAmiss(watch(shut));
    expect(found.map((finding) => [finding.position, finding.verdict])).toEqual([["crew", "missed"]]);
    const { sentence } = found[0]!;
    expect(sentence).toMatch(/^Nobody had the receiver and the defender 6 yd downfield in the middle of the field: /u);
    expect(sentence).toContain("LJ was straight-lined (0°)");
    expect(sentence).toMatch(/FJ had others in the way \(\d+ % clear\)/u);
    expect(sentence).toMatch(/A step of [\d.]+ yd .* would have opened it for (FJ|LJ)\.$/u);
    expect(looksOf(watch(shut)).officials.find(({ position }) => position === "FJ")).toMatchObject({ own: 1, seen: 0 });
  });

  it("is the finding of the one whose it was, in their name", () => {
    const [finding] = looksAmiss(watch(shut, { responsible: () => ["FJ"] }));
    expect([finding!.position, finding!.verdict]).toEqual(["FJ", "missed"]);
    expect(finding!.sentence).toMatch(/^FJ did not have the receiver and the defender .*: had others in the way/u);
  });

  it("cannot be told while somebody who may have had it is not marked", () => {
    const [finding] = looksAmiss(watch(without(shut, "BJ")));
    expect([finding!.verdict, finding!.help]).toEqual(["cannot tell", "Mark BJ in this frame."]);
    // Turned to the pair from their own side, BJ has it: all that is left is LJ, who watched it along the line.
    const turned = { ...shut.people["BJ"]!, at: fieldPoint(30, 24), facing: fieldPoint(36, 22) };
    const left = looksAmiss(watch(staged({ ...shut.people, BJ: turned })));
    expect(left.map(({ position }) => position)).toEqual(["LJ"]);
    expect(left[0]!.sentence).toMatch(/; BJ had it free/u);
  });

  it("is told by nobody's responsibility when the partner who saw it is not the one whose it was", () => {
    const judged = watch(along, { responsible: () => ["BJ"] });
    const [finding] = looksAmiss(judged);
    expect([finding!.position, finding!.verdict]).toEqual(["BJ", "missed"]);
    expect(finding!.sentence).toMatch(/; FJ had it free\./u);
    expect(looksOf(judged).coverage!.value).toBe(0);
  });
});

it("says nothing of looks before the snap, when there is nothing yet to be missed", () => {
  const judged = judge(along, { book: lookBook });
  expect([judged.looks, looksAmiss(judged)]).toEqual([null, []]);
});
