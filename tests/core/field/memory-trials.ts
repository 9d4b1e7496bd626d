import { type CameraMemory, rememberCamera } from "#core/field/camera-memory";
import type { Random } from "#core/field/random";
import { type Survey, surveyFrame } from "#core/field/survey";
import { type TestCamera, aimedCamera, clicked, ncaa, planStakes } from "./cameras.ts";

/** Frames of one film: test cameras that pan, tilt and zoom on a tripod, and what is remembered of them. */

/** The same tripod aimed elsewhere, 0.8 to 1.6 times the focal length, level to about a third of a degree. */
export function turned(random: Random, { name, at, focalPx, image }: TestCamera): TestCamera {
  const aim = [40 + 40 * random.uniform(), 15 + 20 * random.uniform(), 0] as const;
  return aimedCamera(name, at, aim, focalPx * 0.8 * 2 ** random.uniform(), image, 0.006 * random.normal());
}

/** A survey of a turned frame from so many stakes with so much noise; drawn again when the frame shows too few. */
export function surveyTurned(
  random: Random,
  camera: TestCamera,
  points: number,
  lines: number,
  sigmaPx: number,
): Survey {
  for (;;) {
    const view = turned(random, camera);
    const planned = planStakes(random, view, ncaa, points, lines, sigmaPx);
    if (planned.length < points + lines) continue;
    const result = surveyFrame(ncaa, clicked(random, planned, sigmaPx), view.image);
    if (result.ok) return result.survey;
  }
}

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
