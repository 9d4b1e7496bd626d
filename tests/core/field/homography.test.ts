import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  type Homography,
  determinant,
  fieldPerImage,
  imagePerField,
  invertHomography,
  multiplyHomographies,
  projectThroughInverse,
  projectToField,
  projectToImage,
} from "#core/field/homography";
import { principalAxes } from "#core/field/small-linear-algebra";
import { fieldPoint, imagePoint } from "#core/field/units";
import { type TestCamera, aimedCamera, phone, pressBox, testCameras, visibleGrid, ncaa, see } from "./cameras.ts";

// Source: the reference note on worked geometry, section 4 ("synthetic press-box camera"), all values printed there.
const published: Homography = [55.418763, 34.548412, -2365.12578, 0, 6.89576, 874.339671, 0, 0.035988, 1];
const publishedPairs = [
  [45, 0, 128.718555, 874.339671],
  [75, 0, 1791.281445, 874.339671],
  [45, 160 / 3, 675.251794, 425.475149],
  [75, 160 / 3, 1244.748206, 425.475149],
  [60, 80 / 3, 960, 540],
  [50, 160 / 9, 622.03649, 607.964281],
  [70, 160 / 9, 1297.96351, 607.964281],
  [50, 320 / 9, 716.889486, 491.110973],
  [60, 9, 960, 707.309932],
] as const;

/** The ground a click meets when it is put on a point above the ground: the camera's own 3-D projection, then down. */
function clickedAbove(camera: TestCamera, x: number, y: number, z: number): { x: number; y: number } {
  const [cx, cy, cz] = camera.at;
  // A point z up is seen along the ray from the camera through it, so it looks like its own shadow from the lens.
  const k = cz / (cz - z);
  const shadow = see(camera, fieldPoint(cx + k * (x - cx), cy + k * (y - cy)));
  const ground = projectToField(camera.h, shadow)!;
  return { x: ground.xYards, y: ground.yYards };
}

describe("the published press-box camera", () => {
  test("projects its field points to its image points", () => {
    for (const [x, y, u, v] of publishedPairs) {
      const image = projectToImage(published, fieldPoint(x, y))!;
      // The matrix is printed with six decimals: half a unit in the last of 0.035988, times 53 yd and 1000 px, is 1e-3.
      expect(Math.abs(image.uPx - u)).toBeLessThan(2e-3);
      expect(Math.abs(image.vPx - v)).toBeLessThan(2e-3);
    }
  });

  test("is the pinhole at (60, -25, 12) aimed at midfield with a focal length of 1500 px", () => {
    for (const [x, y, u, v] of publishedPairs) {
      const image = see(pressBox, fieldPoint(x, y));
      // The note rounds the aim and the field points to four decimals of a yard: up to 1e-3 px near the camera.
      expect(Math.abs(image.uPx - u)).toBeLessThan(1e-3);
      expect(Math.abs(image.vPx - v)).toBeLessThan(1e-3);
    }
  });

  test.each([
    ["near sideline", 0, 0.018, 0.041],
    ["middle", 80 / 3, 0.035, 0.156],
    ["far sideline", 160 / 3, 0.053, 0.347],
  ])("has its yards per pixel at the %s", (_, y, across, depth) => {
    const j = fieldPerImage(invertHomography(pressBox.h), see(pressBox, fieldPoint(60, y)));
    expect(Math.abs(j.xx)).toBeCloseTo(across, 3);
    expect(Math.abs(j.yy)).toBeCloseTo(depth, 3);
  });

  test.each([
    ["near sideline", 0, 1, 2.27],
    ["near sideline", 0, 2, 5.0],
    ["middle", 80 / 3, 1, 4.7],
    ["middle", 80 / 3, 2, 10.33],
    ["far sideline", 160 / 3, 1, 7.12],
    ["far sideline", 160 / 3, 2, 15.67],
  ])("throws a click above the ground away from the camera: %s", (_, y, height, yards) => {
    expect(clickedAbove(pressBox, 60, y, height).y - y).toBeCloseTo(yards, 2);
  });
});

test("a phone at 1.8 yd, 4 yd behind the sideline, throws a click 1 yd up at (60, 5) by 11.25 yd", () => {
  // Source: the same section, under its parallax table.
  const near = aimedCamera("phone at the line", [60, -4, 1.8], [60, 80 / 3, 0], 1000, phone.image);
  expect(clickedAbove(near, 60, 5, 1).y - 5).toBeCloseTo(11.25, 2);
});

