import fc from "fast-check";
import { beforeAll, describe, expect, test } from "vitest";
import { type Homography, projectToImage } from "#core/field/homography";
import type { Sighting } from "#core/field/observations";
import { seededRandom } from "#core/field/random";
import { type Solution, solveHomography } from "#core/field/solve";
import { projectionCovariance } from "#core/field/uncertainty";
import { fieldPoint, imagePoint } from "#core/field/units";
import { clicked, ncaa, noisy, pressBox, see, sightingsOf, testCameras } from "./cameras.ts";
import { type Vision, loadVision } from "./opencv.ts";
import { efficiency, excessOverVision, noiseFreeError, soundPlan } from "./trials.ts";

function solved(sightings: readonly Sighting[]): Solution {
  const result = solveHomography(sightings);
  if (!result.ok) throw new Error(result.failure);
  return result.solution;
}

function imageGap(a: Homography, b: Homography, points: readonly (readonly [number, number])[]): number {
  return Math.max(
    ...points.map(([x, y]) => {
      const p = projectToImage(a, fieldPoint(x, y))!;
      const q = projectToImage(b, fieldPoint(x, y))!;
      return Math.hypot(p.uPx - q.uPx, p.vPx - q.vPx);
    }),
  );
}

const spots = [
  [45, 2],
  [75, 2],
  [60, 27],
  [50, 50],
  [70, 50],
] as const;

test("recovers the field without noise to a billionth of a yard", () => {
  expect(noiseFreeError()).toBeLessThan(1e-9);
});

describe("against the textbook", () => {
  // Source: Hartley and Zisserman, Multiple View Geometry, 2nd ed., section 5.1.3, error in one image, as tabled in the
  // reference note: residual RMS s √(1 − 4/n), estimation error s √(4/n), per coordinate.
  test.each([
    [4, 0, 1],
    [6, 0.57735, 0.816497],
    [8, 0.707107, 0.707107],
    [10, 0.774597, 0.632456],
    [20, 0.894427, 0.447214],
    [100, 0.979796, 0.2],
  ])("%i points: residual %f, estimation error %f", (n, residual, estimation) => {
    const random = seededRandom(n);
    const rounds = n === 100 ? 100 : 600;
    let left = 0;
    let wrong = 0;
    for (let round = 0; round < rounds; round++) {
      // Corners first, so that four are never on a line; the rest anywhere.
      const at = Array.from({ length: n }, (_, i) =>
        i < 4
          ? fieldPoint(i % 2 === 0 ? 45 : 75, i < 2 ? 0 : 53)
          : fieldPoint(45 + 30 * random.uniform(), 53 * random.uniform()),
      );
      const sightings = at.map((point): Sighting => ({
        kind: "point",
        at: point,
        click: noisy(random, see(pressBox, point), 1),
        sigmaPx: 1,
      }));
      const solution = solved(sightings);
      left += solution.residualRmsPx ** 2 / 2;
      at.forEach((point) => {
        const truth = see(pressBox, point);
        const found = projectToImage(solution.homography, point)!;
        wrong += ((found.uPx - truth.uPx) ** 2 + (found.vPx - truth.vPx) ** 2) / (2 * n);
      });
    }
    // Six hundred rounds of eight degrees of freedom leave about 1.5 % of chance in a root mean square.
    expect(Math.abs(Math.sqrt(left / rounds) - residual)).toBeLessThan(0.03);
    expect(Math.abs(Math.sqrt(wrong / rounds) - estimation)).toBeLessThan(0.04);
  });

  test("first-order covariance is what thousands of noisy surveys show", () => {
    // Source: the same book, section 5.3 ("should match to a few per cent with 1-px noise").
    // Eight thousand rounds leave 1.6 % of chance in a variance.
    const random = seededRandom(13);
    for (const camera of testCameras) {
      const planned = soundPlan(random, camera, 6, 4, 1);
      const exact = solved(
        sightingsOf(
          ncaa,
          planned.map(({ stake }) => stake),
        ),
      );
      const at = fieldPoint(60, 40);
      const truth = see(camera, at);
      const stated = projectionCovariance(exact.homography, exact.covariance, at);
      let uu = 0;
      let uv = 0;
      let vv = 0;
      const rounds = 8000;
      for (let round = 0; round < rounds; round++) {
        const found = projectToImage(solved(sightingsOf(ncaa, clicked(random, planned, 1))).homography, at)!;
        const [du, dv] = [found.uPx - truth.uPx, found.vPx - truth.vPx];
        uu += (du * du) / rounds;
        uv += (du * dv) / rounds;
        vv += (dv * dv) / rounds;
      }
      expect(Math.abs(uu / stated.uu - 1)).toBeLessThan(0.08);
      expect(Math.abs(vv / stated.vv - 1)).toBeLessThan(0.08);
      expect(Math.abs(uv - stated.uv)).toBeLessThan(0.08 * Math.sqrt(stated.uu * stated.vv));
    }
  });
});

