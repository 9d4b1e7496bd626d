import { describe, expect, test } from "vitest";
import { asTheTemplate, type FieldChoices, goalWidths, hashSets, numberPositions } from "#core/field/field-choices";
import { type FieldLayout, fieldOf, templates } from "#core/field/template";

/**
 * Fields as published. The numbers are those that the rule books and digests named at each row print, in their own units
 * (feet and inches, yards, metres); 1 yd is 0.9144 m by definition.
 */
const feet = (whole: number, inches = 0): number => (whole + inches / 12) / 3;
const metres = (value: number): number => value / 0.9144;

const layoutOf = (templateId: string, choices: Partial<FieldChoices> = {}): FieldLayout =>
  fieldOf({ templateId, fieldChoices: { ...asTheTemplate, ...choices } });

function at(layout: FieldLayout, landmarkId: string): readonly [number, number] {
  const found = layout.landmarks.find(({ id }) => id === landmarkId);
  if (found === undefined) throw new Error(`no landmark ${landmarkId}`);
  return [found.at.xYards, found.at.yYards];
}

function lineOf(layout: FieldLayout, lineId: string) {
  const found = layout.lines.find(({ id }) => id === lineId);
  if (found === undefined) throw new Error(`no line ${lineId}`);
  return found;
}

const rowY = (layout: FieldLayout, lineId: string): number => {
  const { from, to } = lineOf(layout, lineId);
  expect(from.yYards).toBe(to.yYards);
  return from.yYards;
};

