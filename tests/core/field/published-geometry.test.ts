import { describe, expect, test } from "vitest";
import { measureMark, regionHolds } from "#core/field/mark";
import { seededRandom } from "#core/field/random";
import type { PointStake } from "#core/field/stake";
import { type Survey, surveyFrame } from "#core/field/survey";
import { type FieldLayout, layOut, templateById } from "#core/field/template";
import { fieldPoint, type FieldPoint, type ImagePoint } from "#core/field/units";
import { ncaa, pressBox, see, testCameras, visibleGrid } from "./cameras.ts";
import { coverage, soundPlan } from "./trials.ts";

const layoutOf = (id: string): FieldLayout => layOut(templateById(id)!);
const feet = (value: number, inches = 0): number => (value + inches / 12) / 3;

function place(layout: FieldLayout, id: string): readonly [number, number] {
  const found = layout.landmarks.find((landmark) => landmark.id === id);
  if (found === undefined) throw new Error(`no landmark ${id}`);
  return [found.at.xYards, found.at.yYards];
}

function rowYards(layout: FieldLayout, id: string): number {
  const found = layout.lines.find((line) => line.id === id);
  if (found === undefined) throw new Error(`no line ${id}`);
  expect(found.from.yYards).toBe(found.to.yYards);
  return found.from.yYards;
}

describe("fields, as published", () => {
  // Source: the reference note on field geometry, section 1, in the feet and inches of the rule books it cites.
  test.each([
    ["ncaa", feet(60), feet(40)],
    ["nfhs", feet(53, 4), feet(53, 4)],
    ["nfl", feet(70, 9), feet(18, 6)],
  ])("%s: 360 ft by 160 ft, hash rows %f yd in and %f yd apart", (id, inYards, apartYards) => {
    const layout = layoutOf(id);
    expect(layout.totalLengthYards).toBeCloseTo(feet(360), 9);
    expect(layout.rightGoalXYards - layout.leftGoalXYards).toBe(100);
    expect(layout.leftGoalXYards).toBe(10);
    expect(layout.widthYards).toBeCloseTo(feet(160), 9);
    expect(rowYards(layout, "near-hash")).toBeCloseTo(inYards, 9);
    expect(layout.widthYards - rowYards(layout, "far-hash")).toBeCloseTo(inYards, 9);
    expect(rowYards(layout, "far-hash") - rowYards(layout, "near-hash")).toBeCloseTo(apartYards, 9);
  });

  // Source: the same note, section 4: rows as printed there, to three decimals.
  test.each([
    ["ncaa", 20, 33.333, 7, 9, 44.333, 46.333],
    ["nfhs", 17.778, 35.556, 7, 9, 44.333, 46.333],
    ["nfl", 23.583, 29.75, 12, 14, 39.333, 41.333],
  ])("%s: rows of hashes and of digits", (id, nearHash, farHash, bottoms, tops, farTops, farBottoms) => {
    const layout = layoutOf(id);
    expect(layout.hashYYards!.near).toBeCloseTo(nearHash, 3);
    expect(layout.hashYYards!.far).toBeCloseTo(farHash, 3);
    expect(rowYards(layout, "near-number-bottoms")).toBeCloseTo(bottoms, 3);
    expect(rowYards(layout, "near-number-tops")).toBeCloseTo(tops, 3);
    expect(rowYards(layout, "far-number-tops")).toBeCloseTo(farTops, 3);
    expect(rowYards(layout, "far-number-bottoms")).toBeCloseTo(farBottoms, 3);
  });

  test.each(["ncaa", "nfhs", "nfl"])("%s: a line and its landmarks every five yards, at 10 + 5k", (id) => {
    const layout = layoutOf(id);
    const codes = [5, 10, 15, 20, 25, 30, 35, 40, 45];
    const columns = [
      "L-goal",
      ...codes.map((n) => `L${n}`),
      "mid",
      ...codes.toReversed().map((n) => `R${n}`),
      "R-goal",
    ];
    columns.forEach((code, k) => {
      expect(place(layout, `near-sideline/${code}`)).toEqual([10 + 5 * k, 0]);
      expect(place(layout, `far-sideline/${code}`)).toEqual([10 + 5 * k, layout.widthYards]);
      const line = layout.lines.find((candidate) => candidate.id === code)!;
      expect([line.from.xYards, line.to.xYards]).toEqual([10 + 5 * k, 10 + 5 * k]);
    });
    expect(place(layout, "far-sideline/R-end")).toEqual([120, layout.widthYards]);
  });

  // Source: the same note, section 3 (IFAF 2023 digest; college intramural rules).
  test.each([
    ["ifaf-5v5", 50, 10, 25, [35]],
    ["flag-100x40", 80, 10, 40, [30, 50, 70]],
  ] as const)("%s: %i yd of play, %i yd end zones, %i yd wide", (id, play, zone, width, linesAt) => {
    const layout = layoutOf(id);
    expect(layout.rightGoalXYards - layout.leftGoalXYards).toBe(play);
    expect(layout.leftGoalXYards).toBe(zone);
    expect(layout.totalLengthYards).toBe(play + 2 * zone);
    expect(layout.widthYards).toBe(width);
    const lines = layout.lines.filter(({ kind }) => kind === "yard-line").map(({ from }) => from.xYards);
    expect(lines).toEqual(linesAt);
  });
});

