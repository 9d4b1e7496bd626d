import { describe, expect, it } from "vitest";
import type { GreyImage } from "#core/carry/grey-image";
import { type CameraStep, groundTopShare, motionGrey, noStep, pictureMotion } from "#core/carry/picture-motion";
import { seededRandom } from "#core/field/random";

const { widthPx, heightPx } = motionGrey;

/** A ground without end, known at every place: where the camera went is then exact, and no picture is resampled. */
function groundAt(u: number, v: number): number {
  return (
    110 +
    25 * Math.sin(u / 4.1) * Math.cos(v / 5.3) +
    18 * Math.sin((u + 2 * v) / 9.7) +
    14 * Math.cos((2 * u - v) / 7.3)
  );
}

type Person = { readonly column: number; readonly row: number };

/** The ground as a camera sees it that went by `step`, with dark people on it and noise of so many greys. */
function seen(step: CameraStep, people: readonly Person[], noiseGrey = 0, seed = 1): GreyImage {
  const random = seededRandom(seed);
  const data = new Uint8Array(widthPx * heightPx);
  const [a, b, c, d, e, f, brightness] = step;
  // (u, v) of the first picture lies at (u + a + bu + cv, v + d + eu + fv) of this one: the other way round by Cramer.
  const det = (1 + b) * (1 + f) - c * e;
  for (let row = 0; row < heightPx; row++) {
    for (let column = 0; column < widthPx; column++) {
      const x = column - widthPx / 2 - a;
      const y = row - heightPx / 2 - d;
      const u = ((1 + f) * x - c * y) / det;
      const v = ((1 + b) * y - e * x) / det;
      const isOn = people.some(
        (one) => Math.abs(one.column - widthPx / 2 - u) <= 1 && Math.abs(one.row - heightPx / 2 - v) <= 3,
      );
      const grey = (isOn ? 20 : groundAt(u, v)) + brightness + noiseGrey * random.normal();
      data[row * widthPx + column] = Math.max(0, Math.min(255, Math.round(grey)));
    }
  }
  return { widthPx, heightPx, data };
}

const crowd: readonly Person[] = Array.from({ length: 12 }, (_, i) => ({
  column: 20 + 10 * i,
  row: 45 + ((7 * i) % 35),
}));
const later = (byPx: number) => crowd.map(({ column, row }) => ({ column: column + byPx, row }));

describe("motion between two pictures", () => {
  it("is none for a pan, a zoom, a roll and a change of light, whose sizes it finds", () => {
    const steps: readonly CameraStep[] = [
      [3.4, 0, 0, -1.2, 0, 0, 0],
      [0.8, 0.02, 0, 0.4, 0, 0.02, 0],
      [0, 0, -0.012, 0, 0.012, 0, 0],
      [1.5, 0.01, 0.004, 0.5, -0.004, 0.01, 6],
    ];
    for (const step of steps) {
      const found = pictureMotion(seen(noStep, []), seen(step, []), noStep);
      expect(found.motionGrey).toBeLessThan(0.002);
      for (const [i, value] of step.entries()) {
        // The middle in pixels, slopes over the half width, brightness in greys.
        const tolerance = i === 6 ? 0.3 : i % 3 === 0 ? 0.05 : 0.05 / (widthPx / 2);
        expect(Math.abs(found.step[i]! - value)).toBeLessThan(tolerance);
      }
    }
  });

  it("is what people did, whether the camera stood or went along", () => {
    const step: CameraStep = [2.6, 0.012, 0, -0.7, 0, 0.012, 0];
    const standing = pictureMotion(seen(noStep, crowd), seen(noStep, later(4)), noStep).motionGrey;
    const panned = pictureMotion(seen(noStep, crowd), seen(step, later(4)), noStep).motionGrey;
    expect(standing).toBeGreaterThan(0.5);
    expect(panned).toBeGreaterThan(0.6 * standing);
    expect(panned).toBeLessThan(1.6 * standing);
    expect(pictureMotion(seen(noStep, crowd), seen(noStep, crowd), noStep).motionGrey).toBe(0);
  });

  it("is hardly touched by an encoder's noise, nor by a step from before a cut", () => {
    const noisy = pictureMotion(seen(noStep, crowd, 1.5, 2), seen(noStep, crowd, 1.5, 3), noStep);
    expect(noisy.motionGrey).toBeLessThan(0.02);
    const stale: CameraStep = [9, 0, 0, 6, 0, 0, 0];
    expect(pictureMotion(seen(noStep, crowd), seen(noStep, later(4)), stale).motionGrey).toBeCloseTo(
      pictureMotion(seen(noStep, crowd), seen(noStep, later(4)), noStep).motionGrey,
      2,
    );
  });

  it("is not looked for above the ground, nor in a picture of nothing", () => {
    const above = (column: number): Person[] => [{ column, row: Math.floor(groundTopShare * heightPx) - 8 }];
    expect(pictureMotion(seen(noStep, above(40)), seen(noStep, above(50)), noStep).motionGrey).toBe(0);
    const blank: GreyImage = { widthPx, heightPx, data: new Uint8Array(widthPx * heightPx).fill(90) };
    expect(pictureMotion(blank, blank, noStep)).toEqual({ motionGrey: 0, step: noStep });
  });
});
