import { type Homography, projectToField } from "#core/field/homography";
import { measureMark, regionHolds } from "#core/field/mark";
import { type Random, seededRandom } from "#core/field/random";
import type { Sighting } from "#core/field/observations";
import { solveHomography } from "#core/field/solve";
import { surveyFrame } from "#core/field/survey";
import { fieldDistanceYards, fieldPoint, imagePoint } from "#core/field/units";
import {
  type Planned,
  type TestCamera,
  clicked,
  inFrame,
  ncaa,
  noisy,
  planStakes,
  see,
  sightingsOf,
  testCameras,
  visibleGrid,
} from "./cameras.ts";
import { groundBounds } from "./cramer-rao.ts";
import type { Vision } from "./opencv.ts";

/** Monte-Carlo trials on the test cameras, run small by the tests and at full size by the bench. */

/** Six to twenty stakes, of points, of both kinds, and of lines alone. */
export const stakeCounts: readonly (readonly [points: number, lines: number])[] = [
  [6, 0],
  [8, 0],
  [12, 0],
  [20, 0],
  [4, 2],
  [4, 4],
  [6, 6],
  [0, 8],
];

/** Plans that leave the frame open (three points of four on a clicked line, say) are no surveys and are drawn again. */
export function soundPlan(
  random: Random,
  camera: TestCamera,
  points: number,
  lines: number,
  sigmaPx: number,
): readonly Planned[] {
  for (;;) {
    const planned = planStakes(random, camera, ncaa, points, lines, sigmaPx);
    const stakes = planned.map(({ stake }) => stake);
    if (surveyFrame(ncaa, stakes, camera.image).ok) return planned;
  }
}

/**
 * RMS ground error over the Cramér-Rao bound, every visible spot counted alike: the square root of the mean, over spots
 * 5 yd apart in the frame and over stake plans, of mean square error over bound.
 */
export function efficiency(
  camera: TestCamera,
  counts: readonly [number, number],
  sigmaPx: number,
  plans: number,
  rounds: number,
): number {
  const random = seededRandom(7);
  const spots = visibleGrid(camera, ncaa, 5);
  let sum = 0;
  for (let plan = 0; plan < plans; plan++) {
    const planned = soundPlan(random, camera, counts[0], counts[1], sigmaPx);
    const bounds = groundBounds(camera, planned, sigmaPx, spots);
    const squares = new Float64Array(spots.length);
    for (let round = 0; round < rounds; round++) {
      const solved = solveHomography(sightingsOf(ncaa, clicked(random, planned, sigmaPx)));
      if (!solved.ok) throw new Error(`a sound plan was not solved: ${solved.failure}`);
      spots.forEach((spot, i) => {
        const found = projectToField(solved.solution.homography, see(camera, spot));
        squares[i]! += found === null ? Infinity : fieldDistanceYards(found, spot) ** 2;
      });
    }
    spots.forEach((_, i) => {
      sum += squares[i]! / rounds / bounds[i]!;
    });
  }
  return Math.sqrt(sum / plans / spots.length);
}

export type Coverage = { readonly marks: number; readonly held: number; readonly refused: number };

/** Share of marks, anywhere in the visible field, whose stated 95 % region holds the truth; a new survey every ten. */
export function coverage(camera: TestCamera, surveys: number, sigmaPx: number, seed: number): Coverage {
  const random = seededRandom(seed);
  let marks = 0;
  let held = 0;
  let refused = 0;
  for (let k = 0; k < surveys; k++) {
    const total = 6 + random.below(15);
    const lines = random.below(2) === 0 ? 0 : Math.floor(total / 3);
    const planned = soundPlan(random, camera, total - lines, lines, sigmaPx);
    const result = surveyFrame(ncaa, clicked(random, planned, sigmaPx), camera.image);
    if (!result.ok) {
      refused += 10;
      continue;
    }
    for (let m = 0; m < 10;) {
      const truth = fieldPoint(ncaa.totalLengthYards * random.uniform(), ncaa.widthYards * random.uniform());
      if (!inFrame(camera, truth)) continue;
      m++;
      const mark = measureMark(result.survey, { click: noisy(random, see(camera, truth), sigmaPx), sigmaPx });
      if (!mark.ok) {
        refused++;
        continue;
      }
      marks++;
      if (regionHolds(result.survey.homography, mark, truth)) held++;
    }
  }
  return { marks, held, refused };
}

