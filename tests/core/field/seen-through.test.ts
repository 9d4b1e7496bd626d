import { describe, expect, test } from "vitest";
import { bend, type Lens } from "#core/field/lens";
import { measureMark } from "#core/field/mark";
import { groundOf, imageOf } from "#core/field/seen-through";
import type { PointStake } from "#core/field/stake";
import { surveyFrame } from "#core/field/survey";
import { fieldPoint } from "#core/field/units";
import { fieldLineShapes } from "#core/picture/frame-picture";
import { ncaa, pressBox, see } from "./cameras.ts";
import { eight, stakesAt } from "./staked.ts";

/** A barrel that moves the corners of the picture by about 5 %, as an action camera's does. */
const lens: Lens = { radial: -0.05 };
const bent = (stake: PointStake): PointStake => ({ ...stake, click: bend(lens, pressBox.image, stake.click)! });
const stakes = stakesAt(pressBox, eight).map(bent);

describe("a film whose lens bends", () => {
  const through = surveyFrame(ncaa, stakes, pressBox.image, lens);
  if (!through.ok) throw new Error(through.refusal.message);
  const { survey } = through;

  test("is surveyed as a straight one is, and not without its lens", () => {
    expect(survey.residualRmsPx).toBeLessThan(1e-6);
    const without = surveyFrame(ncaa, stakes, pressBox.image);
    expect(without.ok ? without.survey.residualRmsPx : Infinity).toBeGreaterThan(1);
  });

  test("gives yards where a bent click is, and shows a field point where the bent picture has it", () => {
    for (const [x, y] of [
      [45, 3],
      [60, 26],
      [72, 50],
      [50, 44],
    ] as const) {
      const click = bend(lens, pressBox.image, see(pressBox, fieldPoint(x, y)))!;
      const mark = measureMark(survey, { click, sigmaPx: 2 });
      if (!mark.ok) throw new Error(mark.message);
      expect(Math.hypot(mark.position.xYards - x, mark.position.yYards - y)).toBeLessThan(1e-6);
      const seen = imageOf(survey, fieldPoint(x, y))!;
      expect(Math.hypot(seen.uPx - click.uPx, seen.vPx - click.vPx)).toBeLessThan(1e-6);
      const ground = groundOf(survey, click)!;
      expect(Math.hypot(ground.xYards - x, ground.yYards - y)).toBeLessThan(1e-6);
    }
  });

  test("has its field lines drawn bowed, along the paint", () => {
    const far = ncaa.lines.find((line) => line.id === "far-sideline")!;
    const drawn = fieldLineShapes(ncaa, survey)
      .flatMap((shape) => (shape.kind === "path" ? [shape.points] : []))
      .find((points) =>
        points.every(([uPx, vPx]) => Math.abs(groundOf(survey, { uPx, vPx })!.yYards - far.from.yYards) < 1e-6),
      )!;
    const [first, middle, last] = [drawn[0]!, drawn[Math.floor(drawn.length / 2)]!, drawn.at(-1)!];
    const share = (middle[0] - first[0]) / (last[0] - first[0]);
    expect(Math.abs(first[1] + share * (last[1] - first[1]) - middle[1])).toBeGreaterThan(2);
  });
});
