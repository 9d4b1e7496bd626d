/**
 * The solver and the stated error of marks: `node tests/bench/survey.ts`.
 *
 * Cameras, stake plans and noise are those of the tests in tests/core/field; the bound is the Cramér-Rao bound from a
 * separate implementation, and the other library is OpenCV compiled to WebAssembly.
 */
import { solveHomography } from "#core/field/solve";
import { surveyFrame } from "#core/field/survey";
import { ncaa, testCameras } from "../core/field/cameras.ts";
import { loadVision } from "../core/field/opencv.ts";
import {
  coverage,
  efficiency,
  eightStakes,
  excessOverVision,
  noiseFreeError,
  stakeCounts,
} from "../core/field/trials.ts";
import { benchLine } from "./line.ts";

/** Median over batches of the time of one call, µs. */
function microseconds(call: () => unknown): number {
  const batch = 500;
  const times: number[] = [];
  for (let round = 0; round < 40; round++) {
    const start = performance.now();
    for (let i = 0; i < batch; i++) call();
    times.push(((performance.now() - start) / batch) * 1000);
  }
  // The first rounds run before the compilers have settled, on both sides.
  return times.slice(10).toSorted((a, b) => a - b)[15]!;
}

export async function bench(): Promise<void> {
  benchLine("survey-noise-free", noiseFreeError(), "yd", "<=", 1e-9);

  for (const camera of testCameras) {
    const at = (sigmaPx: number): number[] => stakeCounts.map((counts) => efficiency(camera, counts, sigmaPx, 20, 200));
    const half = at(0.5);
    const name = camera.name.replace(" ", "-");
    benchLine(`survey-efficiency-${name}`, Math.max(...half), "ratio", "<=", 1.05);
    for (const [sigmaPx, ratios] of [
      [0.5, half],
      [1.5, at(1.5)],
      [3, at(3)],
    ] as const) {
      const shown = stakeCounts.map(([points, lines], i) => `${points}+${lines}: ${ratios[i]!.toFixed(3)}`);
      console.log(`  ${camera.name}, ${sigmaPx} px, points+lines: ${shown.join("  ")}`);
    }
  }

  for (const camera of testCameras) {
    const { marks, held, refused } = coverage(camera, 2000, 1.5, 11);
    const share = (100 * held) / marks;
    const name = camera.name.replace(" ", "-");
    benchLine(`survey-region-${name}-least`, share, "%", ">=", 94);
    benchLine(`survey-region-${name}-most`, share, "%", "<=", 96);
    console.log(`  ${camera.name}: ${held} of ${marks} regions hold the truth; ${refused} marks were refused`);
  }

  const vision = await loadVision();
  benchLine("survey-rms-over-opencv", excessOverVision(vision, 3000), "px", "<=", 1e-6);

  const { sightings, stakes, camera } = eightStakes();
  const points = sightings.filter((sighting) => sighting.kind === "point");
  const matches = vision.matches(
    points.map(({ at }) => [at.xYards, at.yYards] as const),
    points.map(({ click }) => [click.uPx, click.vPx] as const),
  );
  const theirs = microseconds(() => matches.solve());
  matches.free();
  const ours = microseconds(() => solveHomography(sightings));
  const whole = microseconds(() => surveyFrame(ncaa, stakes, camera.image));
  benchLine("survey-solve-over-opencv", ours / theirs, "ratio", "<=", 1);
  benchLine("survey-frame-over-opencv", whole / theirs, "ratio", "<=", 1);
  console.log(
    `  eight stakes: solve with covariance and leave-one-out ${ours.toFixed(1)} µs, the whole survey ` +
      `${whole.toFixed(1)} µs, OpenCV's bare findHomography ${theirs.toFixed(1)} µs`,
  );
}

if (import.meta.main) await bench();