describe("tackle fields of eleven", () => {
  // Sources: NCAA 2016-17 rules 1-2, 2-12-2; NFHS rule 1 digest; NFL rule 1 sections 1-2.
  test.each(["ncaa", "nfhs", "nfl"])("%s: 360 by 160 ft, 109.728 by 48.768 m, end zones of 30 ft", (id) => {
    const layout = layoutOf(id);
    expect(layout.totalLengthYards).toBeCloseTo(feet(360), 9);
    expect(layout.totalLengthYards).toBeCloseTo(metres(109.728), 9);
    expect(layout.widthYards).toBeCloseTo(feet(160), 9);
    expect(layout.widthYards).toBeCloseTo(metres(48.768), 9);
    expect(layout.rightGoalXYards - layout.leftGoalXYards).toBeCloseTo(metres(91.44), 9);
    expect(layout.leftGoalXYards).toBeCloseTo(feet(30), 9);
  });

  // Sources: NCAA 1-2-1, 2-12-7; NFHS rule 1 digest; NFL operations glossary, hashmarks. Metres to the millimetre.
  test.each([
    ["ncaa", feet(60), 18.288, feet(40), 12.192],
    ["nfhs", feet(53, 4), 16.256, feet(53, 4), 16.256],
    ["nfl", feet(70, 9), 21.565, feet(18, 6), 5.639],
  ])("%s: hash marks from the sideline and from row to row", (id, inYards, inMetres, apartYards, apartMetres) => {
    const layout = layoutOf(id);
    const [near, far] = [rowY(layout, "near-hash"), rowY(layout, "far-hash")];
    expect(near).toBeCloseTo(inYards, 9);
    expect(near * 0.9144).toBeCloseTo(inMetres, 3);
    expect(far - near).toBeCloseTo(apartYards, 9);
    expect((far - near) * 0.9144).toBeCloseTo(apartMetres, 3);
    expect(layout.widthYards - far).toBeCloseTo(near, 9);
  });

  // Sources: NCAA 1-2-5 (18 ft 6 in, 5.639 m), NFHS rule 1 digest (23 ft 4 in, 7.112 m); post bases as in the reference
  // note on fields, section 4: 26.667 ± 3.083, ± 3.889.
  test.each([
    ["ncaa", feet(18, 6), 5.639, 3.083],
    ["nfl", feet(18, 6), 5.639, 3.083],
    ["nfhs", feet(23, 4), 7.112, 3.889],
  ])("%s: goal posts stand on the end lines, so far apart", (id, apartYards, apartMetres, offYards) => {
    const layout = layoutOf(id);
    expect(layout.goalYards).toBeCloseTo(apartYards, 9);
    expect(layout.goalYards! * 0.9144).toBeCloseTo(apartMetres, 3);
    for (const [letter, x] of [
      ["L", 0],
      ["R", 120],
    ] as const) {
      const [near, far] = [at(layout, `goal-post/${letter}-near`), at(layout, `goal-post/${letter}-far`)];
      expect([near[0], far[0]]).toEqual([x, x]);
      expect(80 / 3 - near[1]).toBeCloseTo(offYards, 3);
      expect(far[1] - 80 / 3).toBeCloseTo(offYards, 3);
    }
  });

  test("the professional hash rows line up with the posts", () => {
    // Source: NFL operations glossary, hashmarks.
    const nfl = layoutOf("nfl");
    expect(at(nfl, "goal-post/L-near")[1]).toBeCloseTo(rowY(nfl, "near-hash"), 9);
    expect(at(nfl, "goal-post/R-far")[1]).toBeCloseTo(rowY(nfl, "far-hash"), 9);
  });

  // Sources: NCAA 1-2-1-i (tops 9 yd in), NFL number placement (bottoms 12 yd in); digits 6 ft high.
  test.each([
    ["ncaa", 7, 9],
    ["nfhs", 7, 9],
    ["nfl", 12, 14],
  ])("%s: digits' bottoms and tops %f and %f yd in", (id, bottom, top) => {
    const layout = layoutOf(id);
    expect(rowY(layout, "near-number-bottoms")).toBe(bottom);
    expect(rowY(layout, "near-number-tops")).toBe(top);
    expect(layout.widthYards - rowY(layout, "far-number-tops")).toBeCloseTo(top, 9);
    expect(layout.widthYards - rowY(layout, "far-number-bottoms")).toBeCloseTo(bottom, 9);
    expect(top - bottom).toBeCloseTo(feet(6), 9);
  });

  test("the coaching line lies 6 ft out between the 25s, the limit line 12 ft out", () => {
    // Source: NCAA rules 1-2-3, 1-2-4.
    const ncaa = layoutOf("ncaa");
    expect(rowY(ncaa, "near-coaching-line")).toBeCloseTo(-feet(6), 9);
    expect(rowY(ncaa, "far-coaching-line")).toBeCloseTo(feet(166), 9);
    expect(rowY(ncaa, "near-limit-line")).toBeCloseTo(-feet(12), 9);
    expect(rowY(ncaa, "far-limit-line")).toBeCloseTo(feet(172), 9);
    const { from, to } = lineOf(ncaa, "near-coaching-line");
    expect([from.xYards, to.xYards]).toEqual([at(ncaa, "near-sideline/L25")[0], at(ncaa, "near-sideline/R25")[0]]);
  });

  test("the try mark lies on the 3, on the professional 2", () => {
    // Sources: NFHS rule 1 digest; at second hand for NCAA and NFL.
    for (const [id, yards] of [
      ["ncaa", 3],
      ["nfhs", 3],
      ["nfl", 2],
    ] as const) {
      const layout = layoutOf(id);
      expect(at(layout, `try-mark/L${yards}`)).toEqual([10 + yards, 80 / 3]);
      expect(at(layout, `try-mark/R${yards}`)).toEqual([110 - yards, 80 / 3]);
    }
  });

  test("lines are 4 in wide, a professional goal line 8 in", () => {
    // Sources: NCAA 1-2, NFHS rule 1 digest; the field-drawing package's data for the NFL goal line.
    const inches = (id: string, lineId: string) => lineOf(layoutOf(id), lineId).paintYards! * 36;
    expect(inches("ncaa", "L20")).toBeCloseTo(4, 9);
    expect(inches("nfl", "L20")).toBeCloseTo(4, 9);
    expect(inches("nfhs", "R-goal")).toBeCloseTo(4, 9);
    expect(inches("nfl", "R-goal")).toBeCloseTo(8, 9);
    expect(lineOf(layoutOf("nfl"), "near-hash").paintYards).toBeNull();
  });
});

