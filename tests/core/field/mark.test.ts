import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { invertHomography, projectToField, projectToImage } from "#core/field/homography";
import { type MeasuredMark, chiSquare95, measureMark, regionHolds, sampleMark } from "#core/field/mark";
import { normalPairs, seededRandom } from "#core/field/random";
import { type Survey, surveyFrame } from "#core/field/survey";
import { groundCovariance, projectionCovariance } from "#core/field/uncertainty";
import { type ImagePoint, fieldPoint, imagePoint } from "#core/field/units";
import { type TestCamera, aimedCamera, clicked, ncaa, phone, pressBox, see, testCameras, tripod } from "./cameras.ts";
import { coverage, soundPlan } from "./trials.ts";

function surveyOf(camera: TestCamera, noisePx = 1.5): Survey {
  const random = seededRandom(17);
  const result = surveyFrame(ncaa, clicked(random, soundPlan(random, camera, 8, 2, 1.5), noisePx), camera.image);
  if (!result.ok) throw new Error(result.refusal.message);
  return result.survey;
}

function measured(survey: Survey, click: ImagePoint, sigmaPx = 2): MeasuredMark {
  const result = measureMark(survey, { click, sigmaPx });
  if (!result.ok) throw new Error(result.message);
  return result;
}

describe("a mark", () => {
  test("stands where it was clicked", () => {
    for (const camera of testCameras) {
      const survey = surveyOf(camera, 0);
      for (const [x, y] of [
        [60, 3],
        [55, 20],
        [70, 53.3],
        [50, 60],
      ] as const) {
        const { position } = measured(survey, see(camera, fieldPoint(x, y)));
        expect(Math.hypot(position.xYards - x, position.yYards - y)).toBeLessThan(1e-8);
      }
    }
  });

  test("costs the published yards per pixel when the survey itself is exact", () => {
    // Source: reference note, section 4: across / in depth at the near sideline, the middle and the far sideline.
    const click = { uu: 1, uv: 0, vv: 1 };
    for (const [y, across, depth] of [
      [0, 0.018, 0.041],
      [80 / 3, 0.035, 0.156],
      [160 / 3, 0.053, 0.347],
    ] as const) {
      const ground = groundCovariance(invertHomography(pressBox.h), see(pressBox, fieldPoint(60, y)), click);
      expect(Math.sqrt(ground.xx)).toBeCloseTo(across, 3);
      expect(Math.sqrt(ground.yy)).toBeCloseTo(depth, 3);
    }
  });

  test("carries any image error to the ground as finite steps do", () => {
    for (const camera of testCameras) {
      const inverse = invertHomography(camera.h);
      const click = see(camera, fieldPoint(52, 25));
      const image = { uu: 3, uv: -1, vv: 2 };
      const at = (du: number, dv: number) => projectToField(camera.h, imagePoint(click.uPx + du, click.vPx + dv))!;
      const step = 1e-4;
      const [u1, u0, v1, v0] = [at(step, 0), at(-step, 0), at(0, step), at(0, -step)];
      const [xu, xv] = [(u1.xYards - u0.xYards) / (2 * step), (v1.xYards - v0.xYards) / (2 * step)];
      const [yu, yv] = [(u1.yYards - u0.yYards) / (2 * step), (v1.yYards - v0.yYards) / (2 * step)];
      const ground = groundCovariance(inverse, click, image);
      expect(ground.xx).toBeCloseTo(3 * xu * xu - 2 * xu * xv + 2 * xv * xv, 6);
      expect(ground.xy).toBeCloseTo(3 * xu * yu - xu * yv - xv * yu + 2 * xv * yv, 6);
      expect(ground.yy).toBeCloseTo(3 * yu * yu - 2 * yu * yv + 2 * yv * yv, 5);
      expect(Math.abs(xv)).toBeGreaterThan(0.01);
    }
  });

  test("adds the survey's own error to the click's", () => {
    const survey = surveyOf(tripod);
    const click = imagePoint(500, 400);
    const mark = measured(survey, click, 2);
    const own = projectionCovariance(survey.homography, survey.covariance, mark.position);
    expect(mark.imageCovariance.uu).toBeCloseTo(own.uu + 4, 9);
    expect(mark.imageCovariance.uv).toBeCloseTo(own.uv, 9);
    expect(mark.imageCovariance.vv).toBeCloseTo(own.vv + 4, 9);
    expect(mark.imageCovariance.uu).toBeGreaterThan(4);
    expect(measured(survey, click, 5).semiMajorYards).toBeGreaterThan(mark.semiMajorYards);
  });
});

describe("the stated 95 % region", () => {
  test.each(testCameras.map((camera) => ({ name: camera.name, camera })))(
    "$name: holds the truth 94 to 96 times in a hundred",
    ({ camera }) => {
      const { marks, held, refused } = coverage(camera, 600, 1.5, 11);
      expect(marks).toBeGreaterThanOrEqual(5000);
      expect(refused).toBeLessThan(60);
      expect(held / marks).toBeGreaterThan(0.94);
      expect(held / marks).toBeLessThan(0.96);
    },
  );

  test("is the ground pre-image of the image ellipse, point by point", () => {
    for (const camera of testCameras) {
      const survey = surveyOf(camera);
      const mark = measured(survey, see(camera, fieldPoint(58, 30)));
      expect(mark.region).toHaveLength(48);
      const { uu, uv, vv } = mark.imageCovariance;
      for (const corner of mark.region) {
        const image = projectToImage(survey.homography, corner)!;
        const [du, dv] = [image.uPx - mark.click.uPx, image.vPx - mark.click.vPx];
        const square = (vv * du * du - 2 * uv * du * dv + uu * dv * dv) / (uu * vv - uv * uv);
        expect(square).toBeCloseTo(chiSquare95, 6);
      }
      expect(regionHolds(survey.homography, mark, mark.position)).toBe(true);
    }
    // Source: χ² table, two degrees of freedom, upper 5 % point 5.991.
    expect(chiSquare95).toBeCloseTo(5.991, 3);
  });

  test("reaches farther away from a low camera than toward it", () => {
    const mark = measured(surveyOf(phone), see(phone, fieldPoint(60, 45)));
    const away = Math.max(...mark.region.map((p) => p.yYards)) - mark.position.yYards;
    const toward = mark.position.yYards - Math.min(...mark.region.map((p) => p.yYards));
    expect(away).toBeGreaterThan(1.2 * toward);
  });
});

