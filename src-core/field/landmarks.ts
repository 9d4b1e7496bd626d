import type { Column } from "./columns.ts";
import type { ChosenMeasures, Landmark } from "./template.ts";
import { betweenSidelinesYards, ends, type FieldTemplate, liesAcross, tackleLinesYards } from "./template-measures.ts";
import { fieldPoint } from "./units.ts";

type Row = { readonly id: string; readonly name: string; readonly yYards: number; readonly end?: string };

/** The named points of a field. Pylons stand on the corners and the goal lines' ends, which have their names already. */
export function landmarksOf(
  template: FieldTemplate,
  columns: readonly Column[],
  measures: ChosenMeasures,
): readonly Landmark[] {
  const rows = rowsOf(template, measures);
  return [
    ...columns.flatMap((column) =>
      rows
        .filter((row) => column.kind === "yard-line" || !row.id.endsWith("hash"))
        .map((row) => ({
          id: `${row.id}/${column.code}`,
          name: `${row.name} at ${column.pointName}${row.end ?? ""}`,
          at: fieldPoint(column.xYards, row.yYards),
        })),
    ),
    ...tackleHashes(template, rows, measures),
    ...tryMarks(template),
    ...goalPosts(template, measures),
  ];
}

function rowsOf(template: FieldTemplate, { hashFromSidelineYards: hash }: ChosenMeasures): readonly Row[] {
  const { widthYards: width } = template;
  const end = ", inbounds end";
  const hashRows: readonly Row[] =
    hash === null || liesAcross(template)
      ? []
      : [
          { id: "near-hash", name: "near hash", end, yYards: hash },
          { id: "far-hash", name: "far hash", end, yYards: width - hash },
        ];
  return [
    { id: "near-sideline", name: "near sideline", yYards: 0 },
    ...hashRows,
    ...tackleLinesYards(template).map((y) => ({ id: `tackle-${y}`, name: `tackle line ${y} yd in`, yYards: y })),
    { id: "far-sideline", name: "far sideline", yYards: width },
  ];
}

/** Where a tackle field's hash rows cross its yard lines, on a field laid across it. */
function tackleHashes(template: FieldTemplate, rows: readonly Row[], measures: ChosenMeasures): Landmark[] {
  const { hashFromSidelineYards: hash } = measures;
  if (hash === null || !liesAcross(template)) return [];
  return rows.flatMap((row) =>
    ends.map(({ side, letter }) => ({
      id: `${row.id}/${letter}-hash`,
      name: `${row.name} at the tackle field's ${side} hash, inbounds end`,
      at: fieldPoint(side === "left" ? hash : betweenSidelinesYards(template) - hash, row.yYards),
    })),
  );
}

function tryMarks(template: FieldTemplate): Landmark[] {
  const { endZoneYards: zone, playLengthYards: length, widthYards: width } = template;
  return template.tryMarksYards.flatMap((yards) =>
    ends.map(({ side, letter }) => ({
      id: `try-mark/${letter}${yards}`,
      name: `try mark at ${side} ${yards}, its middle`,
      at: fieldPoint(side === "left" ? zone + yards : zone + length - yards, width / 2),
    })),
  );
}

/**
 * Where the inside faces of the uprights meet the ground, in the plane of the end line's inside edge (NCAA rules 1-2-5).
 * A goal held up by one post behind the end line has no such place to click.
 */
function goalPosts(template: FieldTemplate, { goalYards }: ChosenMeasures): Landmark[] {
  if (goalYards === null) return [];
  const { endZoneYards: zone, playLengthYards: length, widthYards: width } = template;
  return ends.flatMap(({ side, letter }) =>
    (["near", "far"] as const).map((which) => ({
      id: `goal-post/${letter}-${which}`,
      name: `foot of the ${which} post, ${side} goal, inside face`,
      at: fieldPoint(
        side === "left" ? 0 : length + 2 * zone,
        width / 2 + (which === "near" ? -goalYards : goalYards) / 2,
      ),
    })),
  );
}