/** The image of a point above the ground: that of the ground point behind it on the same ray, farther from the camera. */
function seeAbove(at: FieldPoint, upYards: number): ImagePoint {
  const [x, y, height] = pressBox.at;
  const k = height / (height - upYards);
  return see(pressBox, fieldPoint(x + k * (at.xYards - x), y + k * (at.yYards - y)));
}

describe("a crowned field", () => {
  // Source: the reference note on field geometry, 1 c: about 1/4 in per foot, up to 20 in at the middle of 160 ft.
  const crownYards = (yYards: number): number => (0.25 * 3 * Math.min(yYards, ncaa.widthYards - yYards)) / 36;

  function surveyOf(heightOf: (yYards: number) => number): Survey {
    const rows = ["near-sideline", "near-hash", "far-hash", "far-sideline"];
    const stakes = rows.flatMap((row) =>
      ["L40", "R40"].map((code): PointStake => {
        const landmarkId = `${row}/${code}`;
        const { at } = ncaa.landmarks.find(({ id }) => id === landmarkId)!;
        const click = seeAbove(at, heightOf(at.yYards));
        return { kind: "point", id: landmarkId, landmarkId, click, sigmaPx: 1.5 };
      }),
    );
    const result = surveyFrame(ncaa, stakes, pressBox.image);
    if (!result.ok) throw new Error(result.refusal.message);
    return result.survey;
  }

  test("throws the middle by 2.51 yd, and the sidelines not at all", () => {
    // Source: the reference note on worked geometry, section 4, parallax table, last column.
    expect(crownYards(80 / 3)).toBeCloseTo(20 / 36, 9);
    const flat = surveyOf(() => 0);
    const thrownYards = (y: number): number => {
      const mark = measureMark(flat, { click: seeAbove(fieldPoint(60, y), crownYards(y)), sigmaPx: 2 });
      return mark.ok ? mark.position.yYards - y : Number.NaN;
    };
    expect(thrownYards(80 / 3)).toBeCloseTo(2.51, 2);
    expect(thrownYards(0)).toBeCloseTo(0, 9);
    expect(thrownYards(160 / 3)).toBeCloseTo(0, 9);
  });

  test("shows as residual on the hash rows, and warns", () => {
    // Source: the same note, section 6 (7).
    const flat = surveyOf(() => 0);
    const crowned = surveyOf(crownYards);
    expect(flat.residualRmsPx).toBeLessThan(1e-9);
    expect(flat.warnings).toEqual([]);
    expect(crowned.warnings.map(({ code }) => code)).toContain("poor-fit");
    for (const { id, residualPx, leaveOneOutPx } of crowned.stakes) {
      if (!id.includes("hash")) continue;
      expect(residualPx).toBeGreaterThan(3);
      expect(leaveOneOutPx).toBeGreaterThan(residualPx);
    }
  });
});

describe("the stated region at the noise of section 6 (2) of the worked geometry", () => {
  test("0 px: holds every spot", () => {
    const random = seededRandom(61);
    for (const camera of testCameras) {
      const stakes = soundPlan(random, camera, 8, 2, 1.5).map(({ stake }) => stake);
      const result = surveyFrame(ncaa, stakes, camera.image);
      if (!result.ok) throw new Error(result.refusal.message);
      for (const spot of visibleGrid(camera, ncaa, 5)) {
        const mark = measureMark(result.survey, { click: see(camera, spot), sigmaPx: 1.5 });
        expect(mark.ok && regionHolds(result.survey.homography, mark, spot)).toBe(true);
      }
    }
  });

  test.each([1, 3])("%i px: holds about 95 in a hundred", (sigmaPx) => {
    for (const camera of testCameras) {
      const { marks, held } = coverage(camera, 300, sigmaPx, 23);
      expect(marks).toBeGreaterThan(2900);
      // Ten marks share a survey, so their luck is shared too: 3,000 of them leave about half a per cent of chance.
      expect(Math.abs(held / marks - 0.95)).toBeLessThan(0.015);
    }
  });
});
