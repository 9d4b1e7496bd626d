import { describe, expect, test } from "vitest";
import { type CameraContradiction, agreesWithMemory, cameraPlace, rememberCamera } from "#core/field/camera-memory";
import { solvePose } from "#core/field/camera-solve";
import { type MeasuredMap, fitCentre, measuredMap } from "#core/field/centre-fit";
import { invertHomography } from "#core/field/homography";
import { seededRandom } from "#core/field/random";
import { type Survey, surveyFrame } from "#core/field/survey";
import { imagePoint } from "#core/field/units";
import {
  aimedCamera,
  clicked,
  inFrame,
  ncaa,
  phone,
  planStakes,
  pressBox,
  sightingsOf,
  testCameras,
  tripod,
} from "./cameras.ts";
import {
  good,
  knownPlace,
  memoryOf,
  moved,
  placeError,
  plannedView,
  remembered,
  surveyTurned,
} from "./memory-trials.ts";
import { eight, landmarkOf, stakesAt, survey } from "./staked.ts";

function contradicted(surveys: readonly Survey[]): CameraContradiction {
  const found = rememberCamera(surveys);
  if (found?.kind !== "contradiction") throw new Error("remembered");
  return found;
}

describe("a remembered camera", () => {
  test("stands where the camera stands, from surveys without noise", () => {
    const random = seededRandom(2);
    for (const camera of testCameras) {
      for (const count of [2, 3, 6]) {
        const memory = remembered(Array.from({ length: count }, () => surveyTurned(random, camera, 6, 2, 0)));
        expect(Math.abs(memory.xYards - camera.at[0])).toBeLessThan(1e-6);
        expect(Math.abs(memory.yYards - camera.at[1])).toBeLessThan(1e-6);
        expect(Math.abs(memory.heightYards - camera.at[2])).toBeLessThan(1e-6);
        expect(memory.chiSquare).toBeLessThan(1e-6);
        expect([memory.surveyCount, memory.dof]).toEqual([count, 4 * count - 3]);
      }
    }
  });

  test("is known as well as it says: the 95 % region of its place holds the truth", () => {
    for (const count of [2, 4]) {
      let held = 0;
      let rounds = 0;
      for (const camera of testCameras) {
        const random = seededRandom(10 + count);
        for (let round = 0; round < 250; round++) {
          const found = rememberCamera(
            Array.from({ length: count }, () => surveyTurned(random, camera, 6 + random.below(6), 0, 1.5)),
          );
          // A contradiction here would be a false alarm; it counts as a region that misses.
          rounds++;
          // 95 % point of χ² with three degrees of freedom, from the tables: 7.815.
          if (found?.kind === "memory" && placeError(found, camera) <= 7.815) held++;
        }
      }
      expect(held / rounds).toBeGreaterThan(0.93);
      expect(held / rounds).toBeLessThan(0.97);
    }
  }, 60_000);

  test("learns how the camera leans, and how much that varies", () => {
    const lean = (roll: number, aimX: number): Survey => {
      const view = aimedCamera("leaning", pressBox.at, [aimX, 25, 0], 1500, pressBox.image, roll);
      return survey(stakesAt(view, eight, eight, 0.5, Math.round(aimX)), view);
    };
    const steady = remembered([50, 55, 60, 65, 70].map((aimX) => lean(0.03, aimX)));
    expect(steady.roll.meanRadians).toBeCloseTo(0.03, 2);
    expect(steady.roll.spreadRadians).toBeLessThan(0.012);
    const loose = remembered([50, 55, 60, 65, 70].map((aimX, i) => lean([-0.06, 0.05, 0.01, 0.07, -0.04][i]!, aimX)));
    // Sample standard deviation of the five leans: 0.0577; two surveys' worth of a steady tripod draws it down.
    expect(loose.roll.spreadRadians).toBeGreaterThan(0.035);
    expect(loose.roll.spreadRadians).toBeLessThan(0.065);
  });

  test("is none from fewer than two surveys, or from maps that tell no camera", () => {
    const one = survey(stakesAt(pressBox, eight));
    expect(rememberCamera([])).toBeNull();
    expect(rememberCamera([one])).toBeNull();
    const flat = { ...one, homography: [20, 0, 0, 0, -20, 1000, 0, 0, 1] as const };
    expect(rememberCamera([flat, flat])).toBeNull();
  });

  test("weighs a survey by what it knows: a narrow view bends nothing", () => {
    const random = seededRandom(6);
    const wide = [0, 1].map(() => surveyTurned(random, pressBox, 10, 0, 1.5));
    const near = remembered(wide);
    const narrowView = aimedCamera("narrow", pressBox.at, [60, 30, 0], 6000, pressBox.image);
    const ids = ["near-hash/mid", "far-hash/mid", "near-hash/L45", "far-hash/L45", "near-hash/R45", "far-hash/R45"];
    const narrow = survey(
      stakesAt(
        narrowView,
        ids.filter((id) => inFrame(narrowView, landmarkOf(ncaa, id).at)),
        undefined,
        1.5,
        4,
      ),
      narrowView,
    );
    const alone = cameraPlace(narrow)!;
    const along = Math.hypot(alone.xYards - 60, alone.yYards + 25, alone.heightYards - 12);
    expect(Math.sqrt(alone.covariance[4]!)).toBeGreaterThan(0.5);
    const all = remembered([...wide, narrow]);
    expect(Math.abs(all.yYards - near.yYards)).toBeLessThan(0.1 * along + 0.05);
    for (const k of [0, 4, 8]) expect(all.covariance[k]!).toBeLessThanOrEqual(near.covariance[k]! * 1.5);
  });

  test("is refused when the tripod was moved by 3 yd, and the odd survey is named where there are three", () => {
    for (const camera of testCameras) {
      for (const by of [
        [3, 0, 0],
        [0, -3, 0],
      ] as const) {
        const random = seededRandom(5);
        for (let round = 0; round < 15; round++) {
          const kept = [0, 1, 2].map(() => surveyTurned(random, camera, 8, 0, 1.5));
          const odd = surveyTurned(random, moved(camera, by), 8, 0, 1.5);
          const two = contradicted([kept[0]!, odd]);
          expect(two.surveys).toEqual([0, 1]);
          expect(two.apartYards).toBeGreaterThan(2.5);
          expect(two.apartYards).toBeLessThan(3.5);
          const four = contradicted([kept[0]!, odd, kept[1]!, kept[2]!]);
          expect(four.surveys).toEqual([1]);
          expect(four.message).toMatch(/camera was moved/u);
        }
      }
    }
  }, 60_000);

  test("is refused when two halves of the film stand apart, without blame on any one", () => {
    const random = seededRandom(8);
    const there = moved(tripod, [4, 0, 0]);
    const surveys = [tripod, there, tripod, there].map((camera) => surveyTurned(random, camera, 8, 0, 1.5));
    const found = contradicted(surveys);
    expect(found.surveys).toEqual([0, 1, 2, 3]);
    expect(found.message).toMatch(/no single one is to blame/u);
  });

  test("blames no single survey when the removal of either of two would settle it", () => {
    // The third, from clicks as rough as 20 px, goes with both places: which of the other two moved cannot be told.
    const random = seededRandom(12);
    const here = surveyTurned(random, pressBox, 10, 0, 1.5);
    const there = surveyTurned(random, moved(pressBox, [0, -3, 0]), 10, 0, 1.5);
    const vague = survey(stakesAt(pressBox, eight, eight, 5, 4).map((stake) => ({ ...stake, sigmaPx: 20 })));
    expect(contradicted([here, there, vague]).surveys).toEqual([0, 1, 2]);
  });

  test("tells from a survey's map alone what its clicks tell, place and lean with their errors", () => {
    // The other road: the seven numbers fitted to the clicks themselves, with a prior that says next to nothing.
    for (const camera of testCameras) {
      const random = seededRandom(15);
      const stakes = planStakes(random, camera, ncaa, 8, 2, 1.5).map(({ stake }) => stake);
      const found = surveyFrame(ncaa, stakes, camera.image);
      if (!found.ok) throw new Error(found.refusal.message);
      const byMap = fitCentre([measuredMap(found.survey)!], null)!;
      const place = { place: Float64Array.from(camera.at), information: new Float64Array(9) };
      const prior = { place, roll: { meanRadians: 0, spreadRadians: 1e6 } };
      const byClicks = solvePose(sightingsOf(ncaa, stakes), camera.image, prior);
      if (!byClicks.ok) throw new Error(byClicks.failure);
      const { covariance } = byClicks.fit;
      for (let i = 0; i < 3; i++) {
        for (let j = 0; j < 3; j++) {
          const scale = Math.sqrt(covariance[i * 8]! * covariance[j * 8]!);
          expect((byMap.covariance[i * 3 + j]! - covariance[i * 7 + j]!) / scale).toBeCloseTo(0, 4);
        }
      }
      expect(byMap.rollSds[0]! / Math.sqrt(covariance[5 * 8]!)).toBeCloseTo(1, 4);
    }
  });

  test("knows each frame's lean as well as it says", () => {
    const random = seededRandom(14);
    let squares = 0;
    let count = 0;
    for (let round = 0; round < 200; round++) {
      const views = [0, 1].map(() => plannedView(random, phone, 6, 0));
      // A camera leans as its horizon does: the horizon's normal on the ground side, clockwise from straight down.
      const leans = views.map(({ view }) => {
        const inverse = invertHomography(view.h);
        return Math.atan2(inverse[6], inverse[7]);
      });
      const maps: MeasuredMap[] = [];
      for (const { view, planned } of views) {
        const found = surveyFrame(ncaa, clicked(random, planned, 1.5), view.image);
        // Undone: each survey's own widening by chance, which this test would read as prudence.
        if (found.ok) maps.push(measuredMap(found.survey, 1 / found.survey.sigmaScale ** 2)!);
      }
      if (maps.length < 2) continue;
      const fit = fitCentre(maps, null)!;
      fit.poses.forEach((pose, i) => {
        squares += ((pose[5]! - leans[i]!) / fit.rollSds[i]!) ** 2;
        count++;
      });
    }
    expect(count).toBeGreaterThan(250);
    expect(Math.sqrt(squares / count)).toBeGreaterThan(0.9);
    expect(Math.sqrt(squares / count)).toBeLessThan(1.1);
  }, 60_000);

  test("is refused when a part of the film was cropped", () => {
    // The same frame with its left 200 px cut away: the lens axis is no longer in the middle of the picture.
    const random = seededRandom(3);
    const kept = [0, 1, 2].map(() => surveyTurned(random, pressBox, 10, 0, 1));
    const image = { widthPx: pressBox.image.widthPx - 200, heightPx: pressBox.image.heightPx };
    const cut = stakesAt(pressBox, eight, eight, 1, 3).map((stake) => ({
      ...stake,
      click: imagePoint(stake.click.uPx - 200, stake.click.vPx),
    }));
    const cropped = surveyFrame(ncaa, cut, image);
    if (!cropped.ok) throw new Error(cropped.refusal.message);
    expect(contradicted([...kept, cropped.survey]).surveys).toEqual([3]);
  });
});

