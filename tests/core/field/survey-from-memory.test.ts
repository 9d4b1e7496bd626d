import { describe, expect, test } from "vitest";
import type { CameraMemory } from "#core/field/camera-memory";
import { projectToField, projectToImage } from "#core/field/homography";
import { measureMark, regionHolds } from "#core/field/mark";
import { seededRandom } from "#core/field/random";
import type { PointStake, Stake } from "#core/field/stake";
import { type SurveyRefusal, surveyFrame } from "#core/field/survey";
import { surveyFromMemory } from "#core/field/survey-from-memory";
import { layOut, templateById } from "#core/field/template";
import { projectionCovariance } from "#core/field/uncertainty";
import { fieldDistanceYards, fieldPoint, imageDistancePx, imagePoint } from "#core/field/units";
import { demoFilm } from "../../scene/films.ts";
import { project, viewOf } from "../../scene/pinhole.ts";
import { sceneOf } from "../../scene/scene.ts";
import {
  type TestCamera,
  aimedCamera,
  clicked,
  inFrame,
  ncaa,
  noisy,
  phone,
  planStakes,
  pressBox,
  see,
  testCameras,
  tripod,
  visibleGrid,
} from "./cameras.ts";
import {
  exact,
  fromMemory,
  good,
  knownPlace,
  lineStake,
  memoryOf,
  moved,
  plannedView,
  remembered,
} from "./memory-trials.ts";
import { corners, landmarkOf, stakesAt } from "./staked.ts";

function refusal(stakes: readonly Stake[], memory: CameraMemory, camera: TestCamera): SurveyRefusal {
  const result = surveyFromMemory(ncaa, stakes, camera.image, memory);
  if (result.ok) throw new Error("surveyed");
  return result.refusal;
}

