import { describe, expect, it } from "vitest";
import { asTheTemplate, type FieldChoices } from "#core/field/field-choices";
import { type FieldLayout, fieldOf } from "#core/field/template";
import { planFieldShapes, planMarginYards } from "#core/picture/plan-picture";
import type { Ink, PicturePoint, Shape } from "#core/picture/shape";

const layoutOf = (templateId: string, choices: Partial<FieldChoices> = {}): FieldLayout =>
  fieldOf({ templateId, fieldChoices: { ...asTheTemplate, ...choices } });

type Path = Extract<Shape, { kind: "path" }>;
const inked = (layout: FieldLayout, ink: Ink): Path[] =>
  planFieldShapes(layout).filter((shape): shape is Path => shape.kind === "path" && shape.ink === ink);
const labels = (layout: FieldLayout) =>
  planFieldShapes(layout).flatMap((shape) => (shape.kind === "label" ? [shape] : []));

/** Numbers as a person reads them from one sideline: digits left to right, two by two; upside down they read backwards. */
function numbersRead(layout: FieldLayout, from: "near" | "far"): string[] {
  const digits = labels(layout)
    .filter((label) => label.ink === "field-digit" && (label.turned === true) === (from === "far"))
    .toSorted((a, b) => (from === "near" ? 1 : -1) * (a.at[0] - b.at[0]));
  return digits.flatMap((digit, i) => (i % 2 === 0 ? [digit.text + digits[i + 1]!.text] : []));
}

const upAndDown = ["10", "20", "30", "40", "50", "40", "30", "20", "10"];

/** The mean of both coordinates, and the length, yards. */
function middleAndLength([[x0, y0], [x1, y1]]: readonly PicturePoint[] & { 0: PicturePoint; 1: PicturePoint }) {
  return { x: (x0 + x1) / 2, y: (y0 + y1) / 2, length: Math.hypot(x1 - x0, y1 - y0) };
}
const ends = (path: Path) =>
  middleAndLength(path.points as readonly PicturePoint[] & { 0: PicturePoint; 1: PicturePoint });

