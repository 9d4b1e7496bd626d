import { levenbergMarquardt } from "ml-levenberg-marquardt";
import { describe, expect, test } from "vitest";
import { startingPoses } from "#core/field/camera-start";
import type { CameraMemory } from "#core/field/camera-memory";
import { projectToImage } from "#core/field/homography";
import { seededRandom } from "#core/field/random";
import type { PointStake, Stake } from "#core/field/stake";
import type { CameraEstimate } from "#core/field/camera";
import { projectionCovariance } from "#core/field/uncertainty";
import { fieldPoint } from "#core/field/units";
import { type TestCamera, aimedCamera, clicked, ncaa, planStakes, see, sightingsOf, testCameras } from "./cameras.ts";
import { inverse } from "./cramer-rao.ts";
import { fromMemory, knownPlace, lineStake } from "./memory-trials.ts";
import { loadVision } from "./opencv.ts";
import { landmarkOf } from "./staked.ts";

describe("a start from two stakes at a known place", () => {
  const camera = aimedCamera("start", [52, -18, 7], [64, 22, 0], 1234, { widthPx: 1280, heightPx: 720 }, 0.02);
  const point = (landmarkId: string): Stake => {
    const click = see(camera, landmarkOf(ncaa, landmarkId).at);
    return { kind: "point", id: landmarkId, landmarkId, click, sigmaPx: 1.5 };
  };
  test.each([
    ["two points", [point("near-hash/L45"), point("far-sideline/R35")]],
    ["a point and a line", [point("near-hash/L45"), lineStake(camera, "R40", [8, 50])]],
    ["two lines", [lineStake(camera, "near-hash", [52, 74]), lineStake(camera, "R40", [8, 50])]],
  ] as const)("is the camera itself, in closed form: %s", (_, stakes) => {
    // None of the focal lengths that are tried besides is within a fifth of this one.
    const off = startingPoses(sightingsOf(ncaa, stakes), camera.at, camera.image).map((pose) =>
      Math.max(Math.abs(pose[3]! - Math.atan2(12, 40)), Math.abs(pose[5]! - 0.02), Math.abs(pose[6]! - Math.log(1234))),
    );
    expect(Math.min(...off)).toBeLessThan(1e-6);
  });
});

