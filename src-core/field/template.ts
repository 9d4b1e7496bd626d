import type { HashSet } from "./field-choices.ts";
import { type FieldPoint, fieldPoint } from "./units.ts";

/**
 * Field templates: the sizes a field is laid out to, and the named points and lines a person can see on it.
 *
 * Sizes are the published ones; the source stands beside each. Boundary lines are measured at their inside edges
 * (NCAA rules 1-2-2), so a sideline landmark is the inside edge of the paint. The hash row's landmark is the inbounds
 * end of the short mark, which is what the printed distance is measured to.
 */

export type FieldTemplate = {
  readonly id: string;
  readonly name: string;
  /** Goal line to goal line. */
  readonly playLengthYards: number;
  readonly endZoneYards: number;
  readonly widthYards: number;
  /** Full-width lines are painted every so many yards from each goal line. */
  readonly lineEveryYards: number;
  /** Short marks at the sidelines and hash rows every so many yards; null where none are painted. */
  readonly tickEveryYards: number | null;
  readonly hashSet: HashSet;
  /** Distance of the yard-line digits' outer (foot) and inner (top) ends from their sideline; null without digits. */
  readonly numbersYards: { readonly bottom: number; readonly top: number } | null;
  readonly source: string;
};

export type Landmark = {
  readonly id: string;
  /** As a person would say it, seen from the press-box side. */
  readonly name: string;
  readonly at: FieldPoint;
};

export type FieldLine = {
  readonly id: string;
  readonly name: string;
  readonly from: FieldPoint;
  readonly to: FieldPoint;
  readonly kind: "yard-line" | "goal-line" | "end-line" | "sideline" | "hash-row" | "number-row";
};

export type FieldLayout = {
  readonly template: FieldTemplate;
  readonly totalLengthYards: number;
  readonly widthYards: number;
  readonly leftGoalXYards: number;
  readonly rightGoalXYards: number;
  /** Lateral position of the near and far hash row; null on a field without them. */
  readonly hashYYards: { readonly near: number; readonly far: number } | null;
  readonly landmarks: readonly Landmark[];
  readonly lines: readonly FieldLine[];
};

/** Yards from the sideline to the inbounds end of the hash mark. Sources in each row's comment. */
function hashFromSidelineYards(set: HashSet, widthYards: number): number | null {
  switch (set) {
    case "none":
      return null;
    case "thirds":
      return widthYards / 3;
    case "ncaa":
      return 20; // 60 ft: NCAA 2016-17 rules 1-2-1, 2-12-7
    case "nfhs":
      return 160 / 9; // 53 ft 4 in, thirds of 160 ft: NFHS rule 1 digest
    case "nfl":
      return 283 / 12; // 70 ft 9 in: NFL operations glossary, hashmarks
  }
}

const tackleWidthYards = 160 / 3;

export const templates: readonly FieldTemplate[] = [
  {
    id: "flag-100x40",
    name: "Flag, 100 × 40 yd, a line every 20",
    playLengthYards: 80,
    endZoneYards: 10,
    widthYards: 40,
    lineEveryYards: 20,
    tickEveryYards: 5,
    hashSet: "thirds",
    numbersYards: { bottom: 7, top: 9 },
    source:
      "80 yd between goal lines, 100 × 40 yd overall, zone lines each 20 yd: college intramural rules digest (NIRSA). Hash ticks at thirds and digits are a choice of the field's owner, not of the rules.",
  },
  {
    id: "ncaa",
    name: "College tackle (NCAA)",
    playLengthYards: 100,
    endZoneYards: 10,
    widthYards: tackleWidthYards,
    lineEveryYards: 5,
    tickEveryYards: 5,
    hashSet: "ncaa",
    numbersYards: { bottom: 7, top: 9 },
    source: "NCAA football rules 2016-17, 1-2-1, 2-12-2, 2-12-7; number tops 9 yd from the sideline, 1-2-1-i",
  },
  {
    id: "nfhs",
    name: "High school tackle, 11 players (NFHS)",
    playLengthYards: 100,
    endZoneYards: 10,
    widthYards: tackleWidthYards,
    lineEveryYards: 5,
    tickEveryYards: 5,
    hashSet: "nfhs",
    numbersYards: { bottom: 7, top: 9 },
    source: "NFHS football rules book, rule 1 (digest); number tops 9 yd from the sideline are customary",
  },
  {
    id: "nfl",
    name: "Professional tackle (NFL)",
    playLengthYards: 100,
    endZoneYards: 10,
    widthYards: tackleWidthYards,
    lineEveryYards: 5,
    tickEveryYards: 5,
    hashSet: "nfl",
    numbersYards: { bottom: 12, top: 14 },
    source: "NFL playing rules, rule 1 sections 1-2; number bottoms 12 yd from the sideline",
  },
  {
    id: "ifaf-5v5",
    name: "Flag 5v5, 70 × 25 yd (IFAF)",
    playLengthYards: 50,
    endZoneYards: 10,
    widthYards: 25,
    lineEveryYards: 25,
    tickEveryYards: null,
    hashSet: "none",
    numbersYards: null,
    source: "IFAF flag football rules 2023 (digest): 50 × 25 yd, end zones 10 yd, middle line at 25",
  },
];

