/**
 * Carrying a survey over encoded film: `node tests/bench/carry.ts`.
 *
 * Every play of the demo film (a tripod) and the hand-held film, five seconds each, from either end; the survey at that
 * end is the scene's own camera, so the errors are the carry's alone. Truth is the scene's camera on every frame.
 */
import { blendSurveys, carriedSurvey } from "#core/carry/carried-survey";
import {
  type CarryRun,
  type FrameError,
  type TruthFilm,
  carryOver,
  demo,
  errorOf,
  errorsAlong,
  exactSurvey,
  handHeld,
  workingGreys,
  worstOf,
} from "../core/carry/carried-truth.ts";
import { benchLine } from "./line.ts";

type Measured = { readonly single: FrameError[][]; readonly blended: FrameError[][]; frames: number; cpuMs: number };

function measure(films: readonly { readonly film: TruthFilm; readonly play: number }[]): Measured {
  const measured: Measured = { single: [], blended: [], frames: 0, cpuMs: 0 };
  for (const { film, play } of films) {
    const { firstFrame: first, frameCount } = film.scene.plays[play]!;
    const last = first + frameCount - 1;
    const greys = workingGreys(film, first, frameCount);
    const ends = [first, last].map((index) => ({ index, survey: exactSurvey(film, index) }));
    const [onward, back] = ends.map(({ index, survey }): CarryRun => {
      // This thread's own time on a processor: what else the machine does is not counted.
      const before = process.threadCpuUsage();
      const run = carryOver(survey, index, first + last - index, greys, first);
      const { user, system } = process.threadCpuUsage(before);
      measured.cpuMs += (user + system) / 1000;
      measured.frames += run.frames.length;
      measured.single.push(errorsAlong(film, survey, run));
      return run;
    });
    const blended = onward!.frames.flatMap((frame) => {
      const other = back!.frames.find(({ frameIndex }) => frameIndex === frame.frameIndex);
      if (other === undefined) return [];
      const [a, b] = [carriedSurvey(ends[0]!.survey, frame)!, carriedSurvey(ends[1]!.survey, other)!];
      return [errorOf(film, blendSurveys(a, b), frame.frameIndex)];
    });
    measured.blended.push(blended);
    const reached = onward!.frames.length + back!.frames.length;
    if (reached !== 2 * (frameCount - 1)) throw new Error(`${film.scene.film.name}: a carry stopped after ${reached}`);
  }
  return measured;
}

export function bench(): void {
  const groups = [
    ["tripod", demo.scene.plays.map((_, play) => ({ film: demo, play }))],
    ["hand-held", [{ film: handHeld, play: 0 }]],
  ] as const;
  for (const [name, films] of groups) {
    const { single, blended, frames, cpuMs } = measure(films);
    const all = worstOf(single.flat());
    benchLine(`carry-${name}-median`, all.worstMedianYards, "yd", "<=", 0.1);
    benchLine(`carry-${name}-p95`, all.worstP95Yards, "yd", "<=", 0.2);
    benchLine(`carry-${name}-lines`, all.worstPx, "px", "<=", 3);
    benchLine(`carry-${name}-held`, 100 * all.heldShare, "%", ">=", 90);
    benchLine(`carry-${name}-speed`, frames / (cpuMs / 1000), "frames/s", ">=", 100);
    const share = (errors: FrameError[]): string => (100 * worstOf(errors).heldShare).toFixed(1);
    console.log(`  stated 95 % errors that hold the truth, run by run: ${single.map(share).join("  ")}`);
    const both = worstOf(blended.flat());
    console.log(
      `  blended from both ends: median ${both.worstMedianYards.toFixed(3)} yd, p95 ${both.worstP95Yards.toFixed(3)} ` +
        `yd, ${both.worstPx.toFixed(2)} px at the worst frame; holds ${blended.map(share).join("  ")} %`,
    );
  }
}

if (import.meta.main) bench();