describe("smaller tackle fields", () => {
  // Source: the field-drawing package's data, and the encyclopaedia text on the eight-man game (45 ft).
  test.each([
    ["nfhs-9", (40 - 7.78) / 2, 7.78],
    ["nfhs-8", feet(45), 10],
    ["nfhs-6", 15, 10],
  ])("%s: 80 × 40 yd, hash rows %f yd in and %f yd apart, digits from 5 yd", (id, inYards, apartYards) => {
    const layout = layoutOf(id);
    expect(layout.rightGoalXYards - layout.leftGoalXYards).toBe(80);
    expect([layout.leftGoalXYards, layout.totalLengthYards, layout.widthYards]).toEqual([10, 100, 40]);
    expect(rowY(layout, "near-hash")).toBeCloseTo(inYards, 2);
    expect(rowY(layout, "far-hash") - rowY(layout, "near-hash")).toBeCloseTo(apartYards, 2);
    expect(rowY(layout, "near-number-bottoms")).toBe(5);
    expect(layout.goalYards).toBeCloseTo(feet(23, 4), 9);
  });
});

describe("flag fields", () => {
  const xOf = (layout: FieldLayout, kind: string) =>
    layout.lines.filter((line) => line.kind === kind).map(({ from }) => from.xYards);

  // Sources: IFAF 2023 digest (5v5 and 7v7; metres as printed for 5v5); youth leagues' pages; college intramural rules.
  test.each([
    ["ifaf-5v5", 50, 25, [35], [15, 55]],
    ["ifaf-7v7", 50, 30, [35], [15, 55]],
    ["youth-70x25", 50, 25, [35], [15, 30, 40, 55]],
    ["youth-70x30", 50, 30, [35], [15, 30, 40, 55]],
    ["flag-100x40", 80, 40, [30, 50, 70], []],
    ["flag-60x30", 40, 30, [30], []],
  ] as const)("%s: %i yd of play, %i yd wide, with its lines and no-running lines", (id, play, width, lines, noRun) => {
    const layout = layoutOf(id);
    expect(layout.rightGoalXYards - layout.leftGoalXYards).toBe(play);
    expect([layout.leftGoalXYards, layout.totalLengthYards, layout.widthYards]).toEqual([10, play + 20, width]);
    expect(xOf(layout, "yard-line")).toEqual(lines);
    expect(xOf(layout, "no-run-line")).toEqual(noRun);
  });

  test("IFAF 5v5 is 45.72 by 22.86 m, and 76 by 31 yd with 3 yd of safety round it", () => {
    // Source: IFAF flag football rules 2023 (digest).
    const layout = layoutOf("ifaf-5v5");
    expect(layout.rightGoalXYards - layout.leftGoalXYards).toBeCloseTo(metres(45.72), 9);
    expect(layout.widthYards).toBeCloseTo(metres(22.86), 9);
    expect([layout.totalLengthYards + 6, layout.widthYards + 6]).toEqual([76, 31]);
  });

  // Sources: IFAF 2023 digest (5 and 10 yd); college intramural rules (3 and 10 yd). Centred between the sidelines.
  test.each([
    ["ifaf-5v5", [5, 10], 12.5],
    ["flag-100x40", [3, 10], 20],
    ["flag-60x30", [3, 10], 15],
  ] as const)("%s: try marks at %j yd, in the middle", (id, marks, middle) => {
    const layout = layoutOf(id);
    for (const yards of marks) {
      expect(at(layout, `try-mark/L${yards}`)).toEqual([10 + yards, middle]);
      expect(at(layout, `try-mark/R${yards}`)).toEqual([layout.totalLengthYards - 10 - yards, middle]);
    }
    expect(layout.landmarks.filter(({ id: one }) => one.startsWith("try-mark/"))).toHaveLength(2 * marks.length);
  });

  test("a youth field laid across a tackle field has its length over that field's width", () => {
    // Source: USA Football flag rule book, 2018, read as 53 1/3 yd overall; a tackle field is 160 ft wide.
    const layout = layoutOf("youth-across-tackle");
    expect(layout.totalLengthYards).toBeCloseTo(feet(160), 9);
    expect(layout.rightGoalXYards - layout.leftGoalXYards).toBeCloseTo(33 + 1 / 3, 9);
    expect([layout.leftGoalXYards, layout.widthYards]).toEqual([10, 30]);
    const across = layout.lines.filter(({ kind }) => kind === "yard-line" || kind === "no-run-line");
    const expected = [15, 26.667 - 5, 26.667, 26.667 + 5, 53.333 - 15];
    expect(across).toHaveLength(5);
    across.forEach(({ from }, i) => expect(from.xYards).toBeCloseTo(expected[i]!, 3));
    // 30 yd wide: seven yard lines of the tackle field, 5 yd apart, the outer two of them the sidelines.
    const along = layout.lines.filter(({ kind }) => kind === "tackle-line" || kind === "sideline");
    expect(along.map(({ from }) => from.yYards).toSorted((a, b) => a - b)).toEqual([0, 5, 10, 15, 20, 25, 30]);
    for (const line of along) {
      expect([line.from.xYards, line.to.xYards]).toEqual([0, layout.totalLengthYards]);
      expect(line.measuredAt).toBe("centre");
    }
    expect(at(layout, "tackle-10/L-end")).toEqual([0, 10]);
    expect(at(layout, "tackle-25/mid")[0]).toBeCloseTo(26.667, 3);
  });

  test("… and shows that field's hash marks where they were chosen", () => {
    // Source: NFHS rule 1 digest: thirds of the tackle field's width, which is this field's length.
    const layout = layoutOf("youth-across-tackle", { hashSet: "nfhs", numbers: "tops-9" });
    expect(at(layout, "tackle-10/L-hash")[0]).toBeCloseTo(feet(53, 4), 9);
    expect(at(layout, "tackle-10/R-hash")[0]).toBeCloseTo(feet(106, 8), 9);
    expect(lineOf(layout, "left-hash").from.xYards).toBeCloseTo(feet(53, 4), 9);
    expect(lineOf(layout, "right-number-tops").from.xYards).toBeCloseTo(feet(160) - 9, 9);
    // Hash rows that run across the field are no rows a crew could work by.
    expect(layout.hashYYards).toBeNull();
  });
});

