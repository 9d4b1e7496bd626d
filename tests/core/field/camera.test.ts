import fc from "fast-check";
import { expect, test } from "vitest";
import { estimateCamera } from "#core/field/camera";
import { seededRandom } from "#core/field/random";
import { surveyFrame } from "#core/field/survey";
import { aimedCamera, clicked, ncaa, pressBox, testCameras } from "./cameras.ts";
import { soundPlan } from "./trials.ts";

test("finds the published press box: (60, -25, 12) yd, 1500 px", () => {
  // Source: the reference note on worked geometry, section 4, whose matrix is printed with six decimals.
  const camera = estimateCamera(
    [55.418763, 34.548412, -2365.12578, 0, 6.89576, 874.339671, 0, 0.035988, 1],
    pressBox.image,
    null,
  )!;
  expect(camera.xYards).toBeCloseTo(60, 2);
  expect(camera.yYards).toBeCloseTo(-25, 2);
  expect(camera.heightYards).toBeCloseTo(12, 2);
  expect(Math.abs(camera.focalPx - 1500)).toBeLessThan(0.1);
  expect(camera.panRadians).toBeCloseTo(0, 5);
  expect(camera.tiltRadians).toBeCloseTo(Math.atan2(12, 25 + 80 / 3), 5);
  expect(camera.rollRadians).toBeCloseTo(0, 5);
});

test("finds any pinhole again: place, focal length, pan, tilt and lean", () => {
  fc.assert(
    fc.property(
      fc.record({
        x: fc.double({ min: 0, max: 120, noNaN: true }),
        y: fc.double({ min: -60, max: -3, noNaN: true }),
        height: fc.double({ min: 1, max: 30, noNaN: true }),
        aimX: fc.double({ min: 20, max: 100, noNaN: true }),
        aimY: fc.double({ min: 5, max: 50, noNaN: true }),
        focal: fc.double({ min: 500, max: 6000, noNaN: true }),
        roll: fc.double({ min: -0.4, max: 0.4, noNaN: true }),
        scale: fc.double({ min: 0.01, max: 100, noNaN: true }),
      }),
      ({ x, y, height, aimX, aimY, focal, roll, scale }) => {
        const truth = aimedCamera("any", [x, y, height], [aimX, aimY, 0], focal, pressBox.image, roll);
        const [a, b, c, d, e, f, g, h, i] = truth.h;
        const s = scale;
        const found = estimateCamera(
          [a * s, b * s, c * s, d * s, e * s, f * s, g * s, h * s, i * s],
          truth.image,
          null,
        )!;
        expect(found.xYards).toBeCloseTo(x, 4);
        expect(found.yYards).toBeCloseTo(y, 4);
        expect(found.heightYards).toBeCloseTo(height, 4);
        expect(found.focalPx / focal).toBeCloseTo(1, 5);
        expect(found.panRadians).toBeCloseTo(Math.atan2(aimX - x, aimY - y), 5);
        expect(found.tiltRadians).toBeCloseTo(Math.atan2(height, Math.hypot(aimX - x, aimY - y)), 5);
        expect(found.rollRadians).toBeCloseTo(roll, 5);
      },
    ),
    { seed: 1, numRuns: 200 },
  );
});

test("no camera looks straight down with a focal length to be told, or up from below the ground", () => {
  expect(estimateCamera([20, 0, 0, 0, -20, 1000, 0, 0, 1], pressBox.image, null)).toBeNull();
  const below = aimedCamera("below", [60, -25, -12], [60, 80 / 3, 0], 1500, pressBox.image);
  expect(estimateCamera(below.h, below.image, null)).toBeNull();
});

test("states the error of the focal length as noisy surveys show it", () => {
  for (const camera of testCameras) {
    const random = seededRandom(4);
    const planned = soundPlan(random, camera, 8, 4, 1);
    let square = 0;
    let stated = 0;
    let rounds = 0;
    while (rounds < 400) {
      const result = surveyFrame(ncaa, clicked(random, planned, 1.5), camera.image);
      if (!result.ok || result.survey.camera === null) continue;
      rounds++;
      square += (1 / result.survey.camera.focalPx - 1 / camera.focalPx) ** 2;
      stated += (result.survey.camera.focalSdPx! / result.survey.camera.focalPx ** 2) ** 2;
    }
    expect(Math.sqrt(square / stated)).toBeGreaterThan(0.85);
    expect(Math.sqrt(square / stated)).toBeLessThan(1.15);
  }
});
