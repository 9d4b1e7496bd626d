import { describe, expect, it } from "vitest";
import { projectToField } from "#core/field/homography";
import type { Survey } from "#core/field/survey";
import { fieldPoint } from "#core/field/units";
import {
  fieldLineShapes,
  markShapes,
  projectSegment,
  situationShapes,
  stakeShapes,
  targetInk,
  targetShapes,
} from "#core/picture/frame-picture";
import { glyphOf, subjectName } from "#core/picture/mark-glyph";
import {
  planFieldShapes,
  planMarkShapes,
  planPoint,
  planSituationShapes,
  planTargetShapes,
} from "#core/picture/plan-picture";
import type { PicturePoint, Shape } from "#core/picture/shape";
import { verdicts } from "#core/scoring/finding";
import { aimedCamera, see } from "../field/cameras.ts";
import { flagField, inPlace, judge, marksOf, moved, stakesOf } from "../scoring/staged-play.ts";

const play = moved(inPlace, "BJ", -5, 0);
const judged = judge(play);
const survey: Survey = (() => {
  if (judged.survey.kind !== "solved") throw new Error("the staged play has no survey");
  return judged.survey.survey;
})();
const { camera } = play;
const seen = (xYards: number, yYards: number): PicturePoint => {
  const { uPx, vPx } = see(camera, fieldPoint(xYards, yYards));
  return [uPx, vPx];
};

function expectPoints(points: readonly PicturePoint[], truth: readonly PicturePoint[]) {
  expect(points).toHaveLength(truth.length);
  for (const [i, [x, y]] of points.entries()) {
    expect(x).toBeCloseTo(truth[i]![0], 4);
    expect(y).toBeCloseTo(truth[i]![1], 4);
  }
}
const paths = (shapes: readonly Shape[]) => shapes.filter((shape) => shape.kind === "path");