test.each(testCameras.map((camera) => ({ name: camera.name, camera })))(
  "$name: error within a twentieth of the Cramér-Rao bound, points and lines",
  ({ camera }) => {
    // The bench runs every kind of plan at full size; 150 rounds leave about 2 % of chance here.
    for (const counts of [
      [6, 0],
      [12, 0],
      [4, 4],
    ] as const) {
      expect(efficiency(camera, counts, 0.5, 6, 150)).toBeLessThan(1.05);
    }
  },
);

describe("against OpenCV", () => {
  let vision: Vision;
  beforeAll(async () => {
    vision = await loadVision();
  });

  test("reprojects no worse than its least squares, wrong names or not", () => {
    expect(excessOverVision(vision, 400)).toBeLessThan(1e-6);
  });

  test("a stake left out is predicted as by its solve of the others", () => {
    const random = seededRandom(21);
    for (let round = 0; round < 30; round++) {
      const camera = testCameras[round % 3]!;
      const stakes = clicked(random, soundPlan(random, camera, 6 + (round % 5), 0, 1.5), 1.5);
      const seen = sightingsOf(ncaa, stakes).flatMap((s) => (s.kind === "point" ? [s] : []));
      const from = seen.map(({ at }) => [Math.fround(at.xYards), Math.fround(at.yYards)] as const);
      const to = seen.map(({ click }) => [Math.fround(click.uPx), Math.fround(click.vPx)] as const);
      const solution = solved(
        from.map(([x, y], i): Sighting => ({
          kind: "point",
          at: fieldPoint(x, y),
          click: imagePoint(...to[i]!),
          sigmaPx: 1.5,
        })),
      );
      solution.stakes.forEach(({ leaveOneOutPx }, out) => {
        if (leaveOneOutPx === null) return;
        const keep = <T>(list: readonly T[]): T[] => list.filter((_, i) => i !== out);
        const matches = vision.matches(keep(from), keep(to));
        const h = matches.solve();
        matches.free();
        const w = h[6] * from[out]![0] + h[7] * from[out]![1] + h[8];
        const u = (h[0] * from[out]![0] + h[1] * from[out]![1] + h[2]) / w;
        const v = (h[3] * from[out]![0] + h[4] * from[out]![1] + h[5]) / w;
        const theirs = Math.hypot(u - to[out]![0], v - to[out]![1]);
        // Its last iteration stops earlier than ours: within a thousandth of the error.
        expect(Math.abs(leaveOneOutPx - theirs)).toBeLessThan(2e-3 * (1 + theirs));
      });
    }
  });
});

