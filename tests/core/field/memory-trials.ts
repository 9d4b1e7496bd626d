import { type CameraMemory, rememberCamera } from "#core/field/camera-memory";
import type { Random } from "#core/field/random";
import type { LineStake, Stake } from "#core/field/stake";
import { type Survey, surveyFrame } from "#core/field/survey";
import { surveyFromMemory } from "#core/field/survey-from-memory";
import { fieldPoint } from "#core/field/units";
import { type Planned, type TestCamera, aimedCamera, clicked, ncaa, planStakes, see } from "./cameras.ts";

/** Frames of one film: test cameras that pan, tilt and zoom on a tripod, and what is remembered of them. */

/** The same tripod aimed elsewhere, 0.8 to 1.6 times the focal length, level to about a third of a degree. */
export function turned(random: Random, { name, at, focalPx, image }: TestCamera): TestCamera {
  const aim = [40 + 40 * random.uniform(), 15 + 20 * random.uniform(), 0] as const;
  return aimedCamera(name, at, aim, focalPx * 0.8 * 2 ** random.uniform(), image, 0.006 * random.normal());
}

/** The same camera put up elsewhere, by so many yards along x, y and up. */
export function moved(camera: TestCamera, by: readonly [number, number, number]): TestCamera {
  return { ...camera, at: [camera.at[0] + by[0], camera.at[1] + by[1], camera.at[2] + by[2]] };
}

/** A turned frame with so many stakes in it; drawn again when it shows too few. */
export function plannedView(
  random: Random,
  camera: TestCamera,
  points: number,
  lines: number,
): { readonly view: TestCamera; readonly planned: readonly Planned[] } {
  for (;;) {
    const view = turned(random, camera);
    const planned = planStakes(random, view, ncaa, points, lines, 1.5);
    if (planned.length === points + lines) return { view, planned };
  }
}

/** A survey of a turned frame from so many stakes with so much noise, stated as 1.5 px. */
export function surveyTurned(
  random: Random,
  camera: TestCamera,
  points: number,
  lines: number,
  sigmaPx: number,
): Survey {
  for (;;) {
    const { view, planned } = plannedView(random, camera, points, lines);
    const result = surveyFrame(ncaa, clicked(random, planned, sigmaPx), view.image);
    if (result.ok) return result.survey;
  }
}

/** What such surveys say together, from six to eleven points each. */
export function memoryOf(random: Random, camera: TestCamera, surveys: number, sigmaPx = 1.5): CameraMemory {
  for (;;) {
    const kept = Array.from({ length: surveys }, () => surveyTurned(random, camera, 6 + random.below(6), 0, sigmaPx));
    const memory = rememberCamera(kept);
    if (memory?.kind === "memory") return memory;
  }
}

/** (x − truth)ᵀ S⁻¹ (x − truth) of a remembered place: χ² with three degrees of freedom when the covariance is honest. */
export function placeError(memory: CameraMemory, { at }: TestCamera): number {
  const [a, b, c, , d, e, , , f] = memory.covariance as unknown as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const [x, y, z] = [memory.xYards - at[0], memory.yYards - at[1], memory.heightYards - at[2]];
  // Cofactors of the symmetric 3 × 3.
  const [A, B, C] = [d * f - e * e, c * e - b * f, b * e - c * d];
  const det = a * A + b * B + c * C;
  const [D, E, F] = [a * f - c * c, b * c - a * e, a * d - b * b];
  return (A * x * x + D * y * y + F * z * z + 2 * (B * x * y + C * x * z + E * y * z)) / det;
}

export function remembered(surveys: readonly Survey[]): CameraMemory {
  const memory = rememberCamera(surveys);
  if (memory?.kind !== "memory") throw new Error(memory?.message ?? "nothing to remember");
  return memory;
}

/** A memory of a place as if from elsewhere: standard deviations of x, y, height in yards. */
export function knownPlace(camera: TestCamera, sds: readonly [number, number, number], rollSd = 0.01): CameraMemory {
  const [xYards, yYards, heightYards] = camera.at;
  return {
    kind: "memory",
    xYards,
    yYards,
    heightYards,
    covariance: [sds[0] ** 2, 0, 0, 0, sds[1] ** 2, 0, 0, 0, sds[2] ** 2],
    roll: { meanRadians: 0, spreadRadians: rollSd },
    surveyCount: 3,
    chiSquare: 0,
    dof: 9,
  };
}

/** Standard deviations of a place, yards: one that is as good as exact, and one that two or three surveys give. */
export const exact = [1e-6, 1e-6, 1e-6] as const;
export const good = [0.1, 0.15, 0.05] as const;

export function fromMemory(stakes: readonly Stake[], memory: CameraMemory, camera: TestCamera): Survey {
  const result = surveyFromMemory(ncaa, stakes, camera.image, memory);
  if (!result.ok) throw new Error(result.refusal.message);
  return result.survey;
}

/** A line stake with clicks where the camera sees two or more of its points, x or y in yards along it. */
export function lineStake(camera: TestCamera, lineId: string, alongYards: readonly number[]): LineStake {
  const line = ncaa.lines.find(({ id }) => id === lineId)!;
  const up = line.from.xYards === line.to.xYards;
  const clicks = alongYards.map((a) =>
    see(camera, up ? fieldPoint(line.from.xYards, a) : fieldPoint(a, line.from.yYards)),
  );
  return { kind: "line", id: lineId, lineId, clicks, sigmaPx: 1.5 };
}