/** The camera's own place and aim are the truth here: a pinhole built by hand, not the solver's answer. */
describe("over a frame", () => {
  it("draws the scrimmage and the line to gain from sideline to sideline where the camera sees them", () => {
    const shapes = paths(situationShapes(flagField, survey, play.situation));
    expect(shapes.map((shape) => shape.ink)).toEqual(["scrimmage", "line-to-gain"]);
    expectPoints(shapes[0]!.points, [seen(34, 0), seen(34, 40)]);
    expectPoints(shapes[1]!.points, [seen(50, 0), seen(50, 40)]);
    const noGain = situationShapes(flagField, survey, { ...play.situation, lineToGainXYards: null });
    expect(noGain.map((shape) => shape.ink)).toEqual(["scrimmage"]);
  });

  it("draws a field's painted lines and not the rows of its digits", () => {
    const shapes = fieldLineShapes(flagField, survey);
    const drawn = flagField.lines.filter((line) => line.kind !== "number-row");
    expect(shapes.length).toBeLessThanOrEqual(drawn.length);
    expect(shapes.filter((shape) => shape.ink === "field-edge").length).toBeGreaterThanOrEqual(2);
    const yardLine = paths(shapes).find((shape) => Math.abs(shape.points[0]![0] - seen(30, 0)[0]) < 1e-3)!;
    expectPoints(yardLine.points, [seen(30, 0), seen(30, 40)]);
    expect(yardLine.ink).toBe("field-line");
  });

  it("leaves out what lies behind the camera", () => {
    // Ten yards inside the near sideline, looking at the far one.
    const inside = aimedCamera("on the field", [50, 10, 3], [50, 40, 0], 1000, { widthPx: 1280, heightPx: 720 });
    const segment = (fromX: number, fromY: number, toX: number, toY: number) =>
      projectSegment(
        { homography: inside.h, inverse: survey.inverse, image: inside.image },
        fieldPoint(fromX, fromY),
        fieldPoint(toX, toY),
      );
    expect(segment(0, 0, 100, 0)).toBeNull();
    expect(segment(50, 0, 50, 9)).toBeNull();
    expectPoints(segment(45, 40, 55, 40)!, [
      [see(inside, fieldPoint(45, 40)).uPx, see(inside, fieldPoint(45, 40)).vPx],
      [see(inside, fieldPoint(55, 40)).uPx, see(inside, fieldPoint(55, 40)).vPx],
    ]);
    for (const ends of [segment(50, 0, 50, 40)!, segment(50, 40, 50, 0)!]) {
      for (const [uPx, vPx] of ends) {
        const back = projectToField(inside.h, { uPx, vPx })!;
        expect(back.xYards).toBeCloseTo(50, 6);
        expect(back.yYards).toBeGreaterThan(10);
        expect(back.yYards).toBeLessThan(40.000_001);
      }
    }
    const shapes = fieldLineShapes(flagField, { ...survey, homography: inside.h, image: inside.image });
    expect(shapes.length).toBeGreaterThan(2);
    for (const { points } of paths(shapes)) for (const [, vPx] of points) expect(vPx).toBeLessThan(360 + 720 * 1.5);
    const behind = judged.findings.map((finding) => ({ ...finding, target: [fieldPoint(50, 5), fieldPoint(50, 20)] }));
    expect(targetShapes({ ...survey, homography: inside.h }, behind)).toEqual([]);
  });

  it("shows each target where the book wants the official, in the colour of its verdict", () => {
    const shapes = paths(targetShapes(survey, judged.findings));
    const station = judged.findings.filter((finding) => finding.target !== null);
    expect(shapes.map((shape) => shape.ink)).toEqual(station.map((finding) => targetInk(finding)));
    const last = shapes.at(-1)!;
    expect([last.ink, last.closed]).toEqual(["target-missed", true]);
    // 19 to 21 yd downfield of x = 34, half a yard to each hand of the far hash, two thirds of 40 yd across.
    const hash = 80 / 3;
    expectPoints(last.points, [seen(53, hash - 0.5), seen(55, hash - 0.5), seen(55, hash + 0.5), seen(53, hash + 0.5)]);
    const inks = verdicts.map((verdict) => targetInk({ ...judged.findings[0]!, verdict }));
    expect(inks).toEqual(["target-met", "target-missed", "target-unsure", "target"]);
  });

  it("rings the landmark and crosses the click of a stake, and shows which one is off", () => {
    const [first, second] = stakesOf(camera).filter((stake) => stake.kind === "point");
    const stray = { ...second!, click: { uPx: 7, vPx: 9 } };
    const unknown = { ...first!, id: "x", landmarkId: "no-such-place" };
    const shapes = stakeShapes(flagField, [first!, stray, unknown], survey, new Set([stray.id]));
    expect(shapes.map((shape) => `${shape.kind} ${shape.ink}`)).toEqual([
      "ring stake",
      "cross stake",
      "ring stake-off",
      "cross stake-off",
      "cross stake",
    ]);
    const at = (i: number) => (shapes[i] as { at: PicturePoint }).at;
    expectPoints([at(2)], [[second!.click.uPx, second!.click.vPx]]);
    expect(at(3)).toEqual([7, 9]);
    expect(stakeShapes(flagField, [first!], null, new Set()).map((shape) => shape.kind)).toEqual(["cross"]);
  });

  it("draws a staked line where the survey has it, with a cross at each click, and through its clicks before that", () => {
    const line = flagField.lines.find((one) => one.id === "near-sideline")!;
    const clicks = [30, 50].map((xYards) => ({ at: see(camera, fieldPoint(xYards, line.from.yYards)), raw: null }));
    const stake = { id: "l", gameId: "g", momentId: "m", kind: "line" as const, lineId: line.id, clicks, sigmaPx: 1.5 };
    const [path, ...crosses] = stakeShapes(flagField, [stake], survey, new Set());
    expect(crosses.map((shape) => shape.kind)).toEqual(["cross", "cross"]);
    expect(path!.kind).toBe("path");
    const before = stakeShapes(flagField, [stake], null, new Set()).filter((shape) => shape.kind === "path")[0]!;
    expectPoints(
      before.points,
      clicks.map(({ at }) => [at.uPx, at.vPx] as const),
    );
  });

  it("puts a mark's region round its click, and its arrow and letters with it", () => {
    const mark = marksOf(play).find((one) => one.id === "R")!;
    const shapes = markShapes([mark], judged);
    expect(shapes.map((shape) => `${shape.kind} ${shape.ink}`)).toEqual([
      "path measured",
      "arrow official",
      "cross official",
      "label official",
    ]);
    const region = paths(shapes)[0]!.points;
    const middle = (axis: 0 | 1) => region.reduce((sum, point) => sum + point[axis], 0) / region.length;
    expect(Math.hypot(middle(0) - mark.click.uPx, middle(1) - mark.click.vPx)).toBeLessThan(0.01);
    const bare = markShapes([{ ...mark, facing: null }], { survey: { kind: "none" }, placed: [] });
    expect(bare.map((shape) => shape.kind)).toEqual(["cross", "label"]);
  });
});