describe("refuses", () => {
  test("clicks at and above the horizon", () => {
    for (const camera of testCameras) {
      const survey = surveyOf(camera);
      const { a, b, c } = survey.horizon!;
      for (const [above, sideways] of [
        [0, 0],
        [1, 300],
        [200, -200],
      ] as const) {
        const u = camera.image.widthPx / 2 + sideways;
        const v = -(a * u + c) / b - above;
        const result = measureMark(survey, { click: imagePoint(u, v), sigmaPx: 2 });
        expect(result.ok ? "ok" : result.reason).toBe("above-horizon");
      }
    }
  });

  test("clicks more than fifteen yards outside the field, and no nearer ones", () => {
    const survey = surveyOf(pressBox, 0);
    const at = (y: number) => {
      const result = measureMark(survey, { click: see(pressBox, fieldPoint(60, y)), sigmaPx: 2 });
      return result.ok ? "ok" : result.reason;
    };
    expect(at(160 / 3 + 14.9)).toBe("ok");
    expect(at(160 / 3 + 15.1)).toBe("outside-field");
    expect(at(-14.9)).toBe("ok");
    expect(at(-15.1)).toBe("outside-field");
  });

  test("a click whose region would run over the horizon", () => {
    const survey = surveyOf(phone);
    const result = measureMark(survey, { click: see(phone, fieldPoint(60, 60)), sigmaPx: 15 });
    expect(result.ok ? "ok" : result.reason).toBe("near-horizon");
  });
});

test("a region that is stated lies on the ground all the way round, between its corners too", () => {
  // Leaning by half the angle between two corners puts the point nearest the horizon between them.
  const camera = aimedCamera("leaning", [60, -8, 1.8], [60, 80 / 3, 0], 1000, phone.image, Math.PI / 48);
  const survey = surveyOf(camera);
  const { a, b, c } = survey.horizon!;
  const click = see(camera, fieldPoint(60, 60));
  let [stated, refused] = [0, 0];
  for (let sigmaPx = 6; sigmaPx < 16; sigmaPx += 0.01) {
    const result = measureMark(survey, { click, sigmaPx });
    if (!result.ok) {
      refused++;
      continue;
    }
    stated++;
    const { uu, uv, vv } = result.imageCovariance;
    const reach = Math.sqrt(chiSquare95 * (a * a * uu + 2 * a * b * uv + b * b * vv));
    expect(reach).toBeLessThan(a * click.uPx + b * click.vPx + c);
  }
  expect(Math.min(stated, refused)).toBeGreaterThan(50);
});

describe("samples", () => {
  test("lie in the region as often as it says, and spread as the mark's own covariance near the camera", () => {
    for (const camera of testCameras) {
      const survey = surveyOf(camera);
      const mark = measured(survey, see(camera, fieldPoint(60, 10)));
      const count = 20_000;
      const samples = sampleMark(mark, normalPairs(seededRandom(5), count));
      let inside = 0;
      let [xx, yy] = [0, 0];
      for (let i = 0; i < count; i++) {
        const point = fieldPoint(samples[2 * i]!, samples[2 * i + 1]!);
        if (regionHolds(survey.homography, mark, point)) inside++;
        xx += (point.xYards - mark.position.xYards) ** 2 / count;
        yy += (point.yYards - mark.position.yYards) ** 2 / count;
      }
      expect(Math.abs(inside / count - 0.95)).toBeLessThan(0.006);
      expect(Math.sqrt(xx) / mark.sdAlongX).toBeCloseTo(1, 1);
      expect(Math.sqrt(yy) / mark.sdAlongY).toBeCloseTo(1, 1);
    }
  });

  test("are finite and on the ground however far the normals reach", () => {
    const survey = surveyOf(phone);
    const mark = measured(survey, see(phone, fieldPoint(60, 53)));
    fc.assert(
      fc.property(
        fc.double({ min: -30, max: 30, noNaN: true }),
        fc.double({ min: -30, max: 30, noNaN: true }),
        (a, b) => {
          const [x, y] = sampleMark(mark, Float64Array.of(a, b));
          expect(Number.isFinite(x) && Number.isFinite(y)).toBe(true);
          expect(projectToImage(survey.homography, fieldPoint(x!, y!))).not.toBeNull();
        },
      ),
      { seed: 3 },
    );
  });

  test("are the position itself for normals of nought, and depend on nothing else", () => {
    const mark = measured(surveyOf(tripod), imagePoint(700, 420));
    const [x, y] = sampleMark(mark, Float64Array.of(0, 0));
    expect(x).toBeCloseTo(mark.position.xYards, 12);
    expect(y).toBeCloseTo(mark.position.yYards, 12);
    const normals = normalPairs(seededRandom(9), 50);
    expect(sampleMark(mark, normals)).toEqual(sampleMark(mark, normals));
  });
});
