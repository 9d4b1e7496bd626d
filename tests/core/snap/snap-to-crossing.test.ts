import { describe, expect, test } from "vitest";
import { seededRandom } from "#core/field/random";
import { type ImagePoint, imageDistancePx, imagePoint } from "#core/field/units";
import { type CrossingResult, snapToCrossing } from "#core/snap/snap-to-crossing";
import { type Stroke, paintedPatch } from "./painted-patch.ts";

const centre = { expectedRadians: null, edge: "centre" } as const;
const grassAndPaint = { grass: 110, paint: 210, blurPx: 0.7 };

function reason(result: CrossingResult): string {
  return result.ok ? "ok" : result.reason;
}

function found(result: CrossingResult) {
  if (!result.ok) throw new Error(result.reason);
  return result;
}

/** Where the lines beside two strokes' middles, so many px along their normals, meet: two equations, Cramer's rule. */
function meeting(a: Stroke, aOff: number, b: Stroke, bOff: number): ImagePoint {
  const row = ({ at, angleRadians }: Stroke, off: number) => {
    const [n, m] = [-Math.sin(angleRadians), Math.cos(angleRadians)];
    return [n, m, n * at.uPx + m * at.vPx + off] as const;
  };
  const [p, q] = [row(a, aOff), row(b, bOff)];
  const det = p[0] * q[1] - p[1] * q[0];
  return imagePoint((p[2] * q[1] - p[1] * q[2]) / det, (p[0] * q[2] - p[2] * q[0]) / det);
}

function sideways({ angleRadians }: Stroke, px: number): ImagePoint {
  return imagePoint(100 - px * Math.sin(angleRadians), 80 + px * Math.cos(angleRadians));
}

describe("a sideline and a yard line that ends at it", () => {
  /** The sideline nearly level, its field above; the yard line leans and stops at the sideline's paint. */
  function tee(random: ReturnType<typeof seededRandom>) {
    const at = imagePoint(100 + random.uniform(), 80 + random.uniform());
    const level: Stroke = { at, angleRadians: 0.2 * (random.uniform() - 0.5), widthPx: 1.5 + 2 * random.uniform() };
    const yard: Stroke = {
      at,
      angleRadians: Math.PI / 2 + 1.6 * (random.uniform() - 0.5),
      widthPx: 1.5 + 3 * random.uniform(),
      endsAtPx: 0,
    };
    return { level, yard };
  }

  test("meet where their wanted lines do, with an error that is stated", () => {
    const random = seededRandom(83);
    const scaled: number[] = [];
    for (let k = 0; k < 40; k++) {
      const { level, yard } = tee(random);
      const patch = paintedPatch([level, yard], { ...grassAndPaint, noise: { random, sigma: 2 } });
      const inside = sideways(level, -300);
      // The normal of a level line points down, away from the field above it.
      const truth = meeting(level, -level.widthPx / 2, yard, 0);
      const click = imagePoint(truth.uPx + 2.3 * random.normal(), truth.vPx + 2.3 * random.normal());
      const edge = { towards: inside, expectedWidthPx: level.widthPx };
      const blind = found(snapToCrossing(patch, click, [{ expectedRadians: null, edge }, centre]));
      const told = found(
        snapToCrossing(patch, click, [
          { expectedRadians: level.angleRadians, edge },
          { expectedRadians: yard.angleRadians, edge: "centre" },
        ]),
      );
      for (const answer of [blind, told]) {
        expect(imageDistancePx(answer.at, truth)).toBeLessThan(0.35);
        scaled.push(imageDistancePx(answer.at, truth) / answer.sigmaPx);
        expect(Math.abs(Math.sin(answer.lines[0].angleRadians - level.angleRadians))).toBeLessThan(0.02);
        expect(Math.abs(Math.sin(answer.lines[1].angleRadians - yard.angleRadians))).toBeLessThan(0.03);
      }
    }
    const sorted = scaled.toSorted((a, b) => a - b);
    expect(sorted[76]).toBeLessThan(2.45);
  });

  test("are given in the order they are asked for", () => {
    const random = seededRandom(89);
    const { level, yard } = tee(random);
    const patch = paintedPatch([level, yard], grassAndPaint);
    const wish = (stroke: Stroke) => ({ expectedRadians: stroke.angleRadians, edge: "centre" }) as const;
    const one = found(snapToCrossing(patch, level.at, [wish(level), wish(yard)]));
    const other = found(snapToCrossing(patch, level.at, [wish(yard), wish(level)]));
    expect(imageDistancePx(one.at, other.at)).toBeLessThan(1e-9);
    expect(one.lines[0]).toEqual(other.lines[1]);
    // One direction is enough to tell the two apart.
    expect(found(snapToCrossing(patch, level.at, [centre, wish(level)])).lines[1]).toEqual(one.lines[0]);
  });

  test("are refused where only one is painted, or none", () => {
    const random = seededRandom(97);
    const { level, yard } = tee(random);
    const directions = [
      { expectedRadians: level.angleRadians, edge: "centre" },
      { expectedRadians: yard.angleRadians, edge: "centre" },
    ] as const;
    for (const wishes of [[centre, centre], directions] as const) {
      const alone = paintedPatch([level], grassAndPaint);
      expect(reason(snapToCrossing(alone, level.at, wishes))).toBe("one-line");
      const bare = paintedPatch([], grassAndPaint);
      expect(reason(snapToCrossing(bare, level.at, wishes))).toBe("no-line");
      expect(reason(snapToCrossing(bare, imagePoint(0, 0), wishes))).toBe("off-patch");
    }
  });

  test("are refused where a third line leaves open which two are meant, or the two meet far off", () => {
    const at = imagePoint(100, 80);
    const level: Stroke = { at, angleRadians: 0, widthPx: 2 };
    const yard: Stroke = { at, angleRadians: 1.2, widthPx: 2 };
    const third = paintedPatch([level, yard, { at, angleRadians: 2, widthPx: 2 }], grassAndPaint);
    expect(reason(snapToCrossing(third, at, [centre, centre]))).toBe("many-lines");
    const leaning: Stroke = { at: imagePoint(100, 87), angleRadians: 0.3, widthPx: 2 };
    const apart = paintedPatch([level, leaning], grassAndPaint);
    expect(reason(snapToCrossing(apart, imagePoint(104, 84), [centre, centre]))).toBe("far-crossing");
  });
});
