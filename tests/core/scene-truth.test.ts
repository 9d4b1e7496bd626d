import { createRequire } from "node:module";
import type * as Vision from "@techstark/opencv-js";
import { beforeAll, describe, expect, it } from "vitest";
import { demoFilm, films } from "../scene/films.ts";
import { fieldToImage, groundUnder, project, type Vector3, viewOf } from "../scene/pinhole.ts";
import { sceneOf } from "../scene/scene.ts";
import type { OfficialPosition } from "../scene/script.ts";
import { gaussian, seededDraw } from "../scene/seeded.ts";

const scene = sceneOf(demoFilm);

/** The general vision library's camera is the outside witness for the scene's own (a development dependency). */
const cv = createRequire(import.meta.url)("@techstark/opencv-js") as typeof Vision;

beforeAll(async () => {
  // Not `await cv`: the module has a `then` that never settles.
  if (!("Mat" in cv)) {
    await new Promise<void>((settle) => {
      (cv as { onRuntimeInitialized: () => void }).onRuntimeInitialized = settle;
    });
  }
}, 60_000);

function multiply(a: readonly number[], b: readonly number[]): number[] {
  return Array.from({ length: 9 }, (_, i) =>
    [0, 1, 2].reduce((sum, k) => sum + a[3 * Math.floor(i / 3) + k]! * b[3 * k + (i % 3)]!, 0),
  );
}

function rotation(axis: Vector3, radians: number): number[] {
  const vector = cv.matFromArray(
    3,
    1,
    cv.CV_64F,
    [...axis].map((part) => part * radians),
  );
  const matrix = new cv.Mat();
  cv.Rodrigues(vector, matrix);
  return [...matrix.data64F];
}

describe("the scene's camera", () => {
  it("projects as a general vision library does, turned, tilted, rolled and zoomed", () => {
    const draw = seededDraw(5);
    let worst = 0;
    for (let round = 0; round < 20; round++) {
      const camera = {
        ...demoFilm.tripod,
        panRadians: 0.3 * gaussian(draw),
        tiltRadians: -0.18 + 0.05 * gaussian(draw),
        rollRadians: 0.05 * gaussian(draw),
        focalPx: 1200 + 200 * draw(),
        widthPx: 1280,
        heightPx: 720,
      };
      // World to a camera whose x is right, y down, z ahead: undo the pan, stand upright, undo the tilt and the roll.
      const upright = [1, 0, 0, 0, 0, -1, 0, 1, 0];
      const level = multiply(
        rotation([1, 0, 0], -camera.tiltRadians),
        multiply(upright, rotation([0, 0, 1], camera.panRadians)),
      );
      // A camera that leans clockwise sees the world turn the other way.
      const turn = multiply(rotation([0, 0, 1], -camera.rollRadians), level);
      const shift = [0, 1, 2].map(
        (row) =>
          -(turn[3 * row]! * camera.xYards + turn[3 * row + 1]! * camera.yYards + turn[3 * row + 2]! * camera.zYards),
      );
      const points = Array.from({ length: 10 }, (): Vector3 => [100 * draw(), 45 * draw(), 2 * draw()]);
      const turnVector = new cv.Mat();
      cv.Rodrigues(cv.matFromArray(3, 3, cv.CV_64F, turn), turnVector);
      const image = new cv.Mat();
      cv.projectPoints(
        cv.matFromArray(points.length, 1, cv.CV_64FC3, points.flat()),
        turnVector,
        cv.matFromArray(3, 1, cv.CV_64F, shift),
        cv.matFromArray(3, 3, cv.CV_64F, [camera.focalPx, 0, 640, 0, camera.focalPx, 360, 0, 0, 1]),
        cv.Mat.zeros(4, 1, cv.CV_64F),
        image,
      );
      const view = viewOf(camera);
      points.forEach((point, i) => {
        const ours = project(view, point);
        if (!ours) throw new Error("a point of the field fell behind the camera");
        const theirs = image.data64F;
        worst = Math.max(worst, Math.hypot(ours.uPx - theirs[2 * i]!, ours.vPx - theirs[2 * i + 1]!));
      });
    }
    // Two routes of double arithmetic over coordinates of some thousand pixels.
    expect(worst).toBeLessThan(1e-6);
  });

  it("maps the ground by one homography, and back", () => {
    const view = viewOf(scene.truthAt(100).camera);
    const h = fieldToImage(view);
    for (const [x, y] of [
      [30, 0],
      [50, 40],
      [44.5, 13.3],
    ] as const) {
      const there = project(view, [x, y, 0])!;
      const w = h[6] * x + h[7] * y + h[8];
      expect((h[0] * x + h[1] * y + h[2]) / w).toBeCloseTo(there.uPx, 8);
      expect((h[3] * x + h[4] * y + h[5]) / w).toBeCloseTo(there.vPx, 8);
      const back = groundUnder(view, there.uPx, there.vPx)!;
      expect(back.xYards).toBeCloseTo(x, 8);
      expect(back.yYards).toBeCloseTo(y, 8);
    }
    expect(groundUnder(view, 640, -400)).toBeNull();
  });
});