describe("what a game's field has of its own", () => {
  test("a college field with high school hash marks, professional digits and wide posts", () => {
    const layout = layoutOf("ncaa", { hashSet: "nfhs", numbers: "bottoms-12", goalWidth: "23-4" });
    expect(rowY(layout, "near-hash")).toBeCloseTo(feet(53, 4), 9);
    expect(at(layout, "far-hash/L20")[1]).toBeCloseTo(feet(106, 8), 9);
    expect(layout.hashYYards!.near).toBeCloseTo(feet(53, 4), 9);
    expect(rowY(layout, "near-number-bottoms")).toBe(12);
    expect(layout.goalYards).toBeCloseTo(feet(23, 4), 9);
    expect(layout.template.id).toBe("ncaa");
  });

  test("none of them, where none are", () => {
    const bare = layoutOf("nfhs", { hashSet: "none", numbers: "none", goalWidth: "none" });
    const kinds = new Set(bare.lines.map(({ kind }) => kind));
    expect([kinds.has("hash-row"), kinds.has("number-row")]).toEqual([false, false]);
    expect(bare.landmarks.filter(({ id }) => /hash|goal-post/u.test(id))).toEqual([]);
    expect([bare.hashYYards, bare.numbersYards, bare.goalYards]).toEqual([null, null, null]);
  });

  test("what was painted on a field that has none of its own", () => {
    const layout = layoutOf("ifaf-5v5", { hashSet: "thirds" });
    expect(layout.hashYYards!.near).toBeCloseTo(25 / 3, 9);
    expect(at(layout, "near-hash/mid")).toEqual([35, 25 / 3]);
  });

  test("marks for which a field is too narrow count as not chosen", () => {
    // 60 ft from each sideline is 40 yd: on a field 40 yd wide both rows would be one, in the middle.
    expect(layoutOf("flag-100x40", { hashSet: "ncaa" })).toEqual(layoutOf("flag-100x40"));
    expect(layoutOf("flag-100x40", { hashSet: "nfl" })).toEqual(layoutOf("flag-100x40"));
    expect(layoutOf("ifaf-5v5", { numbers: "bottoms-12" })).toEqual(layoutOf("ifaf-5v5"));
  });

  test("a template that is not known is the first one", () => {
    expect(layoutOf("of-a-later-program").template).toBe(templates[0]);
    expect(layoutOf("custom").template).toBe(templates[0]);
  });
});

