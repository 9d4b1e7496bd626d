import { describe, expect, it } from "vitest";
import { layOut, templateById } from "#core/field/template";
import type { Shape } from "#core/picture/shape";
import {
  playAnimation,
  playAnimationBlock,
  playBaseShapes,
  playFrames,
  playFrameShapes,
  playPictureFrame,
} from "#core/report/play-animation";
import type { JudgedPlay } from "#core/scoring/judge-play";
import { judgeShots, shots } from "../scoring/staged-course.ts";
import { flagField, inPlace } from "../scoring/staged-play.ts";

/**
 * A play laid out by hand: the near wide receiver runs from (38, 8) to (42, 10) between 0.6 and 1.2 s after the snap while
 * R walks from (20, 13) by way of (22, 14) to (23, 16). The field is 40 yd wide and drawn with the near sideline below.
 */
const judged = judgeShots(
  shots(
    { sec: -0.2, phase: "pre-snap" },
    {
      sec: 0.6,
      phase: "keys",
      people: { nearWide: [38, 8], onNearWide: [39.2, 8.6], R: [22, 14] },
      looks: { R: "passer" },
    },
    { sec: 1.2, phase: "keys", people: { nearWide: [42, 10], onNearWide: [43.2, 10.6], R: [23, 16] } },
    { sec: 2.4, phase: "zone", people: { nearWide: [47, 18], onNearWide: [48.2, 18.6] } },
  ),
);
const courseOf = ({ course }: JudgedPlay) => {
  if (!course) throw new Error("a play without a course");
  return course;
};
const course = courseOf(judged);
const { situation } = inPlace;
const frame = (sec: number, onlyPosition: string | null = null) =>
  playFrameShapes(flagField, situation, course, sec, { onlyPosition }).slice(
    playBaseShapes(flagField, situation).length,
  );
const labels = (shapes: readonly Shape[]) => shapes.flatMap((shape) => (shape.kind === "label" ? [shape] : []));
const labelled = (shapes: readonly Shape[], text: string) => labels(shapes).filter((label) => label.text === text);
const trails = (shapes: readonly Shape[]) =>
  shapes.flatMap((shape) => (shape.kind === "path" && shape.ink === "trail" ? [shape.points] : []));
const sights = (shapes: readonly Shape[]) =>
  shapes.flatMap((shape) => (shape.kind === "path" && shape.ink === "sight-seen" ? [shape.points[0]!] : []));

/** Clicks leave an error of hundredths of a yard. */
const closeTo = (x: number, y: number) => [expect.closeTo(x, 1), expect.closeTo(y, 1)];

