import { beforeAll, describe, expect, it } from "vitest";
import { align } from "#core/carry/align";
import { createAlignWorkspace } from "#core/carry/align-sums";
import { type AnchorPicture, anchorPicture, fromFilm } from "#core/carry/anchor-picture";
import { type GreyImage, pyramidOf, shrink } from "#core/carry/grey-image";
import { type Homography, invertHomography, multiplyHomographies } from "#core/field/homography";
import { seededRandom } from "#core/field/random";
import { demo, film720, scale720, workingGreys } from "./carried-truth.ts";
import { type PictureVision, loadPictureVision } from "./opencv-pictures.ts";

const identity: Homography = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/** Anchor to frame, in working pixels, found from a map that is pixels off, as the motion of the last frames is. */
function found(anchor: AnchorPicture, frame: GreyImage, near: Homography = identity) {
  const toAlign = fromFilm(anchor.frame, { ...scale720, filmPerWorkingU: 1, filmPerWorkingV: 1 });
  const start = multiplyHomographies(toAlign, multiplyHomographies(near, invertHomography(toAlign)));
  const alignment = align(anchor, pyramidOf(frame, 4), start, createAlignWorkspace(anchor));
  if (alignment === null) throw new Error("nothing was found");
  return {
    alignment,
    map: multiplyHomographies(invertHomography(toAlign), multiplyHomographies(alignment.map, toAlign)),
  };
}

const at = (m: Homography, u: number, v: number): [number, number] => {
  const w = m[6] * u + m[7] * v + m[8];
  return [(m[0] * u + m[1] * v + m[2]) / w, (m[3] * u + m[4] * v + m[5]) / w];
};

/** Largest distance, working pixels, between two maps over a grid of the picture. */
function apart(a: Homography, b: Homography, { widthPx, heightPx }: GreyImage, border = 0): number {
  let most = 0;
  for (let i = 0; i <= 8; i++) {
    for (let j = 0; j <= 8; j++) {
      const u = border + (i / 8) * (widthPx - 2 * border);
      const v = border + (j / 8) * (heightPx - 2 * border);
      const [p, q] = [at(a, u, v), at(b, u, v)];
      most = Math.max(most, Math.hypot(p[0] - q[0], p[1] - q[1]));
    }
  }
  return most;
}

/** A picture given by a formula, so that its warp is exact: seen through `map`, each pixel by the mean of 4 samples. */
function painted(map: Homography, gain = 1, bias = 0): GreyImage {
  const [widthPx, heightPx] = [640, 360];
  const inverse = invertHomography(map);
  const data = new Uint8Array(widthPx * heightPx);
  for (let row = 0; row < heightPx; row++) {
    for (let column = 0; column < widthPx; column++) {
      let sum = 0;
      for (let part = 0; part < 4; part++) {
        const [x, y] = at(inverse, column + ((part % 2) + 0.5) / 2, row + (Math.floor(part / 2) + 0.5) / 2);
        sum +=
          Math.sin(x / 10.6 + Math.sin(y / 34)) * Math.sin(y / 12.2 - Math.cos(x / 46)) +
          0.6 * Math.sin((x + 2 * y) / 22) * Math.cos((2 * x - y) / 58) +
          0.8 * Math.sin(x / 122 + 2) * Math.sin(y / 94 + x / 300);
      }
      data[row * widthPx + column] = Math.round(gain * (120 + (40 * sum) / 4) + bias);
    }
  }
  return { widthPx, heightPx, data };
}

/** Pan, tilt, zoom, roll and a lean, in working pixels. */
const moved: Homography = [1.06, 0.012, -31, -0.015, 1.07, -14, 2.5e-5, 1.5e-5, 1];
/** Five pixels from it. */
const near: Homography = [1.055, 0.01, -25, -0.012, 1.066, -11, 2.4e-5, 1.4e-5, 1];

