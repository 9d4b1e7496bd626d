import { beforeAll, describe, expect, test } from "vitest";
import { seededRandom } from "#core/field/random";
import { type ImagePoint, imagePoint } from "#core/field/units";
import type { GreyPatch } from "#core/snap/grey-patch";
import { fitRidge } from "#core/snap/ridge-fit";
import { type SnapResult, snapToLine } from "#core/snap/snap-to-line";
import { type LineFitter, loadLineFitter, offFitted } from "./line-fit.ts";
import { type Stroke, offStroke, paintedPatch, side } from "./painted-patch.ts";

const anyLine = { expectedRadians: null, edge: "centre" } as const;
const grassAndPaint = { grass: 110, paint: 210 };

function strokeNear(random: ReturnType<typeof seededRandom>, widthPx: number): Stroke {
  return {
    at: imagePoint(100 + random.uniform(), 80 + random.uniform()),
    angleRadians: Math.PI * random.uniform(),
    widthPx,
  };
}

function beside({ at, angleRadians }: Stroke, px: number): ImagePoint {
  return imagePoint(at.uPx - px * Math.sin(angleRadians), at.vPx + px * Math.cos(angleRadians));
}

function snapped(result: SnapResult) {
  if (!result.ok) throw new Error(result.reason);
  return result;
}

const reason = (result: SnapResult): string => (result.ok ? "ok" : result.reason);

describe("paint drawn by the share of each pixel it covers", () => {
  // Truth is the drawing itself: the stroke's own middle and edges.
  const blurs = [0, 0.7];
  const widths = [0.6, 1, 1.5, 2, 3, 4, 6, 8, 10, 12, 14];

  test.each(widths)("is met at its middle to hundredths of a pixel: %f px wide", (widthPx) => {
    const random = seededRandom(widthPx * 10);
    const offs: number[] = [];
    for (const blurPx of blurs) {
      for (let k = 0; k < 12; k++) {
        const stroke = strokeNear(random, widthPx);
        const patch = paintedPatch([stroke], { ...grassAndPaint, blurPx, noise: { random, sigma: 2 } });
        const click = imagePoint(stroke.at.uPx + 2.3 * random.normal(), stroke.at.vPx + 2.3 * random.normal());
        const answer = snapped(snapToLine(patch, click, anyLine));
        offs.push(Math.abs(offStroke(stroke, answer.at)));
        expect(Math.abs(Math.sin(answer.angleRadians - stroke.angleRadians))).toBeLessThan(0.012);
        // The foot of the click: the way to it is across the line.
        const along =
          (answer.at.uPx - click.uPx) * Math.cos(stroke.angleRadians) +
          (answer.at.vPx - click.vPx) * Math.sin(stroke.angleRadians);
        expect(Math.abs(along)).toBeLessThan(0.06);
      }
    }
    const sorted = offs.toSorted((a, b) => a - b);
    expect(sorted[12]).toBeLessThan(0.02);
    expect(sorted.at(-1)).toBeLessThan(0.13);
  });

  test.each(widths)("has its edges where they are: %f px wide", (widthPx) => {
    const random = seededRandom(widthPx * 10 + 1);
    // Thinner than the blur, only width times contrast is seen: its edges are known less well, and it says so.
    const within = widthPx >= 3 ? 0.14 : 0.32;
    for (const blurPx of blurs) {
      for (let k = 0; k < 8; k++) {
        const stroke = strokeNear(random, widthPx);
        const patch = paintedPatch([stroke], { ...grassAndPaint, blurPx, noise: { random, sigma: 2 } });
        for (const edge of [1, -1]) {
          const wish = {
            expectedRadians: null,
            edge: { towards: beside(stroke, 300 * edge), expectedWidthPx: null },
          };
          const answer = snapped(snapToLine(patch, stroke.at, wish));
          const off = Math.abs(offStroke(stroke, answer.at) - (edge * widthPx) / 2);
          expect(off).toBeLessThan(within);
          expect(off).toBeLessThan(3 * answer.sigmaPx);
          const told = { ...wish, edge: { ...wish.edge, expectedWidthPx: widthPx } };
          const better = Math.abs(
            offStroke(stroke, snapped(snapToLine(patch, stroke.at, told)).at) - (edge * widthPx) / 2,
          );
          expect(better).toBeLessThan(0.13);
        }
      }
    }
  });

  test("is not drawn far toward the brighter of two kinds of grass", () => {
    for (const widthPx of [1, 2, 4, 10]) {
      const random = seededRandom(41);
      for (let k = 0; k < 12; k++) {
        const stroke = strokeNear(random, widthPx);
        const patch = paintedPatch([stroke], { grass: 110, otherGrass: 128, paint: 210, blurPx: 0.7 });
        const answer = snapped(snapToLine(patch, beside(stroke, 2), anyLine));
        const off = offStroke(stroke, answer.at);
        expect(Math.abs(off)).toBeLessThan(0.06);
        expect(Math.abs(off)).toBeLessThan(2 * answer.sigmaPx);
      }
    }
  });

  test("is met the same wherever the patch lies and whichever axis it runs along", () => {
    const random = seededRandom(43);
    for (let k = 0; k < 20; k++) {
      const stroke = strokeNear(random, 1 + 6 * random.uniform());
      const patch = paintedPatch([stroke], { ...grassAndPaint, noise: { random, sigma: 2 } });
      const click = beside(stroke, 3 * random.normal());
      const here = snapped(snapToLine(patch, click, anyLine));
      const moved = { ...patch, leftPx: patch.leftPx + 700, topPx: patch.topPx - 20 };
      const there = snapped(snapToLine(moved, imagePoint(click.uPx + 700, click.vPx - 20), anyLine));
      expect(there.at.uPx - 700).toBeCloseTo(here.at.uPx, 9);
      expect(there.at.vPx + 20).toBeCloseTo(here.at.vPx, 9);
      // Rows and columns exchanged: a half pixel too much on one axis would show here.
      const data = Uint8Array.from(
        { length: side * side },
        (_, i) => patch.data[(i % side) * side + Math.floor(i / side)]!,
      );
      const turned: GreyPatch = { ...patch, leftPx: patch.topPx, topPx: patch.leftPx, data };
      const across = snapped(snapToLine(turned, imagePoint(click.vPx, click.uPx), anyLine));
      expect(Math.hypot(across.at.vPx - here.at.uPx, across.at.uPx - here.at.vPx)).toBeLessThan(0.06);
    }
  });
});