describe("both ways", () => {
  test("field to image to field", () => {
    for (const camera of testCameras) {
      for (const spot of visibleGrid(camera, ncaa, 4)) {
        const back = projectToField(camera.h, see(camera, spot))!;
        expect(Math.hypot(back.xYards - spot.xYards, back.yYards - spot.yYards)).toBeLessThan(1e-9);
      }
    }
  });

  test("the inverse undoes the map, and a product is one map after the other", () => {
    for (const { h } of testCameras) {
      const identity = multiplyHomographies(h, invertHomography(h));
      identity.forEach((entry, i) => expect(entry).toBeCloseTo(i % 4 === 0 ? 1 : 0, 9));
      expect(determinant(invertHomography(h)) * determinant(h)).toBeCloseTo(1, 9);
    }
  });

  test("Jacobians agree with central differences", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...testCameras),
        fc.double({ min: 50, max: 70, noNaN: true }),
        fc.double({ min: 5, max: 50, noNaN: true }),
        (camera, x, y) => {
          const step = 1e-5;
          const at = fieldPoint(x, y);
          const j = imagePerField(camera.h, at);
          const dx = see(camera, fieldPoint(x + step, y)).uPx - see(camera, fieldPoint(x - step, y)).uPx;
          const dy = see(camera, fieldPoint(x, y + step)).vPx - see(camera, fieldPoint(x, y - step)).vPx;
          expect(j.xx).toBeCloseTo(dx / (2 * step), 3);
          expect(j.yy).toBeCloseTo(dy / (2 * step), 3);
          const back = fieldPerImage(invertHomography(camera.h), see(camera, at));
          expect(back.xx * j.xx + back.xy * j.yx).toBeCloseTo(1, 8);
          expect(back.xx * j.xy + back.xy * j.yy).toBeCloseTo(0, 8);
        },
      ),
      { seed: 1 },
    );
  });
});

describe("what a camera cannot see", () => {
  test("a field point behind the camera has no image", () => {
    for (const camera of testCameras) {
      // The plane of the lens cuts the ground behind the foot of a camera that looks down, where w is 0.
      const w = (y: number): number => camera.h[6] * 60 + camera.h[7] * y + camera.h[8];
      const zero = -w(0) / (w(1) - w(0));
      expect(zero).toBeLessThan(camera.at[1]);
      expect(projectToImage(camera.h, fieldPoint(60, zero + 0.1))).not.toBeNull();
      expect(projectToImage(camera.h, fieldPoint(60, zero))).toBeNull();
      expect(projectToImage(camera.h, fieldPoint(60, zero - 1))).toBeNull();
    }
  });

  test("a click at or above the horizon has no ground: w is negative there", () => {
    for (const camera of testCameras) {
      const inverse = invertHomography(camera.h);
      const horizonV = -(inverse[6] * camera.image.widthPx * 0.5 + inverse[8]) / inverse[7];
      const middle = camera.image.widthPx / 2;
      expect(projectThroughInverse(inverse, imagePoint(middle, horizonV))).toBeNull();
      expect(projectThroughInverse(inverse, imagePoint(middle, horizonV - 5))).toBeNull();
      expect(projectThroughInverse(inverse, imagePoint(middle, horizonV + 5))).not.toBeNull();
    }
  });

  test("a map without an inverse is a bug, not an answer", () => {
    expect(() => invertHomography([1, 2, 3, 2, 4, 6, 0, 0, 1])).toThrow(/without an inverse/u);
  });
});

test("principal axes are the eigenvalues and direction of a symmetric matrix", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.01, max: 100, noNaN: true }),
      fc.double({ min: 0.01, max: 1, noNaN: true }),
      fc.double({ min: -1.5, max: 1.5, noNaN: true }),
      (large, share, angle) => {
        const small = large * share;
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        const axes = principalAxes(
          large * c * c + small * s * s,
          (large - small) * c * s,
          large * s * s + small * c * c,
        );
        expect(axes.major / large).toBeCloseTo(1, 9);
        expect(axes.minor / small).toBeCloseTo(1, 9);
        if (share < 0.99) expect(Math.abs(Math.sin(axes.angleRadians - angle))).toBeLessThan(1e-6);
      },
    ),
    { seed: 2 },
  );
});