describe("the likeliest camera", () => {
  /** Seven numbers to a map, by the test cameras' own construction: place, pan, tilt, roll, ln f. */
  const mapAt = (p: readonly number[], { image }: TestCamera) => {
    const [x, y, z, pan, tilt, roll, logFocal] = p as unknown as [
      number,
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    const toward = [Math.sin(pan) * Math.cos(tilt), Math.cos(pan) * Math.cos(tilt), -Math.sin(tilt)] as const;
    return aimedCamera("any", [x, y, z], [x + toward[0], y + toward[1], z + toward[2]], Math.exp(logFocal), image, roll)
      .h;
  };

  const poseNumbers = (c: CameraEstimate): number[] => [
    c.xYards,
    c.yYards,
    c.heightYards,
    c.panRadians,
    c.tiltRadians,
    c.rollRadians,
    Math.log(c.focalPx),
  ];

  /** Distances of stakes' clicks and of the prior, each over its sigma. */
  const residualsAt = (p: readonly number[], stakes: readonly Stake[], memory: CameraMemory, camera: TestCamera) => {
    const h = mapAt(p, camera);
    const out: number[] = [];
    for (const sighting of sightingsOf(ncaa, stakes)) {
      const { sigmaPx } = sighting;
      const at = (x: number, y: number): readonly [number, number] => {
        const w = h[6] * x + h[7] * y + h[8];
        return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
      };
      if (sighting.kind === "point") {
        const [u, v] = at(sighting.at.xYards, sighting.at.yYards);
        out.push((u - sighting.click.uPx) / sigmaPx, (v - sighting.click.vPx) / sigmaPx);
        continue;
      }
      // Two points of the line inside the field and in front of every camera here.
      const { from, to } = sighting;
      const part = (t: number) =>
        at(from.xYards + t * (to.xYards - from.xYards), from.yYards + t * (to.yYards - from.yYards));
      const [[u1, v1], [u2, v2]] = [part(0.4), part(0.6)];
      for (const { uPx, vPx } of sighting.clicks) {
        out.push(((u2 - u1) * (vPx - v1) - (v2 - v1) * (uPx - u1)) / Math.hypot(u2 - u1, v2 - v1) / sigmaPx);
      }
    }
    const place = [memory.xYards, memory.yYards, memory.heightYards];
    place.forEach((x, i) => out.push((p[i]! - x) / Math.sqrt(memory.covariance[4 * i]!)));
    out.push((p[5]! - memory.roll.meanRadians) / memory.roll.spreadRadians);
    return out;
  };

  test("is the minimum that a general least-squares library finds for the same sum", () => {
    // `ml-levenberg-marquardt` (MIT) fits a curve y(x; p): here x counts the residuals and every y is 0.
    const scales = [1, 1, 1, 0.01, 0.01, 0.01, 0.01];
    for (const camera of testCameras) {
      const random = seededRandom(31);
      const memory = knownPlace(camera, [0.3, 0.4, 0.1]);
      for (const [points, lines] of [
        [2, 0],
        [3, 1],
        [1, 2],
        [6, 0],
      ] as const) {
        const stakes = clicked(random, planStakes(random, camera, ncaa, points, lines, 1.5), 1.5);
        const { camera: c } = fromMemory(stakes, memory, camera);
        const ours = poseNumbers(c!);
        const start = [...camera.at, 0, Math.atan2(camera.at[2], 80 / 3 - camera.at[1]), 0, Math.log(camera.focalPx)];
        const poseOf = (p: readonly number[]) => p.map((x, k) => start[k]! + x * scales[k]!);
        const cost = (p: readonly number[]) =>
          residualsAt(p, stakes, memory, camera).reduce((sum, r) => sum + r * r, 0);
        const count = residualsAt(start, stakes, memory, camera).length;
        const theirs = levenbergMarquardt(
          { x: Array.from({ length: count }, (_, i) => i), y: Array.from({ length: count }, () => 0) },
          (p) => {
            const residuals = residualsAt(poseOf(p), stakes, memory, camera);
            return (i) => residuals[i]!;
          },
          {
            initialValues: start.map(() => 0),
            gradientDifference: 1e-6,
            centralDifference: true,
            maxIterations: 300,
            errorTolerance: 1e-14,
            improvementThreshold: 1e-12,
          },
        );
        const found = poseOf(theirs.parameterValues);
        expect(cost(ours)).toBeLessThan(cost(found) + 1e-9);
        ours.forEach((x, k) => expect(Math.abs(x - found[k]!) / scales[k]!).toBeLessThan(1e-5));
      }
    }
  }, 60_000);

  test("states the error that differences of the same sum give", () => {
    for (const camera of testCameras) {
      const random = seededRandom(32);
      const memory = knownPlace(camera, [0.3, 0.4, 0.1], 0.004);
      for (const [points, lines] of [
        [2, 0],
        [1, 1],
        [4, 0],
      ] as const) {
        const stakes = planStakes(random, camera, ncaa, points, lines, 1.5).map(({ stake }) => stake);
        const { homography, covariance, sigmaScale, camera: c } = fromMemory(stakes, memory, camera);
        // Clicks without noise: nothing is widened, and the truth is the answer.
        expect(sigmaScale).toBe(1);
        const pose = poseNumbers(c!);
        const steps = [1e-4, 1e-4, 1e-4, 1e-6, 1e-6, 1e-6, 1e-6];
        const derivative = (of: (p: readonly number[]) => readonly number[]): number[][] => {
          const columns = pose.map((x, k) => {
            const shifted = (by: number) => of(pose.map((y, j) => (j === k ? x + by : y)));
            const [plus, minus] = [shifted(steps[k]!), shifted(-steps[k]!)];
            return plus.map((value, i) => (value - minus[i]!) / (2 * steps[k]!));
          });
          return columns[0]!.map((_, i) => columns.map((column) => column[i]!));
        };
        const rows = derivative((p) => residualsAt(p, stakes, memory, camera));
        const information = pose.map((_, i) =>
          pose.map((__, j) => rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0)),
        );
        const expected = inverse(information);
        expect(c!.focalSdPx! / c!.focalPx / Math.sqrt(expected[6]![6]!)).toBeCloseTo(1, 4);
        for (const at of [fieldPoint(50, 10), fieldPoint(60, 30), fieldPoint(68, 50)]) {
          const j = derivative((p) => {
            const { uPx, vPx } = projectToImage(mapAt(p, camera), at)!;
            return [uPx, vPx];
          });
          const entry = (a: number, b: number) =>
            expected.reduce((sum, row, i) => sum + row.reduce((s, x, k) => s + j[a]![i]! * x * j[b]![k]!, 0), 0);
          const stated = projectionCovariance(homography, covariance, at);
          // Above the pose's own error only that of the pixels' aspect, 2e-4 of the distance from the middle column.
          const seen = projectToImage(homography, at)!;
          const aspect = (2e-4 * (seen.uPx - camera.image.widthPx / 2)) ** 2;
          expect((stated.uu - aspect) / entry(0, 0)).toBeCloseTo(1, 3);
          expect(stated.vv / entry(1, 1)).toBeCloseTo(1, 3);
          expect((stated.uv - entry(0, 1)) / Math.sqrt(entry(0, 0) * entry(1, 1))).toBeCloseTo(0, 3);
        }
      }
    }
  });

  test("stands and looks as OpenCV's pose has it, when the memory says next to nothing", async () => {
    const vision = await loadVision();
    for (const camera of testCameras) {
      const random = seededRandom(40);
      const memory = knownPlace(camera, [1e4, 1e4, 1e4], 1e3);
      const stakes = clicked(random, planStakes(random, camera, ncaa, 12, 0, 1.5), 1.5) as PointStake[];
      const { camera: c } = fromMemory(stakes, memory, camera);
      // At the focal length of the joint minimum the other six numbers are those of the least reprojection error.
      const [cu, cv] = [camera.image.widthPx / 2, camera.image.heightPx / 2];
      const axes = (h: readonly number[], f: number) => [
        [0, 1].map((j) => (h[j]! - cu * h[6 + j]!) / f),
        [0, 1].map((j) => (h[3 + j]! - cv * h[6 + j]!) / f),
        [0, 1].map((j) => h[6 + j]!),
      ];
      const rotationOf = (h: readonly number[], f: number): number[] => {
        const [r0, r1, d0, d1, f0, f1] = axes(h, f).flat() as unknown as [
          number,
          number,
          number,
          number,
          number,
          number,
        ];
        return [r0, r1, d0 * f1 - d1 * f0, d0, d1, f0 * r1 - f1 * r0, f0, f1, r0 * d1 - r1 * d0];
      };
      const found = vision.pose(
        { focalPx: c!.focalPx, middle: [cu, cv], bend: [0, 0, 0, 0] },
        stakes.map(({ landmarkId }) => {
          const { at } = landmarkOf(ncaa, landmarkId);
          return [at.xYards, at.yYards] as const;
        }),
        stakes.map(({ click }) => [click.uPx, click.vPx] as const),
        { rotation: rotationOf(camera.h, camera.focalPx), place: camera.at },
      );
      const off = Math.hypot(found.place[0] - c!.xYards, found.place[1] - c!.yYards, found.place[2] - c!.heightYards);
      expect(off).toBeLessThan(1e-6);
      const ours = rotationOf(mapAt(poseNumbers(c!), camera), c!.focalPx);
      ours.forEach((x, i) => expect(Math.abs(x - found.rotation[i]!)).toBeLessThan(1e-8));
    }
  }, 60_000);
});