describe("a survey held against the memory", () => {
  test("agrees when the camera stood still, and says how far off it is when it did not", () => {
    let alarms = 0;
    for (const camera of testCameras) {
      const random = seededRandom(9);
      for (let round = 0; round < 60; round++) {
        const memory = memoryOf(random, camera, 3);
        const same = agreesWithMemory(surveyTurned(random, camera, 8, 0, 1.5), memory);
        if (!same.agrees) alarms++;
        else expect(same.warning).toBeNull();
        const other = agreesWithMemory(surveyTurned(random, moved(camera, [0, -3, 0]), 8, 0, 1.5), memory);
        expect(other.agrees).toBe(false);
        expect(Math.abs(other.apartYards - 3)).toBeLessThan(1);
        expect(other.warning!.code).toBe("camera-elsewhere");
        expect(other.warning!.message).toMatch(/^This survey puts the camera [23]\.\d yd from where/u);
      }
    }
    // The limit is passed once in a thousand by chance.
    expect(alarms).toBeLessThanOrEqual(2);
  }, 60_000);

  test("agrees when it tells no place", () => {
    const memory = knownPlace(pressBox, good);
    const found = survey(stakesAt(pressBox, eight));
    const open = { ...found, covariance: { ...found.covariance, matrix: found.covariance.matrix.map(() => 0) } };
    expect(agreesWithMemory(open, memory).agrees).toBe(true);
  });
});