describe("a survey from the memory", () => {
  test("puts the published press box's other points where they are printed, from two of them", () => {
    // Source: the reference note on worked geometry, section 4: camera (60, -25, 12), 1500 px, six decimals.
    const stake = (landmarkId: string, uPx: number, vPx: number): PointStake => {
      return { kind: "point", id: landmarkId, landmarkId, click: imagePoint(uPx, vPx), sigmaPx: 1.5 };
    };
    const two = [
      stake("near-sideline/L35", 128.718555, 874.339671),
      stake("far-sideline/R35", 1244.748206, 425.475149),
    ];
    const found = fromMemory(two, knownPlace(pressBox, exact), pressBox);
    for (const [x, y, u, v] of [
      [75, 0, 1791.281445, 874.339671],
      [45, 160 / 3, 675.251794, 425.475149],
      [60, 80 / 3, 960, 540],
      [50, 160 / 9, 622.03649, 607.964281],
      [70, 160 / 9, 1297.96351, 607.964281],
      [50, 320 / 9, 716.889486, 491.110973],
      [60, 9, 960, 707.309932],
    ] as const) {
      expect(imageDistancePx(projectToImage(found.homography, fieldPoint(x, y))!, imagePoint(u, v))).toBeLessThan(1e-3);
    }
    expect(found.camera!.focalPx).toBeCloseTo(1500, 3);
    expect(found.camera!.rollRadians).toBeCloseTo(0, 6);
    expect(found.dof).toBe(0);
    expect(found.warnings.map(({ code }) => code)).toEqual(["no-check"]);
    expect(found.stakes.map(({ leaveOneOutPx }) => leaveOneOutPx)).toEqual([null, null]);
  });

  test("takes lines that do not all meet in one point, and a point with a line", () => {
    for (const camera of testCameras) {
      const lines = [
        lineStake(camera, "L40", [10, 30]),
        lineStake(camera, "R40", [10, 30]),
        lineStake(camera, "near-number-tops", [52, 68]),
      ];
      const mixed = [...stakesAt(camera, ["near-hash/L40"]), lineStake(camera, "R45", [5, 20, 40])];
      for (const stakes of [lines, mixed]) {
        const found = fromMemory(stakes, knownPlace(camera, exact, 0.003), camera);
        for (const spot of visibleGrid(camera, ncaa, 8)) {
          expect(fieldDistanceYards(projectToField(found.homography, see(camera, spot))!, spot)).toBeLessThan(1e-4);
        }
      }
    }
  });

  test("takes two crossing lines where the view is wide, and says why not where it is narrow", () => {
    const stakes = (camera: TestCamera) => [
      lineStake(camera, "near-sideline", [50, 70]),
      lineStake(camera, "R45", [5, 50]),
    ];
    const found = fromMemory(stakes(pressBox), knownPlace(pressBox, exact, 0.003), pressBox);
    for (const spot of visibleGrid(pressBox, ncaa, 8)) {
      expect(fieldDistanceYards(projectToField(found.homography, see(pressBox, spot))!, spot)).toBeLessThan(1e-3);
    }
    const parallel = [lineStake(phone, "L40", [10, 30]), lineStake(phone, "R40", [10, 30])];
    const refused = refusal(parallel, knownPlace(phone, good), phone);
    expect(refused.code).toBe("not-fixed");
    expect(refused.message).toMatch(/zooming in on the point where they meet/u);
  });

  test("takes lines from any side of the field", () => {
    for (const [at, aim] of [
      [
        [60, 75, 10],
        [60, 30, 0],
      ],
      [
        [-15, 27, 9],
        [30, 27, 0],
      ],
      [
        [130, 20, 9],
        [95, 25, 0],
      ],
      [
        [20, -15, 6],
        [45, 25, 0],
      ],
    ] as const) {
      const camera = aimedCamera("any side", at, aim, 900, tripod.image);
      const planned = ncaa.lines.flatMap((line) => {
        const [dx, dy] = [line.to.xYards - line.from.xYards, line.to.yYards - line.from.yYards];
        const seen = Array.from({ length: 201 }, (_, i) => i / 200)
          .map((t) => fieldPoint(line.from.xYards + t * dx, line.from.yYards + t * dy))
          .filter((spot) => inFrame(camera, spot));
        if (seen.length < 40) return [];
        return [
          lineStake(
            camera,
            line.id,
            [0, -1].map((k) => (dx === 0 ? seen.at(k)!.yYards : seen.at(k)!.xYards)),
          ),
        ];
      });
      const across = planned.filter(({ lineId }) => /sideline|hash|number/u.test(lineId)).slice(0, 2);
      const stakes = [...planned.filter((stake) => !across.includes(stake)).slice(0, 2), ...across.slice(0, 1)];
      for (const some of [stakes, stakes.toReversed()]) {
        const found = fromMemory(some, knownPlace(camera, exact, 0.003), camera);
        for (const spot of visibleGrid(camera, ncaa, 8)) {
          expect(fieldDistanceYards(projectToField(found.homography, see(camera, spot))!, spot)).toBeLessThan(1e-2);
        }
      }
    }
  });

  test("is never sure of a zoom far from the true one", () => {
    // Two lines fit two zooms or a whole range of them as often as not; only the expected lean tells them apart.
    const random = seededRandom(60);
    let surveyed = 0;
    for (let round = 0; round < 150; round++) {
      const { view, planned } = plannedView(random, pressBox, 0, 2);
      const result = surveyFromMemory(ncaa, clicked(random, planned, 1.5), view.image, knownPlace(view, good));
      if (!result.ok) continue;
      surveyed++;
      const { focalPx, focalSdPx } = result.survey.camera!;
      expect(Math.abs(Math.log(focalPx / view.focalPx))).toBeLessThan((5 * focalSdPx!) / focalPx);
    }
    expect(surveyed).toBeGreaterThan(40);
  }, 60_000);

  test("finds the demo film's every pan and zoom again from two points of a frame", () => {
    // Truth: the scene's own pinhole, which shares nothing with the program; its tripod is named in the film's script.
    const scene = sceneOf(demoFilm);
    const flag = layOut(templateById("flag-100x40")!);
    const image = { widthPx: demoFilm.widthPx, heightPx: demoFilm.heightPx };
    const random = seededRandom(20);
    const seenAt = (frame: number) => {
      const view = viewOf(scene.truthAt(frame).camera);
      return flag.landmarks.flatMap(({ id, at }) => {
        const seen = project(view, [at.xYards, at.yYards, 0]);
        if (seen === null || seen.uPx < 0 || seen.vPx < 0 || seen.uPx > image.widthPx || seen.vPx > image.heightPx)
          return [];
        return [{ id, at: imagePoint(seen.uPx, seen.vPx) }];
      });
    };
    const stakesOf = (seen: ReturnType<typeof seenAt>, noisePx: number): PointStake[] =>
      seen.map(({ id, at }) => ({
        kind: "point",
        id,
        landmarkId: id,
        click: noisy(random, at, noisePx),
        sigmaPx: 1.2,
      }));
    /** Spread as a person is told to: each farthest from those taken. */
    const spread = (seen: ReturnType<typeof seenAt>, count: number) => {
      const taken = [seen[0]!];
      while (taken.length < count) {
        const nearest = seen.map(({ at }) => Math.min(...taken.map((other) => imageDistancePx(at, other.at))));
        taken.push(seen[nearest.indexOf(Math.max(...nearest))]!);
      }
      return taken;
    };
    const surveys = Array.from({ length: 3 }, () => {
      const seen = seenAt(random.below(scene.frameCount));
      const result = surveyFrame(flag, stakesOf(spread(seen, 6), 1.2), image);
      if (!result.ok) throw new Error(result.refusal.message);
      return result.survey;
    });
    const memory = remembered(surveys);
    const { xYards, yYards, zYards } = demoFilm.tripod;
    const off = Math.hypot(memory.xYards - xYards, memory.yYards - yYards, memory.heightYards - zYards);
    expect(off).toBeLessThan(0.5);
    let worst = 0;
    const distances: number[] = [];
    for (let k = 0; k < 20; k++) {
      const seen = seenAt(random.below(scene.frameCount));
      const result = surveyFromMemory(flag, stakesOf(spread(seen, 2), 1.2), image, memory);
      if (!result.ok) throw new Error(result.refusal.message);
      for (const { id, at } of seen) {
        const drawn = projectToImage(result.survey.homography, landmarkOf(flag, id).at)!;
        distances.push(imageDistancePx(drawn, at));
        worst = Math.max(worst, distances.at(-1)!);
      }
    }
    distances.sort((a, b) => a - b);
    expect(worst).toBeLessThan(7);
    expect(distances[distances.length >> 1]!).toBeLessThan(2);
  });

  test("is known as well as it says, marks and map alike, from two stakes", () => {
    for (const camera of testCameras) {
      const random = seededRandom(77);
      let [marks, held, spots, heldSpots] = [0, 0, 0, 0];
      const errors: number[] = [];
      for (let round = 0; round < 150; round++) {
        const memory = memoryOf(random, camera, 2 + random.below(3));
        const { view, planned } = plannedView(random, camera, 2, 0);
        const found = fromMemory(clicked(random, planned, 1.5), memory, view);
        for (let m = 0; m < 10;) {
          const truth = fieldPoint(ncaa.totalLengthYards * random.uniform(), ncaa.widthYards * random.uniform());
          if (!inFrame(view, truth)) continue;
          m++;
          const mark = measureMark(found, { click: noisy(random, see(view, truth), 1.5), sigmaPx: 1.5 });
          // A mark refused for lying on the horizon states no region and is none.
          if (!mark.ok) continue;
          marks++;
          if (regionHolds(found.homography, mark, truth)) held++;
        }
        for (const spot of visibleGrid(view, ncaa, 8)) {
          const truth = see(view, spot);
          const at = projectToImage(found.homography, spot)!;
          const { uu, uv, vv } = projectionCovariance(found.homography, found.covariance, spot);
          const [du, dv] = [at.uPx - truth.uPx, at.vPx - truth.vPx];
          spots++;
          if ((vv * du * du - 2 * uv * du * dv + uu * dv * dv) / (uu * vv - uv * uv) <= 5.991) heldSpots++;
          errors.push(fieldDistanceYards(projectToField(found.homography, truth)!, spot));
        }
      }
      errors.sort((a, b) => a - b);
      expect(marks).toBeGreaterThan(1480);
      expect(held / marks).toBeGreaterThan(0.935);
      expect(held / marks).toBeLessThan(0.97);
      // The map's own error, without that of a click; spots of one frame hang together, so the band is wider.
      expect(heldSpots / spots).toBeGreaterThan(0.92);
      expect(heldSpots / spots).toBeLessThan(0.98);
      expect(errors[errors.length >> 1]!).toBeLessThan(camera === pressBox ? 0.25 : 1);
    }
  }, 60_000);

  test("states residuals and leave-one-out errors of its own fit", () => {
    const random = seededRandom(30);
    const memory = knownPlace(tripod, good);
    const stakes = clicked(random, planStakes(random, tripod, ncaa, 4, 0, 1.5), 1.5) as PointStake[];
    const found = fromMemory(stakes, memory, tripod);
    stakes.forEach((stake, i) => {
      const at = landmarkOf(ncaa, stake.landmarkId).at;
      const report = found.stakes[i]!;
      expect(report.residualPx).toBeCloseTo(imageDistancePx(projectToImage(found.homography, at)!, stake.click), 8);
      expect(Math.hypot(report.residual!.uPx, report.residual!.vPx)).toBeCloseTo(report.residualPx, 8);
      const without = fromMemory(
        stakes.filter((_, k) => k !== i),
        memory,
        tripod,
      );
      const left = imageDistancePx(projectToImage(without.homography, at)!, stake.click);
      expect(report.leaveOneOutPx).toBeCloseTo(left, 6);
    });
    expect(found.dof).toBe(4);
    const lines = [
      lineStake(tripod, "L40", [10, 20, 30]),
      lineStake(tripod, "R40", [10, 20, 30]),
      lineStake(tripod, "near-hash", [50, 60, 70]),
    ];
    for (const { residualPx, residual } of fromMemory(lines, memory, tripod).stakes) {
      expect(residualPx).toBeLessThan(1e-6);
      expect(residual).toBeNull();
    }
  });
});

