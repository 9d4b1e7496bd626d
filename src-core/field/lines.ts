import type { Column } from "./columns.ts";
import type { ChosenMeasures, FieldLine, LineSide } from "./template.ts";
import {
  betweenSidelinesYards,
  type FieldTemplate,
  liesAcross,
  linePaintYards,
  tackleLinesYards,
} from "./template-measures.ts";
import { fieldPoint } from "./units.ts";

type Part = Pick<FieldLine, "id" | "name" | "kind" | "measuredAt" | "openSide" | "paintYards">;

const edgeOpenTo = (openSide: LineSide) => ({ measuredAt: "inside-edge", openSide }) as const;
const centre = { measuredAt: "centre", openSide: null } as const;

/** The lines of a field that a person can click along: painted ones, and rows of marks and digits. */
export function linesOf(
  template: FieldTemplate,
  columns: readonly Column[],
  measures: ChosenMeasures,
): readonly FieldLine[] {
  return [
    ...columns.filter((column) => column.fullLine).map((column) => lineOfColumn(template, column)),
    ...sidelines(template),
    ...tackleLinesYards(template).map((y) =>
      along(
        template,
        {
          id: `tackle-${y}`,
          name: `tackle line ${y} yd in from the near sideline`,
          kind: "tackle-line",
          ...centre,
          paintYards: linePaintYards,
        },
        y,
      ),
    ),
    ...rowsOf(measures).map((row) => (liesAcross(template) ? rowAcross(template, row) : rowAlong(template, row))),
    ...benchLines(template),
  ];
}

function lineOfColumn(template: FieldTemplate, column: Column): FieldLine {
  return {
    id: column.code,
    name: column.name,
    from: fieldPoint(column.xYards, 0),
    to: fieldPoint(column.xYards, template.widthYards),
    kind: column.kind,
    ...(column.number === null ? edgeOpenTo(column.code.startsWith("L") ? "right" : "left") : centre),
    paintYards: column.kind === "goal-line" ? template.goalLinePaintYards : linePaintYards,
  };
}

/** A line along the field at y; `insetYards` short of both ends. */
function along(template: FieldTemplate, part: Part, yYards: number, insetYards = 0): FieldLine {
  const total = template.playLengthYards + 2 * template.endZoneYards;
  return { ...part, from: fieldPoint(insetYards, yYards), to: fieldPoint(total - insetYards, yYards) };
}

/** The sidelines of a field laid across another are two of that one's yard lines, which are measured at their middles. */
function sidelines(template: FieldTemplate): FieldLine[] {
  const part = { kind: "sideline", paintYards: linePaintYards } as const;
  const measured = (openSide: LineSide) => (liesAcross(template) ? centre : edgeOpenTo(openSide));
  return [
    along(template, { id: "near-sideline", name: "near sideline", ...part, ...measured("far") }, 0),
    along(template, { id: "far-sideline", name: "far sideline", ...part, ...measured("near") }, template.widthYards),
  ];
}

/** A row of marks or digits, so far in from the first (near, left) or second (far, right) sideline. */
type Row = {
  readonly first: boolean;
  readonly id: string;
  readonly name: string;
  readonly kind: "hash-row" | "number-row";
  readonly inYards: number;
  /** Its marks lie between it and their sideline, so that its other side is open. */
  readonly openInward: boolean;
};

function rowsOf({ hashFromSidelineYards: hash, numbersYards: numbers }: ChosenMeasures): Row[] {
  const rows: Row[] = [];
  const put = (first: boolean, id: string, name: string, kind: Row["kind"], inYards: number, openInward: boolean) =>
    rows.push({ first, id, name, kind, inYards, openInward });
  if (hash !== null) for (const first of [true, false]) put(first, "hash", "hash row", "hash-row", hash, true);
  if (numbers !== null) {
    put(true, "number-bottoms", "number bottoms", "number-row", numbers.bottom, false);
    put(true, "number-tops", "number tops", "number-row", numbers.top, true);
    put(false, "number-tops", "number tops", "number-row", numbers.top, true);
    put(false, "number-bottoms", "number bottoms", "number-row", numbers.bottom, false);
  }
  return rows;
}

function rowAlong(template: FieldTemplate, row: Row): FieldLine {
  const side = row.first ? "near" : "far";
  const part: Part = {
    id: `${side}-${row.id}`,
    name: `${side} ${row.name}`,
    kind: row.kind,
    ...edgeOpenTo(row.first === row.openInward ? "far" : "near"),
    paintYards: null,
  };
  const y = row.first ? row.inYards : template.widthYards - row.inYards;
  return along(template, part, y, template.endZoneYards);
}

function rowAcross(template: FieldTemplate, row: Row): FieldLine {
  const side = row.first ? "left" : "right";
  const x = row.first ? row.inYards : betweenSidelinesYards(template) - row.inYards;
  return {
    id: `${side}-${row.id}`,
    name: `${side} ${row.name} of the tackle field`,
    from: fieldPoint(x, 0),
    to: fieldPoint(x, template.widthYards),
    kind: row.kind,
    ...edgeOpenTo(row.first === row.openInward ? "right" : "left"),
    paintYards: null,
  };
}

function benchLines(template: FieldTemplate): FieldLine[] {
  return template.benchLines.flatMap(({ id, name, outYards, fromGoalYards }) => {
    const inset = fromGoalYards === null ? 0 : template.endZoneYards + fromGoalYards;
    return (["near", "far"] as const).map((side) =>
      along(
        template,
        { id: `${side}-${id}`, name: `${side} ${name}`, kind: "bench-line", ...centre, paintYards: linePaintYards },
        side === "near" ? -outYards : template.widthYards + outYards,
        inset,
      ),
    );
  });
}