describe("the frames of a play", () => {
  it("run from the first moment to the last at an even pace, and hold both", () => {
    const frames = playFrames(course, { framesPerSecond: 25 });
    // 0.6 s of 25 frames a second; 2.6 s of play; the last moment and its hold.
    expect(frames).toHaveLength(15 + 65 + 16);
    expect(frames.slice(0, 16).every((sec) => Math.abs(sec + 0.2) < 1e-9)).toBe(true);
    expect(frames.slice(-16).every((sec) => Math.abs(sec - 2.4) < 1e-9)).toBe(true);
    const steps = frames.slice(15, 81).map((sec, i, all) => sec - (all[i - 1] ?? sec - 0.04));
    for (const step of steps) expect(step).toBeCloseTo(0.04, 9);
  });

  it("meets the last moment exactly where the pace does not divide the play", () => {
    const frames = playFrames(course, { framesPerSecond: 7 });
    // 2.6 s of 7 a second are 18.2 steps: the nineteenth is the short one.
    expect(frames).toHaveLength(4 + 19 + 5);
    expect(frames.at(-1)).toBeCloseTo(2.4, 9);
    expect(frames.every((sec, i) => i === 0 || sec >= frames[i - 1]!)).toBe(true);
  });

  it("places everybody on the straight line between the two moments", () => {
    const halfway = frame(0.9);
    expect(labelled(halfway, "O").map(({ at }) => at)).toContainEqual(closeTo(40, 40 - 9));
    expect(labelled(halfway, "X").map(({ at }) => at)).toContainEqual(closeTo(41.2, 40 - 9.6));
    expect(labelled(halfway, "R").map(({ at }) => at)).toEqual([closeTo(22.5, 40 - 15)]);
    expect(labelled(halfway, "FJ").map(({ at }) => at)).toEqual([closeTo(44, 40.5)]);
    expect(labelled(halfway, "O")).toHaveLength(7);
  });

  it("draws letters of the crew over those of the players, and the field under all", () => {
    const shapes = playFrameShapes(flagField, situation, course, 0.9);
    expect(shapes[0]).toMatchObject({ kind: "path", ink: "grass" });
    const inks = labels(shapes).map(({ ink }) => ink);
    expect(inks.lastIndexOf("offence")).toBeLessThan(inks.indexOf("official"));
    expect(inks.lastIndexOf("defence")).toBeLessThan(inks.indexOf("official"));
    for (const ink of ["scrimmage", "line-to-gain"] as const)
      expect(shapes.filter((shape) => shape.ink === ink)).toHaveLength(1);
  });

  it("trails each official who moved through the moments they have passed, and nobody else", () => {
    expect(trails(frame(-0.2))).toEqual([]);
    expect(trails(frame(0.9))).toEqual([[closeTo(20, 27), closeTo(22, 26), closeTo(22.5, 25)]]);
    expect(trails(frame(2.4))).toEqual([[closeTo(20, 27), closeTo(22, 26), closeTo(23, 24), closeTo(23, 24)]]);
  });

  it("says the time and the phase above the field, inside the picture", () => {
    const { box } = playPictureFrame(flagField);
    const said = (sec: number) => labels(frame(sec)).filter(({ at }) => at[1] < -4);
    expect(said(0.9).map(({ text }) => text)).toEqual(["0.90 s after the snap", "Keys"]);
    expect(said(-0.2).map(({ text }) => text)).toEqual(["0.20 s before the snap"]);
    expect(said(0).map(({ text }) => text)).toEqual(["At the snap", "Keys"]);
    expect(said(2.4).map(({ text }) => text)).toEqual(["2.40 s after the snap", "Zone"]);
    for (const { at } of said(0.9)) expect(at[1] - 1.5).toBeGreaterThan(box.y);
  });

  it("keeps the time clear of what is painted beside a field", () => {
    const tackle = layOut(templateById("ncaa")!);
    const { box } = playPictureFrame(tackle);
    const painted = playBaseShapes(tackle, situation).flatMap((shape) => (shape.kind === "path" ? shape.points : []));
    const outermost = Math.min(...painted.map(([, y]) => y));
    expect(outermost).toBeLessThan(-3);
    const time = labels(playFrameShapes(tackle, situation, course, 0.9)).filter(({ ink }) => ink === "note");
    const above = time.filter(({ at }) => at[1] < 0);
    expect(above).toHaveLength(2);
    // Capitals of 13 points are 9.5 points high.
    const { inkUnit } = playPictureFrame(tackle);
    for (const { at } of above) {
      expect(at[1] + 4.75 * inkUnit).toBeLessThan(outermost);
      expect(at[1] - 4.75 * inkUnit).toBeGreaterThan(box.y);
    }
    expect(Math.max(...painted.map(([, y]) => y))).toBeLessThan(box.y + box.height);
  });

  it("about one position leaves the others as letters without what they faced, watched or walked", () => {
    const all = frame(0.9);
    const about = frame(0.9, "FJ");
    expect(labelled(about, "FJ")[0]!.ink).toBe("official");
    for (const position of ["R", "LJ", "BJ"]) {
      expect(labelled(all, position)[0]!.ink).toBe("official");
      expect(labelled(about, position)[0]).toMatchObject({ ink: "note", at: labelled(all, position)[0]!.at });
    }
    expect(all.filter(({ kind }) => kind === "arrow")).toHaveLength(4);
    expect(about.filter(({ kind }) => kind === "arrow")).toHaveLength(1);
    expect(trails(about)).toEqual([]);
    expect(trails(frame(0.9, "R"))).toHaveLength(1);
    // FJ has the near receiver, who is pressed; R looks at the passer, of whom nobody is near.
    expect(sights(about)).toEqual([closeTo(44, 40.5)]);
    expect(sights(frame(0.9, "R"))).toEqual([]);
  });

  it("rings a matter nobody watched only on the page of whose it was", () => {
    const turned = courseOf(
      judgeShots(
        shots(
          { sec: -0.2, phase: "pre-snap" },
          {
            sec: 0.6,
            phase: "keys",
            people: { nearWide: [38, 8], onNearWide: [39.2, 8.6] },
            looks: { R: [10, 13], LJ: [10, 39], FJ: [60, 2], BJ: [70, 30] },
          },
          { sec: 1.2, phase: "keys", people: { nearWide: [42, 10], onNearWide: [43.2, 10.6] } },
        ),
      ),
    );
    const rings = (onlyPosition: string | null) =>
      playFrameShapes(flagField, situation, turned, 0.9, { onlyPosition }).filter(({ kind }) => kind === "ring");
    expect(rings(null)).toHaveLength(1);
    expect(rings("FJ")).toHaveLength(1);
    expect(rings("BJ")).toHaveLength(0);
  });

  it("is handed over as plain data, what does not move only once", () => {
    const animation = playAnimation(course, flagField, situation, { framesPerSecond: 25 });
    expect(structuredClone(animation)).toEqual(animation);
    expect(animation.frames).toHaveLength(96);
    expect([...animation.base, ...animation.frames[40]!]).toEqual(
      playFrameShapes(flagField, situation, course, playFrames(course, { framesPerSecond: 25 })[40]!),
    );
  });

  it("says in words what its file shows", () => {
    const block = playAnimationBlock("play-3", 3, course, { onlyPosition: "FJ" });
    expect(block.key).toBe("play-3");
    expect(block.alt).toContain("from 0.20 s before the snap to 2.40 s after the snap: FJ and both teams");
    expect(block.caption).toContain("measured at 4 moments");
  });
});
