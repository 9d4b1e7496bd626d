import { expect, it } from "vitest";
import { carriedSurvey } from "#core/carry/carried-survey";
import { carryTrack } from "#core/carry/carry-track";
import { groundEdgeOf } from "#core/carry/ground-edge";
import { viewOf } from "../../scene/pinhole.ts";
import { frameOf, scene, sixPoints, surveyOfSix, threeLines, worstLinePx } from "../snap/six-clicks.ts";
import { demo, scale720, workingGreys } from "./carried-truth.ts";

/** From a hand's six clicks to the end of the play: the truth is the scene's own camera in every frame. */
it.each([
  [1, "lines"],
  [2, "lines"],
  [3, "points"],
  [4, "lines"],
  [5, "points"],
  [6, "points"],
  [7, "points"],
] as const)(
  "play %i, surveyed by six clicks on %s: every painted line within 3 px in every frame carried to",
  (number, by) => {
    const play = scene.plays.find((one) => one.number === number)!;
    const anchorIndex = play.snapFrame - 3;
    const anchor = frameOf(anchorIndex);
    const { survey } = surveyOfSix(anchor, by === "points" ? sixPoints(anchor) : threeLines(anchor), number);
    const greys = workingGreys(demo, play.firstFrame, play.frameCount);
    const worst: number[] = [];
    for (const lastIndex of [play.firstFrame, play.firstFrame + play.frameCount - 1]) {
      const track = carryTrack({
        anchorIndex,
        lastIndex,
        pictureOf: (index) => greys[index - play.firstFrame]!,
        scale: scale720,
        groundEdge: groundEdgeOf(survey),
        isCut: () => false,
      });
      for (const frame of track) {
        const carried = carriedSurvey(survey, frame)!;
        const view = viewOf(scene.truthAt(frame.frameIndex).camera);
        worst.push(worstLinePx({ view, levels: anchor.levels }, carried));
      }
    }
    expect(worst).toHaveLength(play.frameCount - 1);
    expect(Math.max(...worst)).toBeLessThan(3);
  },
);