/**
 * Where a crew of four belongs before each snap, in field yards, worked out by hand from common practice for flag crews:
 * R 7 yd behind and 7 yd wide of the deepest back, LJ in the neutral zone on the far sideline, FJ 10 yd downfield on the
 * near sideline (third and fourth down with less than 10 yd to gain: on the line to gain), BJ 20 yd downfield on the far
 * hash. Deepest backs stand at x = 27.8, 35, 38.9, 44.7, 56, 70.2, 60, 39.8, 45.8, 51, 66.1, 68.2, 53, 49.3 and 37.9,
 * y = 18.2, 24.9, 19.1, 20.2, 20, 22.6, 17, 17.5, 20, 23, 21, 23, 24.5, 22 and 22.
 */
const belongs: Record<number, Record<OfficialPosition, readonly [number, number]>> = {
  1: { R: [20.8, 11.2], LJ: [34, 40.5], FJ: [44, -0.5], BJ: [54, 26.667] },
  2: { R: [28, 17.9], LJ: [41, 40.5], FJ: [51, -0.5], BJ: [61, 26.667] },
  3: { R: [31.9, 12.1], LJ: [45, 40.5], FJ: [50, -0.5], BJ: [65, 26.667] },
  4: { R: [37.7, 13.2], LJ: [51, 40.5], FJ: [61, -0.5], BJ: [71, 26.667] },
  5: { R: [49, 13], LJ: [62, 40.5], FJ: [72, -0.5], BJ: [82, 26.667] },
  6: { R: [77.2, 15.6], LJ: [64, 40.5], FJ: [54, -0.5], BJ: [44, 26.667] },
  7: { R: [67, 10], LJ: [54, 40.5], FJ: [50, -0.5], BJ: [34, 26.667] },
  8: { R: [32.8, 10.5], LJ: [46, 40.5], FJ: [50, -0.5], BJ: [66, 26.667] },
  9: { R: [38.8, 13], LJ: [52, 40.5], FJ: [62, -0.5], BJ: [72, 26.667] },
  10: { R: [44, 16], LJ: [57, 40.5], FJ: [67, -0.5], BJ: [77, 26.667] },
  11: { R: [73.1, 14], LJ: [60, 40.5], FJ: [50, -0.5], BJ: [40, 26.667] },
  12: { R: [75.2, 16], LJ: [62, 40.5], FJ: [52, -0.5], BJ: [42, 26.667] },
  13: { R: [60, 17.5], LJ: [47, 40.5], FJ: [37, -0.5], BJ: [27, 26.667] },
  14: { R: [56.3, 15], LJ: [43, 40.5], FJ: [33, -0.5], BJ: [23, 26.667] },
  15: { R: [30.9, 15], LJ: [44, 40.5], FJ: [50, -0.5], BJ: [64, 26.667] },
};

/** The faults of station that the demo is meant to hold: play, official, yards downfield of the right depth. */
const meant = [
  [2, "FJ", -3.5],
  [3, "FJ", 5],
  [4, "R", 4],
  [5, "BJ", -6],
  [5, "LJ", 3.5],
] as const;

describe("the demo's script", () => {
  it("places every official where common practice has them, but for the planted faults", () => {
    const off: [number, string, number][] = [];
    const within: number[] = [];
    for (const play of scene.plays) {
      const downfield = play.situation.direction === "right" ? 1 : -1;
      for (const person of scene.truthAt(play.snapFrame).people) {
        if (person.kind !== "official") continue;
        const [x, y] = belongs[play.number]![person.position];
        const depth = (person.xYards - x) * downfield;
        expect(Math.abs(person.yYards - y), `play ${play.number} ${person.position} width`).toBeLessThan(0.45);
        if (Math.abs(depth) > 1) off.push([play.number, person.position, depth]);
        else within.push(Math.abs(depth));
      }
    }
    expect(Math.max(...within)).toBeLessThan(0.45);
    expect(off).toHaveLength(meant.length);
    for (const [number, position, yards] of meant) {
      const found = off.find((one) => one[0] === number && one[1] === position);
      expect(found?.[2], `play ${number} ${position}`).toBeCloseTo(yards, 1);
    }
  });

  it("lists the planted faults of station as they are played", () => {
    const listed = scene.plantedFaults.flatMap((fault) =>
      fault.kind === "depth" ? [[fault.playNumber, fault.position, fault.depthYards - fault.expectedDepthYards]] : [],
    );
    expect(listed).toHaveLength(meant.length);
    for (const [number, position, yards] of meant) {
      const found = listed.find((one) => one[0] === number && one[1] === position);
      expect(found?.[2], `play ${number} ${position}`).toBeCloseTo(yards, 6);
    }
  });

  it("keeps down, distance and line to gain in step", () => {
    for (const { number, situation } of scene.plays) {
      const gain = situation.lineToGainXYards - situation.scrimmageXYards;
      expect(Math.abs(gain), `play ${number}`).toBe(situation.distanceYards);
      expect(gain > 0, `play ${number}`).toBe(situation.direction === "right");
      // 80 yd field with zone lines every 20 yd: a line to gain is one of x = 30, 50, 70 or a goal line (NIRSA digest).
      expect([10, 30, 50, 70, 90]).toContain(situation.lineToGainXYards);
    }
  });
});