export function templateById(id: string): FieldTemplate | null {
  return templates.find((template) => template.id === id) ?? null;
}

type Column = { code: string; name: string; xYards: number; kind: FieldLine["kind"]; fullLine: boolean };

/** Every painted column of the field (lines and tick columns), left to right, with the name a person would say. */
function columnsOf(template: FieldTemplate): Column[] {
  const { playLengthYards: length, endZoneYards: zone } = template;
  const columns: Column[] = [
    { code: "L-end", name: "left end line", xYards: 0, kind: "end-line", fullLine: true },
    { code: "L-goal", name: "left goal line", xYards: zone, kind: "goal-line", fullLine: true },
  ];
  const pitch = template.tickEveryYards ?? template.lineEveryYards;
  for (let fromLeft = pitch; fromLeft < length; fromLeft += pitch) {
    const number = Math.min(fromLeft, length - fromLeft);
    const middle = fromLeft * 2 === length;
    const side = fromLeft * 2 < length ? "L" : "R";
    const wide = middle || number % template.lineEveryYards === 0;
    columns.push({
      code: middle ? "mid" : `${side}${number}`,
      name: middle ? `midfield (the ${number})` : `${side === "L" ? "left" : "right"} ${number}`,
      xYards: zone + fromLeft,
      kind: "yard-line",
      fullLine: wide,
    });
  }
  columns.push(
    { code: "R-goal", name: "right goal line", xYards: zone + length, kind: "goal-line", fullLine: true },
    { code: "R-end", name: "right end line", xYards: 2 * zone + length, kind: "end-line", fullLine: true },
  );
  return columns;
}

/**
 * The named points and lines of a template, in the field frame.
 *
 * Landmark ids are `row/column`, e.g. `near-sideline/L20`, `far-hash/mid`; line ids are the column or row alone.
 */
export function layOut(template: FieldTemplate): FieldLayout {
  const { widthYards: width, endZoneYards: zone, playLengthYards: length } = template;
  const totalLengthYards = length + 2 * zone;
  const hash = hashFromSidelineYards(template.hashSet, width);
  const columns = columnsOf(template);

  const rows: { id: string; name: string; yYards: number; end?: string }[] = [
    { id: "near-sideline", name: "near sideline", yYards: 0 },
    ...(hash === null
      ? []
      : [
          { id: "near-hash", name: "near hash", end: ", inbounds end", yYards: hash },
          { id: "far-hash", name: "far hash", end: ", inbounds end", yYards: width - hash },
        ]),
    { id: "far-sideline", name: "far sideline", yYards: width },
  ];

  const landmarks: Landmark[] = [];
  for (const column of columns) {
    const inField = column.kind === "yard-line";
    for (const row of rows) {
      if (!inField && row.id.endsWith("hash")) continue;
      landmarks.push({
        id: `${row.id}/${column.code}`,
        name: `${row.name} at ${column.name}${row.end ?? ""}`,
        at: fieldPoint(column.xYards, row.yYards),
      });
    }
  }

  const lines: FieldLine[] = columns
    .filter((column) => column.fullLine)
    .map((column) => ({
      id: column.code,
      name: column.name,
      from: fieldPoint(column.xYards, 0),
      to: fieldPoint(column.xYards, width),
      kind: column.kind,
    }));
  const along = (id: string, name: string, yYards: number, kind: FieldLine["kind"], fromX: number, toX: number) =>
    lines.push({ id, name, from: fieldPoint(fromX, yYards), to: fieldPoint(toX, yYards), kind });
  along("near-sideline", "near sideline", 0, "sideline", 0, totalLengthYards);
  along("far-sideline", "far sideline", width, "sideline", 0, totalLengthYards);
  if (hash !== null) {
    along("near-hash", "near hash row", hash, "hash-row", zone, zone + length);
    along("far-hash", "far hash row", width - hash, "hash-row", zone, zone + length);
  }
  if (template.numbersYards) {
    const { bottom, top } = template.numbersYards;
    along("near-number-bottoms", "near number bottoms", bottom, "number-row", zone, zone + length);
    along("near-number-tops", "near number tops", top, "number-row", zone, zone + length);
    along("far-number-tops", "far number tops", width - top, "number-row", zone, zone + length);
    along("far-number-bottoms", "far number bottoms", width - bottom, "number-row", zone, zone + length);
  }

  return {
    template,
    totalLengthYards,
    widthYards: width,
    leftGoalXYards: zone,
    rightGoalXYards: zone + length,
    hashYYards: hash === null ? null : { near: hash, far: width - hash },
    landmarks,
    lines,
  };
}