describe("the plan of a field", () => {
  it("numbers the lines as the field is numbered, to be read from both sidelines", () => {
    // Source: NCAA rule 1-2-1, field diagram: 10 to 50 and back.
    expect(numbersRead(layoutOf("ncaa"), "near")).toEqual(upAndDown);
    expect(numbersRead(layoutOf("ncaa"), "far")).toEqual(upAndDown);
    // Source: college intramural flag rules (NIRSA digest): 80 yd between goal lines.
    expect(numbersRead(layoutOf("flag-100x40"), "near")).toEqual(["10", "20", "30", "40", "30", "20", "10"]);
  });

  it("numbers the lines of a field that has none at the tens", () => {
    const custom = {
      name: "Gull Lane park",
      playLengthYards: 45,
      endZoneYards: 8,
      widthYards: 30,
      lineEveryYards: 15,
      tickEveryYards: 3,
      hashFromSidelineYards: null,
      numbersYards: { bottom: 5, top: 7 },
    };
    expect(numbersRead(layoutOf("custom", { custom }), "near")).toEqual(["15", "15"]);
  });

  it("straddles each line with its digits, between the published rows", () => {
    // Source: NCAA rules 1-2-1-i (tops 9 yd from the sideline, at most 6 ft high); NFL (bottoms at 12 yd, 6 ft high).
    for (const [id, near, far] of [
      ["ncaa", 8, 160 / 3 - 8],
      ["nfl", 13, 160 / 3 - 13],
    ] as const) {
      const layout = layoutOf(id);
      const digits = labels(layout).filter((label) => label.ink === "field-digit");
      expect(digits).toHaveLength(36);
      expect(labels(layout)).toEqual(digits);
      for (const turned of [false, true])
        expect(digits.filter((label) => label.turned === turned && label.at[0] % 10 > 5)).toHaveLength(9);
      for (const { at, turned } of digits) {
        expect(layout.widthYards - at[1]).toBeCloseTo(turned ? far : near, 9);
        // Source: the field-drawing package's data in the reference note on fields, 1 d: 1 ft clear, 4 ft wide.
        expect(Math.abs(at[0] - 10 * Math.round(at[0] / 10))).toBeCloseTo(1, 9);
      }
    }
  });

  it("numbers the lines below the field where no digits are painted", () => {
    const bare = layoutOf("ncaa", { numbers: "none" });
    expect(labels(bare).map(({ text }) => text)).toEqual(upAndDown);
    for (const { at } of labels(bare)) {
      expect(at[1]).toBeGreaterThan(bare.widthYards);
      expect(at[1]).toBeLessThan(bare.widthYards + planMarginYards);
    }
    // Source: IFAF flag rules 2023 (digest): one middle line, at 25.
    expect(labels(layoutOf("ifaf-5v5")).map(({ text }) => text)).toEqual(["25"]);
    expect(labels(layoutOf("youth-across-tackle"))).toEqual([]);
  });

  it("draws hash marks as 24-in ticks outward from the printed distance, one each yard but on the lines", () => {
    // Source: NCAA rules 2-12-7 (24 in); NFL rule 1 (1-yd pitch); 53 ft 4 in, 60 ft and 70 ft 9 in from the sideline.
    for (const [hashSet, feet] of [
      ["nfhs", 53 + 4 / 12],
      ["ncaa", 60],
      ["nfl", 70.75],
    ] as const) {
      const layout = layoutOf("ncaa", { hashSet });
      const rows = inked(layout, "field-mark").map(ends);
      const near = rows.filter(({ y }) => Math.abs(layout.widthYards - y - (feet / 3 - 1 / 3)) < 1e-9);
      const far = rows.filter(({ y }) => Math.abs(y - (feet / 3 - 1 / 3)) < 1e-9);
      expect([near.length, far.length]).toEqual([80, 80]);
      for (const { length } of [...near, ...far]) expect(length).toBeCloseTo(24 / 36, 9);
    }
    expect(inked(layoutOf("ncaa", { hashSet: "none" }), "field-mark")).toHaveLength(160 + 2);
  });

  it("draws goals to scale over the end lines", () => {
    // Source: NCAA rules 1-2-5 (18 ft 6 in); NFHS rule 1 digest (23 ft 4 in).
    for (const [id, feet] of [
      ["ncaa", 18.5],
      ["nfhs", 23 + 4 / 12],
    ] as const) {
      const goals = inked(layoutOf(id), "goal").map(ends);
      expect(goals.map(({ x }) => x)).toEqual([0, 120]);
      for (const { y, length } of goals) {
        expect(y).toBeCloseTo(80 / 3, 9);
        expect(length).toBeCloseTo(feet / 3, 9);
      }
    }
    expect(inked(layoutOf("flag-100x40"), "goal")).toEqual([]);
    expect(inked(layoutOf("ncaa", { goalWidth: "none" }), "goal")).toEqual([]);
  });

  it("shades the no-running zones and marks the spots of the try", () => {
    const spans = (id: string) =>
      inked(layoutOf(id), "no-running").map(({ points, closed }) => {
        const xs = points.map(([x]) => x);
        expect(closed).toBe(true);
        return [Math.min(...xs), Math.max(...xs)];
      });
    // Source: IFAF flag rules 2023 (digest): 5 yd before each goal line, which lie at 10 and 60; tries from 5 and 10.
    expect(spans("ifaf-5v5")).toEqual([
      [10, 15],
      [55, 60],
    ]);
    const tries = inked(layoutOf("ifaf-5v5"), "field-mark").map(ends);
    expect(tries.map(({ x }) => x).toSorted((a, b) => a - b)).toEqual([15, 20, 50, 55]);
    for (const { y, length } of tries) expect([y, length]).toEqual([12.5, 1]);
    // Source: youth leagues' pages: the same, and 5 yd before midfield, for either direction.
    expect(spans("youth-70x30")).toEqual([
      [10, 15],
      [30, 35],
      [35, 40],
      [55, 60],
    ]);
  });

  it("keeps apart what is another field's or beside the field", () => {
    const across = layoutOf("youth-across-tackle");
    expect(inked(across, "tackle-line").map(({ points }) => points.map(([, y]) => y))).toEqual(
      [25, 20, 15, 10, 5].map((y) => [y, y]),
    );
    // Source: NCAA rules 1-2-3, 1-2-4: 6 ft and 12 ft out.
    const bench = inked(layoutOf("ncaa"), "bench-line").map(ends);
    expect(bench.map(({ y }) => y).toSorted((a, b) => a - b)).toEqual([-4, -2, 160 / 3 + 2, 160 / 3 + 4]);
    for (const { y } of bench) expect(y).toBeGreaterThan(-planMarginYards);
  });
});
