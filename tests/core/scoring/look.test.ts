import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { sampleMark } from "#core/field/mark";
import { normalPairs, seededRandom } from "#core/field/random";
import { type FieldPoint, fieldPoint } from "#core/field/units";
import type { MarkSubject, PlayerRole, Side } from "#core/game/records";
import type { Book } from "#core/mechanics/book";
import { measuredFrom } from "#core/scoring/finding";
import type { JudgedMoment } from "#core/scoring/judge-moment";
import type { Look, MomentLooks } from "#core/scoring/look";
import { central } from "#core/scoring/look-samples";
import {
  blankTerms,
  clearShareOf,
  everybodyBut,
  type Eye,
  limitsOf,
  openCredit,
  qualityOf,
  sightOf,
  takeGap,
  takeOpenTerms,
  takeSight,
} from "#core/scoring/look-terms";
import type { Responsible } from "#core/scoring/matters";
import { lookRule } from "./look-rule.ts";
import {
  flagCrewBook,
  inPlace,
  judge,
  marksOf,
  momentHere,
  moved,
  type StagedPlay,
  type Standing,
  stakesOf,
  transformed,
  without,
} from "./staged-play.ts";

const book: Book = { ...flagCrewBook, looks: [lookRule] };
const official = (position: string): MarkSubject => ({ kind: "official", position });
const player = (side: Side, role: PlayerRole): MarkSubject => ({ kind: "player", side, role });
const stand = (subject: MarkSubject, at: readonly [number, number], faces?: readonly [number, number]): Standing => ({
  subject,
  at: fieldPoint(...at),
  ...(faces ? { facing: fieldPoint(...faces) } : {}),
});

function staged(people: StagedPlay["people"]): StagedPlay {
  return { ...inPlace, people };
}

/** Two seconds after the snap, with clicks as sharp as asked; 0.02 px leaves no error that a printed digit would show. */
function watch(
  play: StagedPlay,
  { sigmaPx = 0.02, responsible }: { sigmaPx?: number; responsible?: Responsible } = {},
) {
  const stakes = stakesOf(play.camera).map((stake) => ({ ...stake, sigmaPx }));
  const moment = { ...momentHere, phase: "zone" as const };
  return judge(play, { marks: marksOf(play, sigmaPx), book, stakes, moment, responsible });
}

function looksOf(judged: JudgedMoment): MomentLooks {
  if (judged.looks === null) throw new Error("no looks were judged");
  return judged.looks;
}

function lookOf(judged: JudgedMoment, position: string, matterId = "a+b"): Look {
  const matter = looksOf(judged).matters.find((one) => one.matter.id === matterId);
  const look = matter?.looks.find((one) => one.position === position);
  if (!look) throw new Error(`${position} has no look at ${matterId}`);
  return look;
}

const lookFindings = (judged: JudgedMoment) => judged.findings.filter((finding) => finding.ruleId === lookRule.id);

const degrees = (radians: number) => (radians * 180) / Math.PI;

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
    expect(lookFindings(judged)).toEqual([]);
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

/** The line judge looks along the pair from 6 yd; the field judge has it square. Common practice, no source. */
const along = staged({
  R: stand(official("R"), [22, 18], [22, 10]),
  LJ: stand(official("LJ"), [40, 14.5], [40, 18]),
  FJ: stand(official("FJ"), [52, 20.75], [46, 20.75]),
  BJ: stand(official("BJ"), [43, 36], [53, 36]),
  a: stand(player("A", "receiver"), [40, 20]),
  b: stand(player("B", "defender"), [40, 21.5]),
});