describe("invariance", () => {
  const random = seededRandom(31);
  const sightings = sightingsOf(ncaa, clicked(random, soundPlan(random, pressBox, 6, 3, 1.5), 1.5));
  const base = solved(sightings);

  test("the order of stakes does not matter", () => {
    fc.assert(
      fc.property(fc.shuffledSubarray(sightings, { minLength: sightings.length }), (shuffled) => {
        const other = solved(shuffled);
        expect(imageGap(base.homography, other.homography, spots)).toBeLessThan(1e-7);
        expect(other.chiSquare).toBeCloseTo(base.chiSquare, 9);
        const before = base.stakes.map((stake) => stake.leaveOneOutPx!).toSorted((a, b) => a - b);
        const after = other.stakes.map((stake) => stake.leaveOneOutPx!).toSorted((a, b) => a - b);
        after.forEach((px, i) => expect(px).toBeCloseTo(before[i]!, 5));
      }),
      { numRuns: 30, seed: 1 },
    );
  });

  test("a turned, scaled and shifted image turns, scales and shifts the answer, and its errors only scale", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: 0.2, max: 5, noNaN: true }),
        fc.double({ min: -2000, max: 2000, noNaN: true }),
        (angle, scale, shift) => {
          const [c, s] = [scale * Math.cos(angle), scale * Math.sin(angle)];
          const turn = (p: { uPx: number; vPx: number }) =>
            imagePoint(c * p.uPx - s * p.vPx + shift, s * p.uPx + c * p.vPx - shift);
          const other = solved(
            sightings.map((x): Sighting => {
              const sigmaPx = x.sigmaPx * scale;
              return x.kind === "point"
                ? { ...x, sigmaPx, click: turn(x.click) }
                : { ...x, sigmaPx, clicks: x.clicks.map(turn) };
            }),
          );
          for (const [x, y] of spots) {
            const expected = turn(projectToImage(base.homography, fieldPoint(x, y))!);
            const found = projectToImage(other.homography, fieldPoint(x, y))!;
            expect(Math.hypot(found.uPx - expected.uPx, found.vPx - expected.vPx)).toBeLessThan(1e-6);
            const before = projectionCovariance(base.homography, base.covariance, fieldPoint(x, y));
            const after = projectionCovariance(other.homography, other.covariance, fieldPoint(x, y));
            expect((after.uu + after.vv) / (before.uu + before.vv) / scale ** 2).toBeCloseTo(1, 6);
          }
          expect(other.residualRmsPx / base.residualRmsPx / scale).toBeCloseTo(1, 8);
        },
      ),
      { numRuns: 40, seed: 2 },
    );
  });

  test("a turned and shifted field gives the same picture", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: -500, max: 500, noNaN: true }),
        (angle, shift) => {
          const [c, s] = [Math.cos(angle), Math.sin(angle)];
          const turn = (p: { xYards: number; yYards: number }) =>
            fieldPoint(c * p.xYards - s * p.yYards + shift, s * p.xYards + c * p.yYards);
          const other = solved(
            sightings.map((x): Sighting =>
              x.kind === "point" ? { ...x, at: turn(x.at) } : { ...x, from: turn(x.from), to: turn(x.to) },
            ),
          );
          for (const [x, y] of spots) {
            const expected = projectToImage(base.homography, fieldPoint(x, y))!;
            const found = projectToImage(other.homography, turn(fieldPoint(x, y)))!;
            expect(Math.hypot(found.uPx - expected.uPx, found.vPx - expected.vPx)).toBeLessThan(1e-6);
          }
        },
      ),
      { numRuns: 40, seed: 3 },
    );
  });
});

test("χ² over its degrees of freedom widens the covariance, and never narrows it", () => {
  const random = seededRandom(41);
  const planned = soundPlan(random, pressBox, 10, 0, 1.5);
  const exact = solved(sightingsOf(ncaa, clicked(random, planned, 0)));
  expect(exact.sigmaScale).toBe(1);
  const rough = solved(sightingsOf(ncaa, clicked(random, planned, 6)));
  expect(rough.sigmaScale).toBeCloseTo(Math.sqrt(rough.chiSquare / 12), 12);
  expect(rough.sigmaScale).toBeGreaterThan(2);
  const at = fieldPoint(60, 20);
  const small = projectionCovariance(exact.homography, exact.covariance, at);
  const large = projectionCovariance(rough.homography, rough.covariance, at);
  expect(large.uu / small.uu / rough.sigmaScale ** 2).toBeCloseTo(1, 1);
});

test("too little, or lines that all run side by side, fixes no map", () => {
  const line = (y: number): Sighting => ({
    kind: "line",
    from: fieldPoint(0, y),
    to: fieldPoint(120, y),
    clicks: [see(pressBox, fieldPoint(52, y)), see(pressBox, fieldPoint(68, y))],
    sigmaPx: 1.5,
  });
  expect(solveHomography([line(0), line(20), line(40)])).toEqual({ ok: false, failure: "underdetermined" });
  expect(solveHomography([line(0), line(10), line(20), line(40)]).ok).toBe(false);
});