describe("refuses", () => {
  test("bare grass, with its noise and its mown steps", () => {
    const random = seededRandom(47);
    for (let k = 0; k < 40; k++) {
      const noise = { random, sigma: 2 + 6 * random.uniform() };
      const bare = paintedPatch([], { ...grassAndPaint, noise });
      expect(reason(snapToLine(bare, imagePoint(100, 80), anyLine))).toBe("no-line");
      const step = paintedPatch([strokeNear(random, 0)], {
        grass: 105,
        otherGrass: 130,
        paint: 210,
        blurPx: 0.7,
        noise,
      });
      expect(reason(snapToLine(step, imagePoint(100, 80), anyLine))).toBe("no-line");
    }
  });

  test("marks too short to be lines, and takes a line that ends under the click", () => {
    const random = seededRandom(53);
    for (let k = 0; k < 12; k++) {
      const line = strokeNear(random, 3);
      // It runs on past the patch the other way: a yard line at its sideline.
      const half = paintedPatch([{ ...line, endsAtPx: 3 }], grassAndPaint);
      expect(reason(snapToLine(half, line.at, anyLine))).toBe("ok");
      const before = paintedPatch([{ ...line, endsAtPx: -14 }], grassAndPaint);
      expect(reason(snapToLine(before, line.at, anyLine))).toBe("no-line");
      // A mark of 24 in is no longer than this where the width of a field is in the picture.
      const tick = { ...half, data: onlyWithin(half, line, 20) };
      expect(reason(snapToLine(tick, line.at, anyLine))).toBe("no-line");
    }
  });

  test("two lines, unless one is clearly nearer or the direction says which", () => {
    const random = seededRandom(59);
    for (let k = 0; k < 12; k++) {
      const one = strokeNear(random, 2);
      const parallel = { ...one, at: beside(one, 10) };
      const patch = paintedPatch([one, parallel], grassAndPaint);
      expect(reason(snapToLine(patch, beside(one, 5), anyLine))).toBe("two-lines");
      expect(Math.abs(offStroke(one, snapped(snapToLine(patch, beside(one, 1), anyLine)).at))).toBeLessThan(0.05);

      const crossing = { ...one, angleRadians: one.angleRadians + Math.PI / 3 };
      const crossed = paintedPatch([one, crossing], grassAndPaint);
      expect(reason(snapToLine(crossed, one.at, anyLine))).toBe("two-lines");
      for (const stroke of [one, crossing]) {
        const wish = { expectedRadians: stroke.angleRadians + Math.PI + 0.05, edge: "centre" } as const;
        const answer = snapped(snapToLine(crossed, beside(stroke, 2), wish));
        expect(Math.abs(offStroke(stroke, answer.at))).toBeLessThan(0.08);
      }
      const neither = { expectedRadians: one.angleRadians + Math.PI / 6, edge: "centre" } as const;
      expect(reason(snapToLine(crossed, one.at, neither))).toBe("no-line");
    }
  });

  test("clicks out of reach of a line, and out of the patch", () => {
    const random = seededRandom(61);
    for (let k = 0; k < 12; k++) {
      const stroke = strokeNear(random, 3);
      const patch = paintedPatch([stroke], grassAndPaint);
      expect(reason(snapToLine(patch, beside(stroke, 7), anyLine))).toBe("ok");
      expect(reason(snapToLine(patch, beside(stroke, 12), anyLine))).toBe("no-line");
    }
    const patch = paintedPatch([], grassAndPaint);
    expect(reason(snapToLine(patch, imagePoint(patch.leftPx - 1, 80), anyLine))).toBe("off-patch");
  });
});

