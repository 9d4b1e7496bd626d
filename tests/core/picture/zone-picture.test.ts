import { describe, expect, it } from "vitest";
import { fieldPoint } from "#core/field/units";
import type { StationScene } from "#core/mechanics/anchors";
import { zoneRuleAt } from "#core/mechanics/zone-area";
import { hatching, planZoneShapes, zonePatches, zonePhaseOf } from "#core/picture/zone-picture";
import { flagCrewBook, flagField, inPlace } from "../scoring/staged-play.ts";

/** Going right from x = 34 with the line judge on the far side; the zones are common practice for a flag crew of four. */
const scene: StationScene = {
  layout: flagField,
  situation: inPlace.situation,
  lineJudgeSide: "far",
  players: [],
  ball: { markId: "ball", at: fieldPoint(50, 20) },
};

describe("zones as patches of the field", () => {
  for (const phase of ["zone", "catch"] as const) {
    const patches = zonePatches(flagCrewBook, phase, scene);

    it(`cover the whole field once at “${phase}”, each the book's there`, () => {
      const area = patches.reduce((sum, { x0, x1, y0, y1 }) => sum + (x1 - x0) * (y1 - y0), 0);
      expect(area).toBeCloseTo(flagField.totalLengthYards * flagField.widthYards, 6);
      for (let x = 0.7; x < flagField.totalLengthYards; x += 3.1) {
        for (let y = 0.6; y < flagField.widthYards; y += 2.3) {
          const here = patches.filter((one) => x > one.x0 && x < one.x1 && y > one.y0 && y < one.y1);
          const rule = zoneRuleAt(flagCrewBook, phase, fieldPoint(x, y), scene, "all-but-runner");
          expect(here.map(({ position }) => position)).toEqual([rule?.position]);
        }
      }
    });
  }

  it("are those that will be while keys are on", () => {
    expect([zonePhaseOf("pre-snap"), zonePhaseOf("keys"), zonePhaseOf("catch")]).toEqual(["zone", "zone", "catch"]);
  });
});

describe("hatching", () => {
  const patch = { position: "FJ", x0: 10, x1: 22, y0: 3, y1: 9 };

  it("stays within its patch, at its slant, a line every 1.7 yd", () => {
    const slant = 0.6;
    const lines = hatching(patch, slant);
    for (const [from, to] of lines) {
      for (const { xYards, yYards } of [from, to]) {
        expect(xYards).toBeGreaterThan(10 - 1e-9);
        expect(xYards).toBeLessThan(22 + 1e-9);
        expect(yYards).toBeGreaterThan(3 - 1e-9);
        expect(yYards).toBeLessThan(9 + 1e-9);
      }
      expect(Math.atan2(to.yYards - from.yYards, to.xYards - from.xYards)).toBeCloseTo(slant, 9);
    }
    // Lines 1.7 yd apart over 72 square yards: their whole length is 72 / 1.7, but for what the edges cut.
    const length = lines.reduce(
      (sum, [from, to]) => sum + Math.hypot(to.xYards - from.xYards, to.yYards - from.yYards),
      0,
    );
    expect(length / (72 / 1.7)).toBeCloseTo(1, 1);
  });

  it("differs in slant from position to position, and shows one position's alone when it is pointed at", () => {
    const patches = zonePatches(flagCrewBook, "zone", scene);
    const drawn = (pointed: string | null) =>
      planZoneShapes(flagField, { book: flagCrewBook, patches, pointed }).flatMap((shape) =>
        shape.kind === "path" ? [shape.points] : [],
      );
    const slants = (lines: readonly (readonly (readonly [number, number])[])[]) =>
      new Set(
        lines.map(([from, to]) => Math.round((Math.atan2(to![1] - from![1], to![0] - from![0]) * 1800) / Math.PI)),
      );
    expect(slants(drawn(null)).size).toBe(4);
    expect(slants(drawn("FJ")).size).toBe(1);
    // Somebody the book has no zone for: all are shown.
    expect(drawn("crew")).toHaveLength(drawn(null).length);
  });
});