describe.each(films.map((film) => [film.name, sceneOf(film)] as const))("the truth of the %s film", (_, here) => {
  it("has seven a side but where one too many is planted, one snapper, one passer and one rusher, and a crew of four, each side behind its own line", () => {
    for (const play of here.plays) {
      const { people } = here.truthAt(play.snapFrame);
      const downfield = play.situation.direction === "right" ? 1 : -1;
      const players = people.filter((person) => person.kind === "player");
      expect(
        people
          .filter((person) => person.kind === "official")
          .map((one) => one.position)
          .toSorted(),
      ).toEqual(["BJ", "FJ", "LJ", "R"]);
      const miscount = here.plantedFaults.find(
        (fault) => fault.kind === "miscount" && fault.playNumber === play.number && fault.side === "A",
      );
      expect(players.filter((one) => one.side === "A")).toHaveLength(miscount ? 8 : 7);
      expect(players.filter((one) => one.side === "B")).toHaveLength(7);
      for (const role of ["snapper", "passer", "rusher"] as const) {
        expect(players.filter((one) => one.role === role)).toHaveLength(1);
      }
      for (const player of players) {
        const depth = (player.xYards - play.situation.scrimmageXYards) * downfield;
        expect(player.side === "A" ? depth < 0 : depth > 0, `${play.number} ${player.id}`).toBe(true);
      }
    }
  });

  it("keeps everyone and the ball still until the snap", () => {
    for (const play of here.plays) {
      const first = here.truthAt(play.firstFrame);
      const snap = here.truthAt(play.snapFrame);
      for (const [i, person] of snap.people.entries()) {
        const before = first.people[i]!;
        expect(Math.hypot(person.xYards - before.xYards, person.yYards - before.yYards)).toBeLessThan(1e-9);
      }
      expect(snap.ball).toEqual(first.ball);
      expect([snap.ball.xYards, snap.ball.yYards]).toEqual([play.situation.scrimmageXYards, play.situation.ballYYards]);
      expect(here.truthAt(play.snapFrame + 1).ball).not.toEqual(snap.ball);
    }
  });

  it("moves nobody faster than people run, and nobody by a jump", () => {
    // A trained amateur sprints at about 9 m/s, which is 9.8 yd/s.
    const rate = here.film.framesPerSec;
    for (const play of here.plays) {
      for (let frame = play.firstFrame + 1; frame < play.firstFrame + play.frameCount; frame++) {
        const [before, after] = [here.truthAt(frame - 1), here.truthAt(frame)];
        for (const [i, person] of after.people.entries()) {
          const last = before.people[i]!;
          const speed = Math.hypot(person.xYards - last.xYards, person.yYards - last.yYards) * rate;
          expect(speed, `${person.id} at frame ${frame}`).toBeLessThan(9.8);
        }
      }
    }
  });

  it("shows every person and the ball in the picture at the snap, with room around the feet", () => {
    for (const play of here.plays) {
      const truth = here.truthAt(play.snapFrame);
      const view = viewOf(truth.camera);
      for (const { xYards, yYards } of [...truth.people, truth.ball]) {
        const at = project(view, [xYards, yYards, 0])!;
        expect(at.uPx).toBeGreaterThan(20);
        expect(at.uPx).toBeLessThan(view.widthPx - 20);
        expect(at.vPx).toBeGreaterThan(20);
        expect(at.vPx).toBeLessThan(view.heightPx - 20);
      }
    }
  });

  it("moves its tripod's centre never, a hand's by inches, and its pan by less than a hand would between frames", () => {
    const { tripod, shake } = here.film;
    for (const play of here.plays) {
      for (let frame = play.firstFrame + 1; frame < play.firstFrame + play.frameCount; frame++) {
        const [before, after] = [here.truthAt(frame - 1).camera, here.truthAt(frame).camera];
        const off = Math.hypot(
          after.xYards - tripod.xYards,
          after.yYards - tripod.yYards,
          after.zYards - tripod.zYards,
        );
        if (shake === undefined) expect(off).toBe(0);
        else expect(off).toBeLessThan(0.1);
        expect(Math.abs(after.panRadians - before.panRadians)).toBeLessThan(0.02);
        expect(Math.abs(after.focalPx / before.focalPx - 1)).toBeLessThan(0.005);
      }
    }
  });
});