describe("names and ids", () => {
  const everyField = templates.flatMap(({ id }) =>
    [null, ...hashSets].flatMap((hashSet) =>
      [null, ...numberPositions].flatMap((numbers) =>
        [null, ...goalWidths].map((goalWidth) => layoutOf(id, { hashSet, numbers, goalWidth })),
      ),
    ),
  );

  test("no two landmarks or lines of a field share an id, a name or a place", () => {
    expect(everyField).toHaveLength(templates.length * 6 * 4 * 4);
    for (const { landmarks, lines } of everyField) {
      for (const named of [landmarks, lines]) {
        expect(new Set(named.map(({ id }) => id)).size).toBe(named.length);
        expect(new Set(named.map(({ name }) => name)).size).toBe(named.length);
      }
      const places = landmarks.map(({ at: { xYards, yYards } }) => `${xYards.toFixed(3)} ${yYards.toFixed(3)}`);
      expect(new Set(places).size).toBe(places.length);
      const runs = lines.map(({ from, to }) =>
        [from.xYards, from.yYards, to.xYards, to.yYards].map((yards) => yards.toFixed(3)).join(" "),
      );
      expect(new Set(runs).size).toBe(runs.length);
    }
  });

  test("every landmark lies on the field", () => {
    for (const { landmarks, totalLengthYards, widthYards } of everyField) {
      for (const { at: place } of landmarks) {
        expect(place.xYards).toBeGreaterThanOrEqual(0);
        expect(place.xYards).toBeLessThanOrEqual(totalLengthYards);
        expect(place.yYards).toBeGreaterThanOrEqual(0);
        expect(place.yYards).toBeLessThanOrEqual(widthYards);
      }
    }
  });

  test("are as a person would say them", () => {
    const name = (layout: FieldLayout, id: string) =>
      [...layout.landmarks, ...layout.lines].find((one) => one.id === id)?.name;
    const ncaa = layoutOf("ncaa");
    expect(name(ncaa, "far-sideline/L35")).toBe("far sideline at left 35");
    expect(name(ncaa, "near-hash/R20")).toBe("near hash at right 20, inbounds end");
    expect(name(ncaa, "near-sideline/mid")).toBe("near sideline at midfield (the 50)");
    expect(name(ncaa, "goal-post/L-near")).toBe("foot of the near post, left goal, inside face");
    expect(name(ncaa, "near-limit-line")).toBe("near limit line");
    expect(name(layoutOf("ifaf-5v5"), "L5")).toBe("left 5 (no-running line)");
    expect(name(layoutOf("ifaf-5v5"), "try-mark/R10")).toBe("try mark at right 10, its middle");
    const across = layoutOf("youth-across-tackle");
    expect(name(across, "mid-L5")).toBe("5 yd left of midfield (no-running line)");
    expect(name(across, "near-sideline/mid")).toBe("near sideline at midfield");
    expect(name(across, "far-sideline/mid-R5")).toBe("far sideline at 5 yd right of midfield");
    expect(name(across, "near-sideline/L5")).toBe("near sideline at left 5");
    expect(name(across, "tackle-10")).toBe("tackle line 10 yd in from the near sideline");
    expect(name(across, "tackle-10/L-end")).toBe("tackle line 10 yd in at left end line");
  });

  /** Kept in libraries with every stake: these must stay what they are whatever is added beside them. */
  test("stay what they were when the first libraries were written", () => {
    const fives = (most: number) => Array.from({ length: most / 5 }, (_, i) => 5 * (i + 1));
    for (const [id, length, width, hash, lineEvery] of [
      ["ncaa", 100, 160 / 3, 20, 5],
      ["nfhs", 100, 160 / 3, 160 / 9, 5],
      ["nfl", 100, 160 / 3, 283 / 12, 5],
      ["flag-100x40", 80, 40, 40 / 3, 20],
    ] as const) {
      const layout = layoutOf(id);
      const half = length / 2;
      const columns: [string, number, boolean][] = [
        ["L-end", 0, false],
        ["L-goal", 10, false],
        ["mid", 10 + half, true],
        ["R-goal", 10 + length, false],
        ["R-end", 20 + length, false],
        ...fives(half - 5).flatMap((n): [string, number, boolean][] => [
          [`L${n}`, 10 + n, true],
          [`R${n}`, 10 + length - n, true],
        ]),
      ];
      for (const [code, x, hashed] of columns) {
        expect(at(layout, `near-sideline/${code}`)).toEqual([x, 0]);
        expect(at(layout, `far-sideline/${code}`)).toEqual([x, width]);
        if (hashed) {
          expect(at(layout, `near-hash/${code}`)).toEqual([x, hash]);
          expect(at(layout, `far-hash/${code}`)).toEqual([x, width - hash]);
        }
        const painted = !hashed || (x - 10) % lineEvery === 0;
        expect(layout.lines.some((line) => line.id === code)).toBe(painted);
      }
      const rows = ["near-sideline", "far-sideline", "near-hash", "far-hash"];
      const digits = ["near-number-bottoms", "near-number-tops", "far-number-tops", "far-number-bottoms"];
      for (const row of [...rows, ...digits]) expect(layout.lines.map((line) => line.id)).toContain(row);
    }
    const flag = layoutOf("ifaf-5v5");
    for (const [code, x] of [
      ["L-end", 0],
      ["L-goal", 10],
      ["mid", 35],
      ["R-goal", 60],
      ["R-end", 70],
    ] as const) {
      expect(at(flag, `near-sideline/${code}`)).toEqual([x, 0]);
      expect(at(flag, `far-sideline/${code}`)).toEqual([x, 25]);
    }
  });
});