describe("alignment to an anchor", () => {
  it("finds an exact warp of a picture given by a formula to a hundredth of a pixel", () => {
    const still = painted(identity);
    const { map, alignment } = found(anchorPicture(still, null), painted(moved), near);
    expect(apart(map, moved, still)).toBeLessThan(0.02);
    expect(alignment.fittingShare).toBeGreaterThan(0.9);
    // An identical picture is where it was.
    expect(apart(found(anchorPicture(still, null), still).map, identity, still)).toBeLessThan(1e-3);
  });

  it("is not misled by another exposure", () => {
    const still = painted(identity);
    const { map } = found(anchorPicture(still, null), painted(moved, 0.8, 22), near);
    expect(apart(map, moved, still)).toBeLessThan(0.03);
  });

  it("lets what moves of its own drop out, and then knows itself less well", () => {
    const still = painted(identity);
    const frame = painted(moved);
    const data = frame.data.slice();
    // A fifth of the picture goes its own way.
    for (let row = 120; row < 260; row++) {
      for (let column = 200; column < 530; column++) {
        data[row * 640 + column] = frame.data[(row + 7) * 640 + column + 9]!;
      }
    }
    const anchor = anchorPicture(still, null);
    const clean = found(anchor, frame, near);
    const { map, alignment } = found(anchor, { ...frame, data }, near);
    expect(apart(map, moved, still)).toBeLessThan(0.15);
    expect(alignment.fittingShare).toBeLessThan(0.93);
    expect(alignment.covariance[18]!).toBeGreaterThan(clean.alignment.covariance[18]!);
  });

  it("tells what stands behind the ground from the ground, by the ground's edge", () => {
    const still = painted(identity);
    const edge = { a: 0, b: 1, c: 60 / 320 };
    // Above row 120 the picture has slid by up to 1.2 px more than the ground has, as it does behind a swaying camera.
    const slide = 0.01;
    const data = new Uint8Array(640 * 360);
    const ground = painted(moved);
    for (let row = 0; row < 360; row++) {
      const [, v] = at(invertHomography(moved), 320, row + 0.5);
      const shift = v < 120 ? slide * (120 - v) : 0;
      for (let column = 0; column < 640; column++) {
        const u = Math.min(638, Math.max(0, column - shift));
        const left = ground.data[row * 640 + Math.floor(u)]!;
        const right = ground.data[row * 640 + Math.floor(u) + 1]!;
        data[row * 640 + column] = Math.round(left + (right - left) * (u - Math.floor(u)));
      }
    }
    const frame = { ...still, data };
    const lower = (map: Homography): number =>
      Math.max(...[140, 200, 280, 350].flatMap((v) => [40, 300, 600].map((u) => gap(map, u, v))));
    const gap = (map: Homography, u: number, v: number): number => {
      const [p, q] = [at(map, u, v), at(moved, u, v)];
      return Math.hypot(p[0] - q[0], p[1] - q[1]);
    };
    const onePlane = lower(found(anchorPicture(still, null), frame, near).map);
    const twoPlanes = lower(found(anchorPicture(still, edge), frame, near).map);
    expect(onePlane).toBeGreaterThan(0.2);
    expect(twoPlanes).toBeLessThan(0.08);
  });

  it("says nothing of a blank picture", () => {
    const blank: GreyImage = { widthPx: 640, heightPx: 360, data: new Uint8Array(640 * 360).fill(90) };
    const anchor = anchorPicture(blank, null);
    expect(align(anchor, pyramidOf(blank, 4), identity, createAlignWorkspace(anchor))).toBeNull();
  });

  it("states errors that hold: noise drawn anew scatters the map as the covariance says", () => {
    const still = painted(identity);
    const random = seededRandom(3);
    const noisy = (image: GreyImage): GreyImage => ({
      ...image,
      data: image.data.map((grey) => Math.max(0, Math.min(255, Math.round(grey + 6 * random.normal())))),
    });
    const target = painted(moved);
    const stated: number[] = [];
    const squares: number[] = [];
    for (let round = 0; round < 12; round++) {
      const anchor = anchorPicture(noisy(still), null);
      const { map, alignment } = found(anchor, noisy(target), near);
      for (const [u, v] of [
        [60, 50],
        [320, 180],
        [590, 310],
      ] as const) {
        const [x, y] = [(u - 320) / 320, (v - 180) / 320];
        const row = [x, y, 1, 0, 0, 0, -x * x, -x * y];
        let variance = 0;
        for (let i = 0; i < 8; i++)
          for (let j = 0; j < 8; j++) variance += row[i]! * alignment.covariance[8 * i + j]! * row[j]!;
        // The chart is on the anchor's side: bring the error in the frame back through the map, by a small step.
        const off = at(invertHomography(moved), ...at(map, u, v));
        stated.push(variance * 320 ** 2);
        squares.push((off[0] - u) ** 2);
      }
    }
    const mean = (values: number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
    // 36 squares: their mean lies within a factor of 2 of the variance at four standard deviations.
    expect(mean(squares) / mean(stated)).toBeGreaterThan(0.3);
    expect(mean(squares) / mean(stated)).toBeLessThan(2);
  });
});

describe("alignment against a general vision library", () => {
  let vision: PictureVision;
  beforeAll(async () => {
    vision = await loadPictureVision();
  }, 60_000);

  it("undoes the library's own warp of a real frame", () => {
    const [frame] = workingGreys(demo, 100, 1);
    const { map } = found(anchorPicture(frame!, null), vision.warp(frame!, moved), near);
    // The library places by 1/32 px and interpolates by a cubic. Sky and near grass, at the borders, hold nothing.
    expect(apart(map, moved, frame!, 100)).toBeLessThan(0.2);
  });

  it("agrees with the library's features, flow and robust homography on two real frames", () => {
    const greys = workingGreys(demo, 100, 9);
    const anchor = greys[0]!;
    const frame = greys.at(-1)!;
    const ours = found(anchorPicture(anchor, null), frame).map;
    const theirs = vision.alignByFeatures(anchor, frame);
    expect(apart(ours, identity, anchor)).toBeGreaterThan(2);
    // Theirs weighs every pixel alike, people too, so they part toward the borders.
    expect(apart(ours, theirs, anchor, 100)).toBeLessThan(0.25);
  }, 60_000);
});

describe("working pictures", () => {
  it("are means of whole squares of pixels, with the rest of a row left out", () => {
    const { widthPx, heightPx } = film720;
    const random = seededRandom(1);
    const plane = Uint8Array.from({ length: (widthPx + 32) * heightPx }, () => random.below(256));
    for (const factor of [1, 2, 3, 7]) {
      const image = shrink(plane, widthPx + 32, widthPx, heightPx, factor);
      expect([image.widthPx, image.heightPx]).toEqual([Math.floor(widthPx / factor), Math.floor(heightPx / factor)]);
      for (const [column, row] of [
        [0, 0],
        [17, 31],
        [image.widthPx - 1, image.heightPx - 1],
      ] as const) {
        let sum = 0;
        for (let y = 0; y < factor; y++) {
          for (let x = 0; x < factor; x++) sum += plane[(row * factor + y) * (widthPx + 32) + column * factor + x]!;
        }
        expect(Math.abs(image.data[row * image.widthPx + column]! - sum / factor ** 2)).toBeLessThanOrEqual(0.5);
      }
    }
  });
});
