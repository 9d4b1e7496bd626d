import { ends, type FieldTemplate } from "./template-measures.ts";

/** A place along the field that carries a name: a painted line, or a row of short marks. */
export type Column = {
  /** `L-goal`, `L20` (20 yd from the left goal line), `mid`, `R20`, `mid-L5` (5 yd left of midfield). */
  readonly code: string;
  /** Of the line itself, "left 5 (no-running line)", and of a point on it, "near sideline at left 5". */
  readonly name: string;
  readonly pointName: string;
  readonly xYards: number;
  readonly kind: "yard-line" | "goal-line" | "end-line" | "no-run-line";
  /** Painted from sideline to sideline, and not only as short marks. */
  readonly fullLine: boolean;
  /** Yards to the nearer goal line, as the field is numbered; null for goal and end lines. */
  readonly number: number | null;
};

/** Thousandths of a yard tell any two columns of a field apart; thirds of a yard need no more to be known again. */
const rounded = (yards: number): number => Math.round(yards * 1000) / 1000;

/** `yards` is so many times `pitch`, but for the last bits of a number. */
export function isMultiple(yards: number, pitch: number): boolean {
  const times = yards / pitch;
  return Math.abs(times - Math.round(times)) < 1e-6;
}

/** Every column of a field, left to right, with the name a person would say from the press-box side. */
export function columnsOf(template: FieldTemplate): readonly Column[] {
  const { playLengthYards: length, endZoneYards: zone } = template;
  const columns = new Map<string, Column>();
  const put = (column: Column): void => void columns.set(column.code, column);
  const pair = (code: string, name: string, kind: Column["kind"], left: number, right: number): void => {
    for (const { side, letter } of ends) {
      const named = `${side} ${name}`;
      const xYards = side === "left" ? left : right;
      put({ code: `${letter}-${code}`, name: named, pointName: named, xYards, kind, fullLine: true, number: null });
    }
  };
  if (zone > 0) pair("end", "end line", "end-line", 0, 2 * zone + length);
  pair("goal", "goal line", "goal-line", zone, zone + length);

  const every = (pitch: number, fullLine: boolean): void => {
    for (let k = 1; k * pitch < length - 1e-6; k++) {
      const column = yardColumn(template, k * pitch, fullLine);
      if (fullLine || !columns.has(column.code)) put(column);
    }
  };
  every(template.lineEveryYards, true);
  if (template.tickEveryYards !== null) every(template.tickEveryYards, false);

  const { beforeGoal, beforeMiddle } = template.noRunningYards;
  if (beforeGoal !== null) {
    for (const fromLeft of [beforeGoal, length - beforeGoal]) {
      const column = yardColumn(template, fromLeft, true);
      put({ ...column, kind: "no-run-line", name: `${column.name} (no-running line)` });
    }
  }
  if (beforeMiddle !== null) {
    for (const side of ["left", "right"] as const) {
      const fromLeft = length / 2 + (side === "left" ? -beforeMiddle : beforeMiddle);
      put({
        code: `mid-${side === "left" ? "L" : "R"}${rounded(beforeMiddle)}`,
        name: `${rounded(beforeMiddle)} yd ${side} of midfield (no-running line)`,
        pointName: `${rounded(beforeMiddle)} yd ${side} of midfield`,
        xYards: zone + fromLeft,
        kind: "no-run-line",
        fullLine: true,
        number: rounded(length / 2 - beforeMiddle),
      });
    }
  }
  return [...columns.values()].toSorted((a, b) => a.xYards - b.xYards);
}

function yardColumn({ playLengthYards, endZoneYards }: FieldTemplate, fromLeft: number, fullLine: boolean): Column {
  const number = rounded(Math.min(fromLeft, playLengthYards - fromLeft));
  const off = fromLeft - playLengthYards / 2;
  const middle = Math.abs(off) < 1e-6;
  const side = off < 0 ? "left" : "right";
  const name = middle ? (Number.isInteger(number) ? `midfield (the ${number})` : "midfield") : `${side} ${number}`;
  return {
    code: middle ? "mid" : `${side === "left" ? "L" : "R"}${number}`,
    name,
    pointName: name,
    xYards: endZoneYards + fromLeft,
    kind: "yard-line",
    fullLine,
    number,
  };
}
