import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { fieldChoicesShape } from "#core/contract/shapes";
import { type CustomDraft, draftFrom, readCustomField } from "#core/field/custom-field";
import { asTheTemplate, type CustomField } from "#core/field/field-choices";
import { feetText, readYards, yardsText } from "#core/field/measure-words";
import { fieldOf, templateById, templates } from "#core/field/template";

describe("lengths in words", () => {
  // Source: the rule books' own print of the same lengths (NCAA 1-2, NFHS rule 1, NFL rule 1 and glossary).
  test.each([
    [160 / 3, "160 ft", "53 1/3"],
    [20, "60 ft", "20"],
    [160 / 9, "53 ft 4 in", "17 7/9"],
    [283 / 12, "70 ft 9 in", "23.583"],
    [37 / 6, "18 ft 6 in", "6.167"],
    [70 / 9, "23 ft 4 in", "7 7/9"],
    [40 / 3, "40 ft", "13 1/3"],
    [15, "45 ft", "15"],
    [1 / 9, "0 ft 4 in", "1/9"],
  ])("%f yd", (yards, inFeet, inYards) => {
    expect(feetText(yards)).toBe(inFeet);
    expect(yardsText(yards)).toBe(inYards);
  });

  test("never twelve inches", () => {
    expect(feetText(4 - 1e-6)).toBe("12 ft");
    expect(feetText(4 - 1 / 72)).toBe("11 ft 11.5 in");
  });

  test.each([
    ["53 1/3", 160 / 3],
    [" 53  1/3 ", 160 / 3],
    ["1/2", 0.5],
    ["53.5", 53.5],
    ["53,5", 53.5],
    ["40", 40],
  ])("reads %j", (text, yards) => expect(readYards(text)).toBe(yards));

  test.each(["", "forty", "4o", "-5", "1/0", "5.", "1e3", "53 1/3 yd", "5 5", "Infinity"])("refuses %j", (text) =>
    expect(readYards(text)).toBeNull(),
  );

  test("reads back what it writes, to a thousandth of a yard", () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 200, noNaN: true }), (yards) => {
        expect(Math.abs(readYards(yardsText(yards))! - yards)).toBeLessThan(0.000_51);
      }),
      { seed: 4, numRuns: 500 },
    );
  });
});

const good: CustomDraft = {
  name: "Gull Lane park",
  playLength: "45",
  endZone: "8",
  width: "30",
  lineEvery: "15",
  tickEvery: "5",
  hashFromSideline: "10",
  numberBottom: "",
  numberTop: "",
};

function sentences(part: Partial<CustomDraft>): string[] {
  const read = readCustomField({ ...good, ...part });
  return read.ok ? [] : read.problems.map((problem) => `${problem.part}: ${problem.sentence}`);
}

function accepted(part: Partial<CustomDraft> = {}): CustomField {
  const read = readCustomField({ ...good, ...part });
  if (!read.ok) throw new Error(read.problems.map(({ sentence }) => sentence).join(" "));
  return read.custom;
}