/** Largest ground error, yd, over the visible field of noise-free surveys of every kind of plan. */
export function noiseFreeError(): number {
  const random = seededRandom(3);
  let worst = 0;
  for (const camera of testCameras) {
    const spots = visibleGrid(camera, ncaa, 5);
    for (const [points, lines] of [...stakeCounts, [4, 0] as const]) {
      const stakes = soundPlan(random, camera, points, lines, 1.5).map(({ stake }) => stake);
      const result = surveyFrame(ncaa, stakes, camera.image);
      if (!result.ok) throw new Error(result.refusal.message);
      for (const spot of spots) {
        const found = projectToField(result.survey.homography, see(camera, spot));
        worst = Math.max(worst, found === null ? Infinity : fieldDistanceYards(found, spot));
      }
    }
  }
  return worst;
}

function rmsPx(
  h: Homography,
  pairs: readonly (readonly [number, number])[],
  to: readonly (readonly [number, number])[],
) {
  let squares = 0;
  pairs.forEach(([x, y], i) => {
    const w = h[6] * x + h[7] * y + h[8];
    squares +=
      ((h[0] * x + h[1] * y + h[2]) / w - to[i]![0]) ** 2 + ((h[3] * x + h[4] * y + h[5]) / w - to[i]![1]) ** 2;
  });
  return Math.sqrt(squares / pairs.length);
}

/**
 * Largest excess, px, of our reprojection RMS over OpenCV's on the same points. Every third round has one stake under
 * another's name, where the two could end in different minima.
 */
export function excessOverVision(vision: Vision, rounds: number): number {
  const random = seededRandom(5);
  let worst = -Infinity;
  for (let round = 0; round < rounds; round++) {
    const camera = testCameras[round % 3]!;
    const planned = soundPlan(random, camera, 4 + random.below(12), 0, 1.5);
    const stakes = clicked(random, planned, [0.5, 1.5, 3][random.below(3)]!);
    const seen = sightingsOf(ncaa, stakes).filter((sighting) => sighting.kind === "point");
    const from = seen.map(({ at }) => [Math.fround(at.xYards), Math.fround(at.yYards)] as const);
    if (random.below(3) === 0) from[0] = [Math.fround(from[0]![0] + 5), from[0]![1]];
    const to = seen.map(({ click }) => [Math.fround(click.uPx), Math.fround(click.vPx)] as const);
    const sightings = from.map(([x, y], i): Sighting => ({
      kind: "point",
      at: fieldPoint(x, y),
      click: imagePoint(...to[i]!),
      sigmaPx: 1.5,
    }));
    const solved = solveHomography(sightings);
    // A round that is not solved would pass unseen, so it counts as a failure.
    if (!solved.ok) return Infinity;
    const matches = vision.matches(from, to);
    const theirs = rmsPx(matches.solve(), from, to);
    matches.free();
    worst = Math.max(worst, rmsPx(solved.solution.homography, from, to) - theirs);
  }
  return worst;
}

/** Eight points over the frame of the press box, clicked with 1.5 px of noise: what the solve is timed on. */
export function eightStakes(): {
  readonly sightings: readonly Sighting[];
  readonly stakes: ReturnType<typeof clicked>;
  readonly camera: TestCamera;
} {
  const random = seededRandom(1);
  const camera = testCameras[0]!;
  const stakes = clicked(random, soundPlan(random, camera, 8, 0, 1.5), 1.5);
  return { sightings: sightingsOf(ncaa, stakes), stakes, camera };
}
