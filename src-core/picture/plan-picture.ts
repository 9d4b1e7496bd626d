import type { FieldLayout } from "../field/template.ts";
import type { FieldPoint } from "../field/units.ts";
import type { Situation } from "../game/records.ts";
import type { Finding } from "../scoring/finding.ts";
import type { PlacedMark } from "../scoring/station.ts";
import { targetInk } from "./frame-picture.ts";
import { glyphOf } from "./mark-glyph.ts";
import type { PicturePoint, Shape } from "./shape.ts";

/**
 * The field from above, in yards, as a plat: x to the right as in the field frame, and y turned over so that the near
 * sideline is at the bottom, the way the press box looks at it.
 */
export const planMarginYards = 4;

export function planPoint(layout: FieldLayout, point: FieldPoint): PicturePoint {
  return [point.xYards, layout.widthYards - point.yYards];
}

export function planFieldShapes(layout: FieldLayout): Shape[] {
  const corner = (x: number, y: number): PicturePoint => [x, y];
  const outline = [
    corner(0, 0),
    corner(layout.totalLengthYards, 0),
    corner(layout.totalLengthYards, layout.widthYards),
    corner(0, layout.widthYards),
  ];
  const lines = layout.lines.flatMap((line): Shape[] => {
    if (line.kind === "number-row" || line.kind === "sideline" || line.kind === "end-line") return [];
    return [
      {
        kind: "path",
        ink: line.kind === "goal-line" ? "field-edge" : "field-line",
        points: [planPoint(layout, line.from), planPoint(layout, line.to)],
        closed: false,
      },
    ];
  });
  const named = layout.lines.filter((line) => line.kind === "yard-line");
  const numbers = named.flatMap((line): Shape[] => {
    const fromLeft = line.from.xYards - layout.leftGoalXYards;
    const number = Math.min(fromLeft, layout.rightGoalXYards - line.from.xYards);
    if (number % 10 !== 0) return [];
    return [
      {
        kind: "label",
        ink: "field-line",
        at: [line.from.xYards, layout.widthYards + planMarginYards / 2],
        text: String(number),
        place: "on",
      },
    ];
  });
  return [{ kind: "path", ink: "grass", points: outline, closed: true }, ...lines, ...numbers];
}

export function planSituationShapes(layout: FieldLayout, situation: Situation): Shape[] {
  const across = (xYards: number, ink: "scrimmage" | "line-to-gain"): Shape => ({
    kind: "path",
    ink,
    points: [
      [xYards, 0],
      [xYards, layout.widthYards],
    ],
    closed: false,
  });
  return [
    across(situation.scrimmageXYards, "scrimmage"),
    ...(situation.lineToGainXYards === null ? [] : [across(situation.lineToGainXYards, "line-to-gain")]),
  ];
}

export function planTargetShapes(layout: FieldLayout, findings: readonly Finding[]): Shape[] {
  return findings.flatMap((finding): Shape[] =>
    finding.target
      ? [
          {
            kind: "path",
            ink: targetInk(finding),
            points: finding.target.map((point) => planPoint(layout, point)),
            closed: true,
          },
        ]
      : [],
  );
}

export function planMarkShapes(layout: FieldLayout, placed: readonly PlacedMark[]): Shape[] {
  return placed.flatMap((mark): Shape[] => {
    const { text, ink } = glyphOf(mark.subject);
    const at = planPoint(layout, mark.measured.position);
    return [
      {
        kind: "path",
        ink: "measured",
        points: mark.measured.region.map((point) => planPoint(layout, point)),
        closed: true,
      },
      ...(mark.facing
        ? [{ kind: "arrow" as const, ink, from: at, to: shortened(at, planPoint(layout, mark.facing.position)) }]
        : []),
      { kind: "label", ink, at, text, place: "on" },
    ];
  });
}

/** An arrow of a length that can be read, whatever distance was clicked. */
function shortened(from: PicturePoint, to: PicturePoint): PicturePoint {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
  const shown = 3.2;
  return [from[0] + ((to[0] - from[0]) * shown) / length, from[1] + ((to[1] - from[1]) * shown) / length];
}