/** The patch's levels with everything farther along the stroke than `reachPx` put back to grass. */
function onlyWithin(patch: GreyPatch, stroke: Stroke, reachPx: number): Uint8Array {
  return patch.data.map((level, i) => {
    const u = patch.leftPx + (i % side) + 0.5 - stroke.at.uPx;
    const v = patch.topPx + Math.floor(i / side) + 0.5 - stroke.at.vPx;
    const far = Math.abs(u * Math.cos(stroke.angleRadians) + v * Math.sin(stroke.angleRadians)) > reachPx;
    return far ? grassAndPaint.grass : level;
  });
}

describe("the robust fit", () => {
  let fitter: LineFitter;
  beforeAll(async () => {
    fitter = await loadLineFitter();
  }, 60_000);

  const points = (random: ReturnType<typeof seededRandom>, stray: number) => {
    const [offset, slope] = [random.normal(), 0.02 * random.normal()];
    const t = Array.from({ length: 61 }, (_, i) => i - 30);
    const o = t.map(
      (at, i) => offset + slope * at + 0.08 * random.normal() + (i % 10 < stray ? 4 + random.uniform() : 0),
    );
    return { t, o, offset, slope };
  };

  test("is total least squares where nothing strays (OpenCV fitLine, DIST_L2)", () => {
    const random = seededRandom(67);
    for (let k = 0; k < 50; k++) {
      const { t, o } = points(random, 0);
      const ours = fitRidge(t, o)!;
      const theirs = fitter.fit(
        t.map((at, i) => imagePoint(at, o[i]!)),
        false,
      );
      // Tukey's weights spare a twentieth of the efficiency, so the two differ by a part of the fit's own error.
      const error = 0.08 / Math.sqrt(61);
      expect(Math.abs(offFitted(theirs, imagePoint(0, ours.offset)))).toBeLessThan(error);
      expect(Math.abs(Math.tan(theirs.angleRadians) - ours.slope)).toBeLessThan(error / 17);
    }
  });

  test("is not moved by three points in ten that stray to one side (OpenCV fitLine, DIST_WELSCH, on the rest)", () => {
    const random = seededRandom(71);
    for (let k = 0; k < 50; k++) {
      const { t, o, offset } = points(random, 3);
      const ours = fitRidge(t, o)!;
      const rest = t.flatMap((at, i) => (i % 10 < 3 ? [] : [imagePoint(at, o[i]!)]));
      expect(Math.abs(offFitted(fitter.fit(rest, true), imagePoint(0, ours.offset)))).toBeLessThan(0.04);
      expect(Math.abs(ours.offset - offset)).toBeLessThan(0.06);
      expect(ours.points).toBeLessThanOrEqual(rest.length);
    }
  });

  test("states an error that holds for points that each count a quarter", () => {
    const random = seededRandom(73);
    let squares = 0;
    for (let k = 0; k < 400; k++) {
      // Four neighbours in a row share one error, as ridge points that share pixels do.
      const shared = Array.from({ length: 16 }, () => 0.2 * random.normal());
      const t = Array.from({ length: 61 }, (_, i) => i - 30);
      const ridge = fitRidge(
        t,
        t.map((_, i) => shared[i >> 2]!),
      )!;
      squares += (ridge.offset / ridge.offsetSigma) ** 2 / 400;
    }
    expect(Math.sqrt(squares)).toBeGreaterThan(0.75);
    expect(Math.sqrt(squares)).toBeLessThan(1.25);
  });
});
