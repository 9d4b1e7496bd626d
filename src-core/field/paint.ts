import { type Column, columnsOf, isMultiple } from "./columns.ts";
import type { FieldLayout } from "./template.ts";
import {
  betweenSidelinesYards,
  liesAcross,
  linePaintYards,
  shortMarkYards,
  tryMarkYards,
} from "./template-measures.ts";
import { type FieldPoint, fieldPoint } from "./units.ts";

/**
 * What lies on a field beside its lines: short marks, digits, try marks, no-running zones and goals. For drawing it to
 * scale; what can be staked is in the layout itself. Field frame, yards.
 */
export type Segment = { readonly from: FieldPoint; readonly to: FieldPoint };

/** One digit of a yard number, upright for who stands on its sideline: turned half round at the far one. */
export type PaintedDigit = { readonly text: string; readonly at: FieldPoint; readonly turned: boolean };

export type FieldPaint = {
  readonly shortMarks: readonly Segment[];
  readonly tryMarks: readonly Segment[];
  readonly digits: readonly PaintedDigit[];
  /** Two opposite corners each. */
  readonly noRunningZones: readonly Segment[];
  /** The crossbars from upright to upright, at the inside edges of the end lines. */
  readonly goals: readonly Segment[];
};

export function paintOf(layout: FieldLayout): FieldPaint {
  const columns = columnsOf(layout.template);
  return {
    shortMarks: shortMarksOf(layout, columns),
    tryMarks: tryMarksOf(layout),
    digits: digitsOf(layout, columns),
    noRunningZones: zonesOf(layout, columns),
    goals: goalsOf(layout),
  };
}

const segment = (x0: number, y0: number, x1: number, y1: number): Segment => ({
  from: fieldPoint(x0, y0),
  to: fieldPoint(x1, y1),
});

/**
 * At a hash row a mark runs outward from its inbounds end; at a sideline it begins 4 in inside the paint (NCAA rules
 * 1-2-1, 2-12-7). None where a line is painted all across.
 */
function shortMarksOf(layout: FieldLayout, columns: readonly Column[]): Segment[] {
  const { template, widthYards: width, hashFromSidelineYards: hash } = layout;
  if (liesAcross(template)) return tackleShortMarks(layout);
  const pitch = template.shortMarkEveryYards;
  if (pitch === null) return [];
  const lines = new Set(columns.filter((column) => column.fullLine).map((column) => column.xYards.toFixed(3)));
  const marks: Segment[] = [];
  for (let k = 1; k * pitch < template.playLengthYards - 1e-6; k++) {
    const x = layout.leftGoalXYards + k * pitch;
    if (lines.has(x.toFixed(3))) continue;
    marks.push(segment(x, linePaintYards, x, linePaintYards + shortMarkYards));
    if (hash !== null) {
      marks.push(segment(x, hash - shortMarkYards, x, hash));
      marks.push(segment(x, width - hash, x, width - hash + shortMarkYards));
    }
    marks.push(segment(x, width - linePaintYards - shortMarkYards, x, width - linePaintYards));
  }
  return marks;
}

/** A tackle field's hash marks, one each yard between its yard lines, on a field laid across it. */
function tackleShortMarks({ template, widthYards, hashFromSidelineYards: hash }: FieldLayout): Segment[] {
  if (hash === null || template.tackleLineEveryYards === null) return [];
  const total = betweenSidelinesYards(template);
  const marks: Segment[] = [];
  for (let y = 1; y < widthYards; y++) {
    if (isMultiple(y, template.tackleLineEveryYards)) continue;
    marks.push(segment(hash - shortMarkYards, y, hash, y));
    marks.push(segment(total - hash, y, total - hash + shortMarkYards, y));
  }
  return marks;
}

function tryMarksOf(layout: FieldLayout): Segment[] {
  const middle = layout.widthYards / 2;
  return layout.template.tryMarksYards.flatMap((yards) =>
    [layout.leftGoalXYards + yards, layout.rightGoalXYards - yards].map((x) =>
      segment(x, middle - tryMarkYards / 2, x, middle + tryMarkYards / 2),
    ),
  );
}

/** Digits are 4 ft wide and begin 1 ft from the line they straddle (a field-drawing package's data, at second hand). */
const digitOffYards = 1 / 3 + 4 / 3 / 2;

function digitsOf(layout: FieldLayout, columns: readonly Column[]): PaintedDigit[] {
  const { numbersYards, template, widthYards } = layout;
  // What a tackle field's lines are numbered depends on where along it another field was laid.
  if (numbersYards === null || liesAcross(template)) return [];
  const middle = (numbersYards.bottom + numbersYards.top) / 2;
  return numbered(columns).flatMap(({ number, xYards }) => {
    const [tens, units] = [String(Math.floor(number / 10)), String(number % 10)];
    const digit = (text: string, offYards: number, yYards: number, turned: boolean): PaintedDigit => ({
      text,
      at: fieldPoint(xYards + offYards, yYards),
      turned,
    });
    return [
      digit(tens, -digitOffYards, middle, false),
      digit(units, digitOffYards, middle, false),
      digit(tens, digitOffYards, widthYards - middle, true),
      digit(units, -digitOffYards, widthYards - middle, true),
    ];
  });
}

/** The columns that carry a number of two digits: the tens, or where a field has no such column, its lines. */
function numbered(columns: readonly Column[]): { readonly number: number; readonly xYards: number }[] {
  const whole = columns.flatMap(({ number, xYards, kind, fullLine }) =>
    kind === "yard-line" && number !== null && Number.isInteger(number) && number >= 10 && number < 100
      ? [{ number, xYards, fullLine }]
      : [],
  );
  const tens = whole.filter(({ number }) => number % 10 === 0);
  return tens.length > 0 ? tens : whole.filter(({ fullLine }) => fullLine);
}

function zonesOf(layout: FieldLayout, columns: readonly Column[]): Segment[] {
  const lines = columns.filter((column) => column.kind === "no-run-line");
  const { beforeGoal, beforeMiddle } = layout.template.noRunningYards;
  const goals = [layout.leftGoalXYards, layout.rightGoalXYards];
  const middle = layout.totalLengthYards / 2;
  return lines.map(({ xYards, code }) => {
    const atMiddle = beforeMiddle !== null && code.startsWith("mid-");
    const to = atMiddle ? middle : goals.find((goal) => Math.abs(Math.abs(goal - xYards) - (beforeGoal ?? 0)) < 1e-6);
    return segment(xYards, 0, to ?? middle, layout.widthYards);
  });
}

function goalsOf({ goalYards, totalLengthYards, widthYards }: FieldLayout): Segment[] {
  if (goalYards === null) return [];
  return [0, totalLengthYards].map((x) => segment(x, (widthYards - goalYards) / 2, x, (widthYards + goalYards) / 2));
}
