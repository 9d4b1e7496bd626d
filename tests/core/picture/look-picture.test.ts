import { expect, it } from "vitest";
import { fieldPoint } from "#core/field/units";
import { frameSightShapes, planSightShapes, type Sightline, sightlines } from "#core/picture/look-picture";
import type { PicturePoint, Shape } from "#core/picture/shape";
import type { Book } from "#core/mechanics/book";
import { see } from "../field/cameras.ts";
import { lookRule } from "../scoring/look-rule.ts";
import { flagCrewBook, flagField, inPlace, judge, momentHere, type StagedPlay } from "../scoring/staged-play.ts";

/** The line judge looks along the pair and the field judge across it; where they stand is the truth here. */
const play: StagedPlay = {
  ...inPlace,
  people: {
    LJ: { subject: { kind: "official", position: "LJ" }, at: fieldPoint(40, 14.5), facing: fieldPoint(40, 18) },
    FJ: { subject: { kind: "official", position: "FJ" }, at: fieldPoint(52, 20.75), facing: fieldPoint(46, 20.75) },
    a: { subject: { kind: "player", side: "A", role: "receiver" }, at: fieldPoint(40, 20) },
    b: { subject: { kind: "player", side: "B", role: "defender" }, at: fieldPoint(40, 21.5) },
    alone: { subject: { kind: "player", side: "A", role: "receiver" }, at: fieldPoint(40, 35) },
  },
};
const book: Book = { ...flagCrewBook, looks: [lookRule] };
const judged = judge(play, {
  book,
  moment: { ...momentHere, phase: "zone" },
  responsible: (matter) => (matter.opponent ? ["LJ", "FJ"] : ["FJ"]),
});
const survey = (() => {
  if (judged.survey.kind !== "solved") throw new Error("the staged play has no survey");
  return judged.survey.survey;
})();
const drawn = (pointed: string | null) => sightlines(judged.looks, judged.findings, pointed);
const told = (lines: readonly Sightline[]) => lines.map(({ kind, position }) => `${position} ${kind}`);

it("draws the look that has each matter and those that a finding rests on, or those of the one pointed at", () => {
  expect(told(drawn(null))).toEqual(["LJ straight", "FJ seen"]);
  expect(told(drawn("LJ"))).toEqual(["LJ straight"]);
  expect(told(drawn("FJ"))).toEqual(["FJ seen"]);
  expect(told(drawn("R"))).toEqual(["LJ straight", "FJ seen"]);
  expect(sightlines(null, judged.findings, null)).toEqual([]);
});

const near = (point: PicturePoint, truth: PicturePoint) => {
  expect(point[0]).toBeCloseTo(truth[0], 3);
  expect(point[1]).toBeCloseTo(truth[1], 3);
};
const described = (shapes: readonly Shape[]) => shapes.map((shape) => `${shape.kind} ${shape.ink}`);

it("draws one line to midway when it is seen, two hairlines when straight-lined, and the step as an arrow", () => {
  const shapes = planSightShapes(flagField, drawn(null));
  expect(described(shapes)).toEqual(["path sight-straight", "path sight-straight", "arrow step", "path sight-seen"]);
  const [left, right, arrow, line] = shapes;
  if (left?.kind !== "path" || right?.kind !== "path" || arrow?.kind !== "arrow" || line?.kind !== "path") {
    throw new Error("not the shapes named above");
  }
  // Along y, so that the hairs lie to either hand in x; the plan's y is turned over.
  near(left.points[0]!, [40 - 0.2, 40 - 14.5]);
  near(right.points[1]!, [40 + 0.2, 40 - 20.75]);
  near(line.points[0]!, [52, 40 - 20.75]);
  near(line.points[1]!, [40, 40 - 20.75]);
  near(arrow.from, [40, 40 - 14.5]);
  expect(Math.hypot(arrow.to[0] - arrow.from[0], arrow.to[1] - arrow.from[1])).toBeCloseTo(2.5, 3);
});

it("draws the same over the frame, where the camera sees both ends", () => {
  const shapes = frameSightShapes(survey, drawn("FJ"));
  expect(described(shapes)).toEqual(["path sight-seen"]);
  const { points } = shapes[0] as Extract<Shape, { kind: "path" }>;
  for (const [i, at] of [fieldPoint(52, 20.75), fieldPoint(40, 20.75)].entries()) {
    const { uPx, vPx } = see(play.camera, at);
    expect(points[i]![0]).toBeCloseTo(uPx, 2);
    expect(points[i]![1]).toBeCloseTo(vPx, 2);
  }
  const behind = { ...drawn("FJ")[0]!, from: fieldPoint(38, -60) };
  expect(frameSightShapes(survey, [behind])).toEqual([]);
  const hidden = frameSightShapes(survey, [{ ...drawn("FJ")[0]!, kind: "hidden" }]);
  expect(described(hidden)).toEqual(["path sight-hidden"]);
});
