import { describe, expect, it } from "vitest";
import { blendSurveys, carriedSurvey } from "#core/carry/carried-survey";
import {
  type TruthFilm,
  carryOver,
  demo,
  errorOf,
  errorsAlong,
  exactSurvey,
  handHeld,
  workingGreys,
  worstOf,
} from "./carried-truth.ts";

/** Five seconds of pan and zoom, encoded; the anchor's survey is the scene's own camera at one end. */
function bothWays(film: TruthFilm, playIndex: number) {
  const play = film.scene.plays[playIndex]!;
  const first = play.firstFrame;
  const last = first + play.frameCount - 1;
  const greys = workingGreys(film, first, play.frameCount);
  const [early, late] = [exactSurvey(film, first), exactSurvey(film, last)];
  const onward = carryOver(early, first, last, greys, first);
  const back = carryOver(late, last, first, greys, first);
  return { first, last, early, late, onward, back };
}

// Goals: median ≤ 0.10 yd and p95 ≤ 0.20 yd on the worst frame, lines within 3 px, stated 95 % errors that hold.
describe.each([
  ["a tripod, first play", demo, 0],
  ["a tripod, sixth play", demo, 5],
  ["a hand", handHeld, 0],
] as const)("a survey carried over film from %s", (_, film, playIndex) => {
  const { first, last, early, late, onward, back } = bothWays(film, playIndex);

  it("reaches the other end, and says so", () => {
    for (const [run, end] of [
      [onward, last],
      [back, first],
    ] as const) {
      expect(run.stop).toMatchObject({ reason: "end-of-play", lastFrameIndex: end });
      expect(run.frames).toHaveLength(last - first);
      expect(run.frames.at(-1)!.frameIndex).toBe(end);
    }
  });

  it("keeps to the ground and to every painted line", () => {
    for (const [anchor, run] of [
      [early, onward],
      [late, back],
    ] as const) {
      const errors = worstOf(errorsAlong(film, anchor, run));
      expect(errors.worstMedianYards).toBeLessThan(0.05);
      expect(errors.worstP95Yards).toBeLessThan(0.15);
      expect(errors.worstPx).toBeLessThan(1.5);
      expect(errors.heldShare).toBeGreaterThan(0.9);
    }
  });

  it("is no worse blended from both ends, and says an error between honest and timid", () => {
    const errors = onward.frames.slice(0, -1).map((frame) => {
      const other = back.frames.find(({ frameIndex }) => frameIndex === frame.frameIndex)!;
      const blended = blendSurveys(carriedSurvey(early, frame)!, carriedSurvey(late, other)!);
      return errorOf(film, blended, frame.frameIndex);
    });
    const worst = worstOf(errors);
    expect(worst.worstMedianYards).toBeLessThan(0.035);
    expect(worst.worstP95Yards).toBeLessThan(0.1);
    expect(worst.heldShare).toBeGreaterThan(0.87);
    // Errors blown up without bound would hold the truth too: they stay below what a click of 1.5 px would say.
    const middle = onward.frames[onward.frames.length >> 1]!;
    for (let i = 0; i < 64; i += 9) expect(Math.sqrt(middle.covariance[i]!)).toBeLessThan(0.8);
  });
});

it("would be seen to be off by a frame", () => {
  const first = demo.scene.plays[0]!.firstFrame + 90;
  const early = exactSurvey(demo, first);
  const run = carryOver(early, first, first + 20, workingGreys(demo, first, 21), first);
  const late = run.frames.map((frame) => ({ ...frame, frameIndex: frame.frameIndex + 2 }));
  const worst = worstOf(errorsAlong(demo, early, { ...run, frames: late }));
  expect(worst.worstP95Yards).toBeGreaterThan(0.2);
  expect(worst.heldShare).toBeLessThan(0.5);
});