describe("a straight-lined look", () => {
  const theirs: Responsible = () => ["LJ"];

  it("is a fault of the official whose matter it is, and says that a partner had it free and which step opens it", () => {
    const judged = watch(along, { responsible: theirs });
    const found = lookFindings(judged);
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
    expect(lookFindings(watch(staged({ ...along.people, LJ: elsewhere })))).toEqual([]);
    // Marked as turned to it, they were looking.
    const found = lookFindings(watch(along));
    expect(found.map((finding) => [finding.position, finding.verdict])).toEqual([["LJ", "missed"]]);
  });

  it("cannot be told when the marks' errors reach across the limit", () => {
    // 8° off the line: within the 10°, by less than the marks are good for.
    const off = moved(along, "LJ", 6.25 * Math.tan((8 * Math.PI) / 180), 0);
    const [finding] = lookFindings(watch(off, { sigmaPx: 3, responsible: theirs }));
    expect(finding).toMatchObject({ position: "LJ", verdict: "cannot tell" });
    expect(finding!.sentence).toMatch(/may have been straight-lined|cannot be told/u);
    expect(finding!.help).toMatch(/Click the two players more closely/u);
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
    const found = lookFindings(watch(shut));
    expect(found.map((finding) => [finding.position, finding.verdict])).toEqual([["crew", "missed"]]);
    const { sentence } = found[0]!;
    expect(sentence).toMatch(/^Nobody had the receiver and the defender 6 yd downfield in the middle of the field: /u);
    expect(sentence).toContain("LJ was straight-lined (0°)");
    expect(sentence).toMatch(/FJ had others in the way \(\d+ % clear\)/u);
    expect(sentence).toMatch(/A step of [\d.]+ yd .* would have opened it for (FJ|LJ)\.$/u);
    expect(looksOf(watch(shut)).officials.find(({ position }) => position === "FJ")).toMatchObject({ own: 1, seen: 0 });
  });

  it("is the finding of the one whose it was, in their name", () => {
    const [finding] = lookFindings(watch(shut, { responsible: () => ["FJ"] }));
    expect([finding!.position, finding!.verdict]).toEqual(["FJ", "missed"]);
    expect(finding!.sentence).toMatch(/^FJ did not have the receiver and the defender .*: had others in the way/u);
  });

  it("cannot be told while somebody who may have had it is not marked", () => {
    const [finding] = lookFindings(watch(without(shut, "BJ")));
    expect([finding!.verdict, finding!.help]).toEqual(["cannot tell", "Mark BJ in this frame."]);
    // Turned to the pair from their own side, BJ has it: all that is left is LJ, who watched it along the line.
    const turned = { ...shut.people["BJ"]!, at: fieldPoint(30, 24), facing: fieldPoint(36, 22) };
    const left = lookFindings(watch(staged({ ...shut.people, BJ: turned })));
    expect(left.map(({ position }) => position)).toEqual(["LJ"]);
    expect(left[0]!.sentence).toMatch(/; BJ had it free/u);
  });

  it("is told by nobody's responsibility when the partner who saw it is not the one whose it was", () => {
    const judged = watch(along, { responsible: () => ["BJ"] });
    const [finding] = lookFindings(judged);
    expect([finding!.position, finding!.verdict]).toEqual(["BJ", "missed"]);
    expect(finding!.sentence).toMatch(/; FJ had it free\./u);
    expect(looksOf(judged).coverage!.value).toBe(0);
  });
});