describe("a field of one's own measures", () => {
  test("is laid out as it was given", () => {
    const layout = fieldOf({ templateId: "custom", fieldChoices: { ...asTheTemplate, custom: accepted() } });
    expect(layout.template.name).toBe("Gull Lane park");
    expect([layout.leftGoalXYards, layout.rightGoalXYards, layout.totalLengthYards]).toEqual([8, 53, 61]);
    expect(layout.widthYards).toBe(30);
    expect(layout.hashYYards).toEqual({ near: 10, far: 20 });
    const lines = layout.lines.filter(({ kind }) => kind === "yard-line");
    expect(lines.map(({ id, from }) => [id, from.xYards])).toEqual([
      ["L15", 23],
      ["R15", 38],
    ]);
    // 45 yd have no line at their middle here, and 22 1/2 is no multiple of five.
    expect(layout.landmarks.filter(({ id }) => id.startsWith("near-hash/")).map(({ id }) => id.slice(10))).toEqual([
      "L5",
      "L10",
      "L15",
      "L20",
      "R20",
      "R15",
      "R10",
      "R5",
    ]);
  });

  test("takes the choice of goal posts too", () => {
    const choices = { ...asTheTemplate, goalWidth: "18-6", custom: accepted() } as const;
    expect(fieldOf({ templateId: "custom", fieldChoices: choices }).goalYards).toBeCloseTo(18.5 / 3, 9);
  });

  test("leaves out rows for which it has no room", () => {
    const custom = { ...accepted(), hashFromSidelineYards: 15, numbersYards: { bottom: 14, top: 16 } };
    const layout = fieldOf({ templateId: "custom", fieldChoices: { ...asTheTemplate, custom } });
    expect([layout.hashYYards, layout.numbersYards]).toEqual([null, null]);
  });

  test("has no end lines of its own where it has no end zones", () => {
    const custom = accepted({ endZone: "0" });
    const layout = fieldOf({ templateId: "custom", fieldChoices: { ...asTheTemplate, custom } });
    expect(layout.totalLengthYards).toBe(45);
    expect(layout.landmarks.some(({ id }) => id.endsWith("-end"))).toBe(false);
    expect(layout.landmarks.filter(({ id }) => id === "near-sideline/L-goal")[0]!.at.xYards).toBe(0);
  });

  test.each([
    [{ lineEvery: "10" }, "lineEvery: The lines do not fit: 45 yd cannot be divided by 10."],
    [{ lineEvery: "50" }, "lineEvery: The lines do not fit: 45 yd cannot be divided by 50."],
    [{ tickEvery: "4" }, "tickEvery: The short marks do not fit: 15 yd from line to line cannot be divided by 4."],
    [
      { hashFromSideline: "15" },
      "hashFromSideline: The hash marks do not fit: 15 yd from each sideline reaches the middle of a field 30 yd wide.",
    ],
    [
      { hashFromSideline: "0" },
      "hashFromSideline: The hash marks do not fit: 0 yd from each sideline is on the sideline itself.",
    ],
    [
      { numberBottom: "14", numberTop: "16" },
      "numberTop: The digits do not fit: 16 yd from each sideline reaches the middle of a field 30 yd wide.",
    ],
    [
      { numberBottom: "9", numberTop: "7" },
      "numberTop: The tops of the digits must be farther from the sideline than their bottoms.",
    ],
    [{ numberBottom: "7" }, "numberTop: Give the tops of the digits too, or neither."],
    [{ numberTop: "9" }, "numberBottom: Give the bottoms of the digits too, or neither."],
    [{ name: "  " }, "name: The field needs a name."],
    [{ name: "x".repeat(81) }, "name: A name may be 80 letters long at most."],
    [{ width: "" }, "width: The width is missing."],
    [{ width: "3" }, "width: The width must be 5 to 100 yd."],
    [{ playLength: "4o" }, "playLength: “4o” is no distance in yards. Write it like 40, 53.5 or 53 1/3."],
    [{ endZone: "31" }, "endZone: An end zone must be 0 to 30 yd."],
  ])("says what is wrong with %j", (part, sentence) => expect(sentences(part)).toEqual([sentence]));

  test("says everything that is wrong at once", () => {
    expect(sentences({ name: "", width: "x", lineEvery: "7" }).map((one) => one.split(":")[0])).toEqual([
      "name",
      "width",
      "lineEvery",
      "tickEvery",
    ]);
  });

  test("divides thirds of a yard", () => {
    expect(accepted({ playLength: "33 1/3", lineEvery: "16 2/3", tickEvery: "" }).lineEveryYards).toBeCloseTo(
      50 / 3,
      9,
    );
    expect(sentences({ playLength: "33.3", lineEvery: "16 2/3", tickEvery: "" })).toHaveLength(1);
  });

  test("takes every field of the national variants of IFAF", () => {
    // Source: IFAF national variants of rule 1-1-1: 40 to 60 by 20 to 30 yd, width by half the change of length, end
    // zones of at least 8 yd.
    for (let length = 40; length <= 60; length += 2) {
      const [half, width] = [length / 2, 25 + (length - 50) / 2];
      const sizes = { playLength: `${length}`, width: `${width}`, lineEvery: `${half}`, tickEvery: "" };
      expect(accepted({ ...sizes, hashFromSideline: "" }).widthYards).toBe(width);
    }
  });

  test("starts from any template's own sizes and comes back as them", () => {
    for (const template of templates) {
      if (template.id === "youth-across-tackle") continue;
      const read = readCustomField(draftFrom(template, "Copy"));
      if (!read.ok) throw new Error(`${template.id}: ${read.problems[0]!.sentence}`);
      const { custom } = read;
      expect(custom.playLengthYards).toBe(template.playLengthYards);
      expect(custom.widthYards).toBe(template.widthYards);
      expect(custom.numbersYards).toEqual(template.numbersYards);
      const hash = template.hashFromSidelineYards;
      if (hash === null) expect(custom.hashFromSidelineYards).toBeNull();
      else expect(Math.abs(custom.hashFromSidelineYards! - hash)).toBeLessThan(0.000_51);
    }
    expect(draftFrom(templateById("ncaa")!, "x").width).toBe("53 1/3");
  });

  test("is one the library takes, with a place for everything, whenever it is accepted", () => {
    const measure = fc.oneof(
      fc.constantFrom("", "0", "7.5", "53 1/3", "x"),
      fc.integer({ min: 0, max: 250 }).map(String),
    );
    const name = fc.constantFrom("Gull Lane park", "", "x".repeat(80), "x".repeat(81));
    const anything = fc.record({
      name,
      playLength: measure,
      endZone: measure,
      width: measure,
      lineEvery: measure,
      tickEvery: measure,
      hashFromSideline: measure,
      numberBottom: measure,
      numberTop: measure,
    });
    const number = (min: number, max: number) => fc.integer({ min, max });
    const divisible = fc
      .tuple(number(1, 6), number(1, 6), number(1, 9), number(0, 40), number(3, 110), number(0, 60), number(0, 60))
      .map(([tick, ticks, lines, zone, width, hash, bottom]) => ({
        name: "Gull Lane park",
        playLength: `${tick * ticks * lines}`,
        endZone: `${zone}`,
        width: `${width}`,
        lineEvery: `${tick * ticks}`,
        tickEvery: zone % 3 === 0 ? "" : `${tick}`,
        hashFromSideline: hash > 40 ? "" : `${hash}`,
        numberBottom: bottom > 20 ? "" : `${bottom}`,
        numberTop: bottom > 20 ? "" : `${bottom + 2}`,
      }));
    let taken = 0;
    fc.assert(
      fc.property(fc.oneof(anything, divisible), (draft) => {
        const read = readCustomField(draft);
        if (!read.ok) {
          expect(read.problems.length).toBeGreaterThan(0);
          return;
        }
        taken++;
        const choices = { ...asTheTemplate, custom: read.custom };
        expect(fieldChoicesShape.parse(choices)).toEqual(choices);
        const { landmarks, lines, totalLengthYards, widthYards } = fieldOf({
          templateId: "custom",
          fieldChoices: choices,
        });
        expect(new Set([...landmarks, ...lines].map(({ id }) => id)).size).toBe(landmarks.length + lines.length);
        for (const { at } of landmarks) {
          expect(at.xYards >= 0 && at.xYards <= totalLengthYards).toBe(true);
          expect(at.yYards >= 0 && at.yYards <= widthYards).toBe(true);
        }
      }),
      { seed: 11, numRuns: 1500 },
    );
    expect(taken).toBeGreaterThan(100);
  });
});