describe("the part of the paint that a line is measured at", () => {
  test("is the inside edge of what bounds the field, and the middle of any other line", () => {
    // Source: NCAA rules 1-2-2: boundary lines are measured at their inside edges; the whole goal line is the end zone's.
    const ncaa = layoutOf("ncaa");
    const measured = (id: string) => {
      const { measuredAt, openSide } = lineOf(ncaa, id);
      return openSide === null ? measuredAt : `${measuredAt}, open to the ${openSide}`;
    };
    expect(measured("near-sideline")).toBe("inside-edge, open to the far");
    expect(measured("far-sideline")).toBe("inside-edge, open to the near");
    expect(measured("L-end")).toBe("inside-edge, open to the right");
    expect(measured("R-end")).toBe("inside-edge, open to the left");
    expect(measured("L-goal")).toBe("inside-edge, open to the right");
    expect(measured("R-goal")).toBe("inside-edge, open to the left");
    for (const id of ["L5", "mid", "R35", "near-coaching-line", "far-limit-line"]) expect(measured(id)).toBe("centre");
    // Marks run outward from their printed distance, digits stand between their feet and their tops.
    expect(measured("near-hash")).toBe("inside-edge, open to the far");
    expect(measured("far-hash")).toBe("inside-edge, open to the near");
    expect(measured("near-number-tops")).toBe("inside-edge, open to the far");
    expect(measured("near-number-bottoms")).toBe("inside-edge, open to the near");
    expect(measured("far-number-tops")).toBe("inside-edge, open to the near");
    expect(measured("far-number-bottoms")).toBe("inside-edge, open to the far");
    expect(lineOf(layoutOf("ifaf-5v5"), "R5").measuredAt).toBe("centre");
  });
});