describe("what a moment is worth does not depend on how it is looked at", () => {
  const crowd = staged({
    ...along.people,
    c: stand(player("A", "receiver"), [38, 30]),
    d: stand(player("B", "defender"), [39.2, 30.6]),
    e: stand(player("A", "passer"), [30, 19]),
    f: stand(player("B", "rusher"), [31.5, 19.5]),
    g: stand(player("A", "back"), [29, 24]),
    h: stand(player("B", "defender"), [46, 21]),
  });
  const figures = (judged: JudgedMoment) =>
    looksOf(judged).matters.flatMap(({ matter, looks }) =>
      looks.map((look) => [matter.id, matter.weight, look.position, look.quality, look.step?.yards ?? 0] as const),
    );

  it("scores the same in a mirror and turned round", () => {
    const here = watch(crowd);
    for (const kind of ["mirrored", "turned"] as const) {
      const there = watch(transformed(crowd, kind));
      for (const [i, [id, weight, position, quality, step]] of figures(here).entries()) {
        const other = figures(there)[i]!;
        expect([other[0], other[2], other[4]]).toEqual([id, position, step]);
        expect(other[1]).toBeCloseTo(weight, 6);
        expect(other[3]).toBeCloseTo(quality, 4);
      }
      expect(looksOf(there).coverage!.value).toBeCloseTo(looksOf(here).coverage!.value, 4);
      expect(lookFindings(there).map(({ position, verdict }) => [position, verdict])).toEqual(
        lookFindings(here).map(({ position, verdict }) => [position, verdict]),
      );
    }
  });

  it("gives the same bytes whatever the order of the marks, and every time", () => {
    const marks = marksOf(crowd);
    const options = { book, moment: { ...momentHere, phase: "zone" as const } };
    const once = judge(crowd, { ...options, marks });
    for (const order of [marks, marks.toReversed(), [...marks.slice(5), ...marks.slice(0, 5)]]) {
      const again = judge(crowd, { ...options, marks: order });
      expect(JSON.stringify([again.looks, again.findings])).toBe(JSON.stringify([once.looks, once.findings]));
    }
  });

  it("states probabilities and an interval that a plain count over other samples gives", () => {
    const judged = watch(crowd, { sigmaPx: 2 });
    const looks = looksOf(judged);
    const people = judged.placed.filter(({ subject }) => subject.kind !== "ball");
    const count = 6000;
    const places = people.map(({ measured }, i) => sampleMark(measured, normalPairs(seededRandom(900 + i), count)));
    const facings = people.map(({ facing }, i) =>
      facing ? sampleMark(facing, normalPairs(seededRandom(500 + i), count)) : null,
    );
    const index = (id: string) => people.findIndex(({ markId }) => markId === id);
    const seen = new Map<string, number>();
    const coverages = new Float64Array(count);
    const whole = looks.matters.reduce((sum, { matter }) => sum + matter.weight, 0);
    for (let s = 0; s < count; s++) {
      const bodies = {
        x: Float64Array.from(places, (place) => place[2 * s]!),
        y: Float64Array.from(places, (place) => place[2 * s + 1]!),
      };
      for (const { matter, looks: each } of looks.matters) {
        const pair = { a: index(matter.player.markId), b: matter.opponent ? index(matter.opponent.markId) : -1 };
        let best = 0;
        for (const { position, markId } of each) {
          const self = index(markId);
          const [x, y] = [bodies.x[self]!, bodies.y[self]!];
          const ahead = facings[self]!;
          const eye = { x, y, self, facingX: ahead[2 * s]! - x, facingY: ahead[2 * s + 1]! - y, facingKnown: true };
          const quality = plainly(eye, bodies, pair);
          best = Math.max(best, quality);
          const key = `${position} ${matter.id}`;
          if (quality >= lookRule.seenFrom) seen.set(key, (seen.get(key) ?? 0) + 1);
        }
        coverages[s]! += (matter.weight * best) / whole;
      }
    }
    let unsure = 0;
    for (const { matter, looks: each } of looks.matters) {
      for (const look of each) {
        const share = (seen.get(`${look.position} ${matter.id}`) ?? 0) / count;
        // Four standard deviations of 200 samples, and a little for the plain count's own.
        expect(Math.abs(look.probabilitySeen - share)).toBeLessThan(4 * Math.sqrt((share * (1 - share)) / 200) + 0.02);
        if (share > 0.05 && share < 0.95) unsure++;
      }
    }
    expect(unsure).toBeGreaterThan(2);
    for (const { value, low, high } of [
      looks.coverage!,
      ...looks.matters.flatMap(({ looks: each }) => each.map((look) => look.qualityInterval)),
    ]) {
      expect(low).toBeLessThanOrEqual(value);
      expect(high).toBeGreaterThanOrEqual(value);
    }
    const { low, high } = measuredFrom(coverages);
    expect(looks.coverage!.low).toBeCloseTo(low, 1);
    expect(looks.coverage!.high).toBeCloseTo(high, 1);
  });
});

