import { paintOf, type Segment } from "../field/paint.ts";
import type { FieldLayout, FieldLine } from "../field/template.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { Situation } from "../game/records.ts";
import type { Finding } from "../scoring/finding.ts";
import type { PlacedMark } from "../scoring/station.ts";
import { targetInk } from "./frame-picture.ts";
import { glyphOf } from "./mark-glyph.ts";
import type { Ink, PicturePoint, Shape } from "./shape.ts";

/**
 * The field from above, in yards, as a plat: x to the right as in the field frame, and y turned over so that the near
 * sideline is at the bottom, the way the press box looks at it.
 */
export const planMarginYards = 5;

export function planPoint(layout: FieldLayout, point: FieldPoint): PicturePoint {
  return [point.xYards, layout.widthYards - point.yYards];
}

/** The field with all that is painted on it, and its goals; lines of another field under it and beside it fainter. */
export function planFieldShapes(layout: FieldLayout): Shape[] {
  const { totalLengthYards: length, widthYards: width } = layout;
  const paint = paintOf(layout);
  const path = (ink: Ink, { from, to }: Segment): Shape => ({
    kind: "path",
    ink,
    points: [planPoint(layout, from), planPoint(layout, to)],
    closed: false,
  });
  const box = (ink: Ink, { from, to }: Segment): Shape => {
    const [[x0, y0], [x1, y1]] = [planPoint(layout, from), planPoint(layout, to)];
    return {
      kind: "path",
      ink,
      points: [
        [x0, y0],
        [x1, y0],
        [x1, y1],
        [x0, y1],
      ],
      closed: true,
    };
  };
  return [
    box("grass", { from: fieldPoint(0, width), to: fieldPoint(length, 0) }),
    ...paint.noRunningZones.map((zone) => box("no-running", zone)),
    ...layout.lines.flatMap((line): Shape[] => {
      const ink = lineInk(line);
      return ink === null ? [] : [path(ink, line)];
    }),
    ...[...paint.shortMarks, ...paint.tryMarks].map((mark) => path("field-mark", mark)),
    ...paint.digits.map(({ text, at, turned }): Shape => ({
      kind: "label",
      ink: "field-digit",
      at: planPoint(layout, at),
      text,
      place: "on",
      turned,
    })),
    ...(paint.digits.length > 0 ? [] : marginNumbers(layout)),
    ...paint.goals.map((goal) => path("goal", goal)),
  ];
}

/** Null for what is drawn otherwise: the outline is the grass's, rows are drawn by their marks and digits. */
function lineInk({ kind }: FieldLine): Ink | null {
  switch (kind) {
    case "goal-line":
      return "field-edge";
    case "yard-line":
    case "no-run-line":
      return "field-line";
    case "tackle-line":
      return "tackle-line";
    case "bench-line":
      return "bench-line";
    case "sideline":
    case "end-line":
    case "hash-row":
    case "number-row":
      return null;
  }
}

/** The lines' numbers below a field that has no digits on it: its tens, or whatever whole numbers it has. */
function marginNumbers(layout: FieldLayout): Shape[] {
  const numbered = layout.lines.flatMap(({ kind, from }) => {
    const fromGoal = Math.min(from.xYards - layout.leftGoalXYards, layout.rightGoalXYards - from.xYards);
    const number = Math.round(fromGoal * 1000) / 1000;
    return kind === "yard-line" && Number.isInteger(number) ? [{ number, xYards: from.xYards }] : [];
  });
  const tens = numbered.filter(({ number }) => number % 10 === 0);
  return (tens.length > 0 ? tens : numbered).map(({ number, xYards }) => ({
    kind: "label",
    ink: "field-line",
    at: [xYards, layout.widthYards + planMarginYards / 2],
    text: String(number),
    place: "on",
  }));
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