describe("glyphs", () => {
  it("are O for the offence, X for the defence and letters for officials, as on a coach's board", () => {
    expect(glyphOf({ kind: "player", side: "A", role: "back" })).toEqual({ text: "O", ink: "offence" });
    expect(glyphOf({ kind: "player", side: "B", role: "rusher" })).toEqual({ text: "X", ink: "defence" });
    expect(glyphOf({ kind: "official", position: "BJ" })).toEqual({ text: "BJ", ink: "official" });
    expect(glyphOf({ kind: "ball" }).ink).toBe("ball");
    expect(subjectName({ kind: "player", side: "B", role: "rusher" })).toBe("B rusher");
    expect([subjectName({ kind: "official", position: "R" }), subjectName({ kind: "ball" })]).toEqual(["R", "ball"]);
  });
});

describe("on the plan", () => {
  it("lies with the near sideline at the bottom and nothing mirrored", () => {
    expect(planPoint(flagField, fieldPoint(30, 0))).toEqual([30, 40]);
    expect(planPoint(flagField, fieldPoint(30, 40))).toEqual([30, 0]);
    const [grass] = paths(planFieldShapes(flagField));
    expect([grass!.ink, grass!.closed]).toEqual(["grass", true]);
    expect(grass!.points.toSorted((a, b) => a[0] - b[0] || a[1] - b[1])).toEqual([
      [0, 0],
      [0, 40],
      [100, 0],
      [100, 40],
    ]);
  });

  it("draws the situation and each target where they are, in yards", () => {
    const shapes = paths(planSituationShapes(flagField, play.situation));
    expect(shapes.map((shape) => [shape.ink, shape.points[0]![0], shape.points[1]![0]])).toEqual([
      ["scrimmage", 34, 34],
      ["line-to-gain", 50, 50],
    ]);
    expect(planSituationShapes(flagField, { ...play.situation, lineToGainXYards: null })).toHaveLength(1);
    const target = paths(planTargetShapes(flagField, judged.findings)).find((shape) => shape.ink === "target-missed")!;
    const hash = 40 - 80 / 3;
    expectPoints(target.points, [
      [53, hash + 0.5],
      [55, hash + 0.5],
      [55, hash - 0.5],
      [53, hash - 0.5],
    ]);
  });

  it("puts each mark's letters where they stood, with an arrow of one length the way they faced", () => {
    const shapes = planMarkShapes(flagField, judged.placed);
    const labels = shapes.flatMap((shape) => (shape.kind === "label" ? [shape] : []));
    expect(labels.map((label) => label.text).toSorted()).toEqual(
      ["BJ", "FJ", "LJ", "O", "O", "O", "O", "R", "X", "●"].toSorted(),
    );
    expectPoints([labels.find((label) => label.text === "R")!.at], [[20, 27]]);
    const arrows = shapes.flatMap((shape) => (shape.kind === "arrow" ? [shape] : []));
    expect(arrows).toHaveLength(2);
    for (const { from, to } of arrows) expect(Math.hypot(to[0] - from[0], to[1] - from[1])).toBeCloseTo(3.2, 9);
    // The referee faced from (20, 13) toward (26.5, 16.5): on the plan to the right and up.
    const [x, y] = [arrows[0]!.to[0] - arrows[0]!.from[0], arrows[0]!.to[1] - arrows[0]!.from[1]];
    expect(Math.atan2(-y, x)).toBeCloseTo(Math.atan2(3.5, 6.5), 6);
  });
});