it("holds the reading within its interval where errors can only take away from it", () => {
  // Seven pairs all about, each at the least angle that has full credit: any error of any of them takes something off.
  const pairs = Array.from({ length: 7 }, (_, i) => {
    const bearing = (2 * Math.PI * i) / 7;
    const [x, y] = [40 + 10 * Math.cos(bearing), 20 + 10 * Math.sin(bearing)];
    const turned = bearing + (30.01 * Math.PI) / 180;
    const [dx, dy] = [0.6 * Math.cos(turned), 0.6 * Math.sin(turned)];
    return [
      [`a${i}`, stand(player("A", "receiver"), [x - dx, y - dy])],
      [`b${i}`, stand(player("B", "defender"), [x + dx, y + dy])],
    ] as const;
  });
  const play = staged({ LJ: stand(official("LJ"), [40, 20]), ...Object.fromEntries(pairs.flat()) });
  const { value, low, high } = looksOf(watch(play, { sigmaPx: 3 })).coverage!;
  expect(value).toBeGreaterThan(0.99);
  expect(high).toBe(value);
  expect(low).toBeLessThan(0.9);
});

/** A look by its separate terms, every body looked at. */
function plainly(eye: Eye, bodies: { x: Float64Array; y: Float64Array }, pair: { a: number; b: number }): number {
  const terms = blankTerms();
  const sight = sightOf(bodies.x.length);
  takeSight(sight, eye, bodies);
  takeOpenTerms(terms, eye, sight, pair, lookRule);
  takeGap(terms, sight, pair, lookRule.bodyRadiusYards);
  terms.clearShare = clearShareOf(sight, eye, pair, everybodyBut(eye.self, bodies.x.length), lookRule.bodyRadiusYards);
  return qualityOf(terms);
}

describe("the quick ways", () => {
  it("to the open credit: the product of the terms, wherever anybody stands", () => {
    const yards = fc.double({ min: -20, max: 20, noNaN: true });
    const spot = fc.tuple(yards, yards);
    const limits = limitsOf(lookRule);
    const point = (at: readonly [number, number]): FieldPoint => fieldPoint(...at);
    let between = 0;
    fc.assert(
      fc.property(spot, spot, fc.tuple(yards, yards), fc.boolean(), ([x, y], a, off, facingKnown) => {
        // A facing of no length is turned nowhere.
        fc.pre(Math.hypot(...off) > 1e-6);
        const b = [a[0] + off[0] / 10, a[1] + off[1] / 10] as const;
        const spots = [point(a), point(b)];
        const bodies = {
          x: Float64Array.from(spots, ({ xYards }) => xYards),
          y: Float64Array.from(spots, ({ yYards }) => yYards),
        };
        const eye: Eye = { x, y, self: -1, facingX: off[1], facingY: -off[0], facingKnown };
        const sight = sightOf(2);
        takeSight(sight, eye, bodies);
        for (const pair of [
          { a: 0, b: 1 },
          { a: 1, b: 0 },
          { a: 0, b: -1 },
        ]) {
          const terms = blankTerms();
          takeOpenTerms(terms, eye, sight, pair, lookRule);
          takeGap(terms, sight, pair, lookRule.bodyRadiusYards);
          const product = terms.angleCredit * terms.rangeCredit * terms.facingCredit * terms.gapCredit;
          if (product > 0 && product < 1) between++;
          expect(Math.max(0, openCredit(eye, sight, pair, limits))).toBeCloseTo(product, 9);
        }
      }),
      { seed: 3, numRuns: 8000 },
    );
    expect(between).toBeGreaterThan(500);
  });

  it("to the middle 95 %: what putting all samples in order gives", () => {
    for (const length of [1, 7, 200, 1500]) {
      const samples = normalPairs(seededRandom(length), length).subarray(0, length);
      const quick = central(samples);
      const slow = measuredFrom(samples.slice());
      expect([quick.low, quick.high]).toEqual([slow.low, slow.high]);
      expect(quick.value).toBeCloseTo(slow.value, 12);
    }
  });
});

it("says nothing of looks before the snap, when there is nothing yet to be missed", () => {
  const judged = judge(along, { book });
  expect([judged.looks, lookFindings(judged)]).toEqual([null, []]);
});