describe("refuses to survey from the memory", () => {
  const memory = knownPlace(pressBox, good);

  test("one stake, or one and a half", () => {
    expect(refusal([], memory, pressBox).message).toMatch(/has none/u);
    const one = refusal(stakesAt(pressBox, corners.slice(0, 1)), memory, pressBox);
    expect(one.code).toBe("too-few-stakes");
    expect(one.message).toMatch(/has one\./u);
    const half = [...stakesAt(pressBox, corners.slice(0, 1)), lineStake(pressBox, "R40", [20])];
    expect(refusal(half, memory, pressBox).message).toMatch(/one and a half/u);
  });

  test("two stakes in one spot", () => {
    const [a, b] = stakesAt(pressBox, corners);
    const near = { ...b!, click: imagePoint(a!.click.uPx + 1, a!.click.vPx) };
    expect(refusal([a!, near], memory, pressBox).code).toBe("too-close-together");
    // Two landmarks of a low camera's far side, a few pixels apart: they tell where, not how large.
    const far = stakesAt(phone, ["far-hash/mid", "near-hash/mid"]);
    expect(
      refusal(
        far.map((s) => ({ ...s, sigmaPx: 9 })),
        knownPlace(phone, good),
        phone,
      ).code,
    ).toBe("too-close-together");
  });

  test("a line through its own point, which leaves the zoom open", () => {
    const through = [...stakesAt(tripod, ["near-hash/mid"]), lineStake(tripod, "near-hash", [45, 75])];
    expect(refusal(through, knownPlace(tripod, good), tripod).code).toBe("not-fixed");
  });

  test("names that no camera there can see so", () => {
    const swapped = stakesAt(
      pressBox,
      ["far-sideline/R35", "near-sideline/L35"],
      ["near-sideline/L35", "far-sideline/R35"],
    );
    expect(["behind-camera", "not-this-camera"]).toContain(refusal(swapped, memory, pressBox).code);
    const [first, ...rest] = stakesAt(pressBox, corners);
    expect(refusal([{ ...first!, landmarkId: "near-sideline/L37" }, ...rest], memory, pressBox).code).toBe(
      "unknown-landmark",
    );
    expect(refusal([first!, first!], memory, pressBox).code).toBe("same-landmark-twice");
  });

  test("one wrong name among three, and says which landmark it is", () => {
    for (const camera of testCameras) {
      const seenAs = ["near-sideline/L40", "far-sideline/R40", "near-hash/R45"];
      const named = ["near-sideline/L40", "far-sideline/R40", "near-hash/R40"];
      const found = refusal(stakesAt(camera, named, seenAs, 1, 3), knownPlace(camera, good), camera);
      expect(found.code).toBe("wrong-name");
      expect(found.suggestion).toMatchObject({ stakeId: "stake 3", landmarkId: "near-hash/R45" });
    }
  }, 60_000);

  test("four stakes from a tripod that was moved by 3 yd", () => {
    for (const camera of testCameras) {
      const random = seededRandom(50);
      let refused = 0;
      const rounds = 60;
      for (let round = 0; round < rounds; round++) {
        const held = memoryOf(random, camera, 3);
        const { view, planned } = plannedView(random, moved(camera, [3, 0, 0]), 4, 0);
        const result = surveyFromMemory(ncaa, clicked(random, planned, 1.5), view.image, held);
        if (result.ok) continue;
        refused++;
        expect(["not-this-camera", "wrong-name"]).toContain(result.refusal.code);
        if (result.refusal.code === "not-this-camera") {
          expect(result.refusal.message).toMatch(/about .* yd up, .* behind the near sideline.*may have been moved/u);
        }
      }
      expect(refused / rounds).toBeGreaterThan(0.9);
    }
  }, 60_000);

  test("nothing of a camera that stood still", () => {
    let refused = 0;
    for (const camera of testCameras) {
      const random = seededRandom(51);
      for (let round = 0; round < 100; round++) {
        const held = memoryOf(random, camera, 3);
        const { view, planned } = plannedView(random, camera, 2 + random.below(4), 0);
        if (!surveyFromMemory(ncaa, clicked(random, planned, 1.5), view.image, held).ok) refused++;
      }
    }
    expect(refused).toBeLessThanOrEqual(2);
  }, 60_000);
});
