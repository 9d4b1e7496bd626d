import type { FieldLayout } from "#core/field/template";
import { stakedEnough } from "#core/game/edits";
import type { GameRecords, Play } from "#core/game/records";
import { isGraded } from "#core/grading/grades";
import { clock, playEndNames, playKindNames, spotName, yardsToGo } from "#core/game/words";
import type { Finding } from "#core/scoring/finding";

/** One play as the sheet lists it. `sorted` holds what each column is sorted by, `shown` what it says. */
export type SheetRow = {
  readonly play: Play;
  readonly moments: number;
  readonly isSurveyed: boolean;
  readonly isMarked: boolean;
  readonly isBrokenDown: boolean;
  readonly isGraded: boolean;
  readonly missed: readonly Finding[];
};

export const columns = [
  { id: "number", name: "Play" },
  { id: "time", name: "Snap" },
  { id: "quarter", name: "Qtr" },
  { id: "series", name: "Series" },
  { id: "offence", name: "Offence" },
  { id: "down", name: "Down" },
  { id: "toGo", name: "To go" },
  { id: "spot", name: "Spot" },
  { id: "kind", name: "Kind" },
  { id: "result", name: "Ended" },
  { id: "moments", name: "Moments" },
  { id: "missed", name: "Missed" },
] as const;
export type ColumnId = (typeof columns)[number]["id"];
export type Sorting = { readonly by: ColumnId; readonly down: boolean };

export type SheetFilter = {
  readonly down: number | null;
  readonly distance: "any" | "short" | "middle" | "long";
  readonly kind: string;
  /** An official with something missed. */
  readonly position: string;
  /** The beginning of a rule's id, as "HO-". */
  readonly finding: string;
  readonly progress: "any" | "to-do" | "surveyed" | "marked" | "graded" | "to-grade";
};
export const everything: SheetFilter = {
  down: null,
  distance: "any",
  kind: "",
  position: "",
  finding: "",
  progress: "any",
};

export function sheetRows(
  records: GameRecords,
  findings: ReadonlyMap<string, readonly Finding[]>,
  observerId: string,
): SheetRow[] {
  const own = { ...records, grades: records.grades.filter(({ authorId }) => authorId === observerId) };
  const surveyed = stakedEnough(records.stakes);
  const marked = new Set(records.marks.map(({ momentId }) => momentId));
  return records.plays.map((play) => {
    const moments = records.moments.filter(({ playId }) => playId === play.id);
    return {
      play,
      moments: moments.length,
      isSurveyed: moments.some(({ id }) => surveyed.has(id)),
      isMarked: moments.some(({ id }) => marked.has(id)),
      isGraded: isGraded(own, play),
      isBrokenDown: play.snapSec !== null && play.deadSec !== null,
      missed: (findings.get(play.id) ?? []).filter(({ verdict }) => verdict === "missed"),
    };
  });
}

/** Yards to go of a short and of a long down, as crews speak of them: common practice. */
const shortYards = 3;
const longYards = 7;

export function fits({ play, missed, isSurveyed, isMarked, isGraded: graded }: SheetRow, filter: SheetFilter): boolean {
  const { situation, kind } = play;
  const toGo = yardsToGo(situation);
  if (filter.down !== null && situation.down !== filter.down) return false;
  if (filter.distance !== "any") {
    if (toGo === null) return false;
    const is = toGo <= shortYards ? "short" : toGo >= longYards ? "long" : "middle";
    if (is !== filter.distance) return false;
  }
  if (filter.kind !== "" && kind !== filter.kind) return false;
  if (filter.progress === "surveyed" && !isSurveyed) return false;
  if (filter.progress === "marked" && !isMarked) return false;
  if (filter.progress === "to-do" && isMarked) return false;
  if (filter.progress === "graded" && !graded) return false;
  if (filter.progress === "to-grade" && graded) return false;
  if (filter.position === "" && filter.finding === "") return true;
  return missed.some(
    ({ position, ruleId }) =>
      (filter.position === "" || position === filter.position) && ruleId.startsWith(filter.finding),
  );
}

function keyOf({ play, moments, missed }: SheetRow, by: ColumnId): number | string {
  const last = Number.MAX_VALUE;
  switch (by) {
    case "number":
      return play.number;
    case "time":
      return play.snapSec ?? play.startSec;
    case "quarter":
      return play.quarter ?? last;
    case "series":
      return play.series ?? last;
    case "offence":
      return play.situation.offence;
    case "down":
      return play.situation.down ?? last;
    case "toGo":
      return yardsToGo(play.situation) ?? last;
    case "spot":
      return play.situation.scrimmageXYards;
    case "kind":
      return play.kind ?? "~";
    case "result":
      return play.result?.kind ?? "~";
    case "moments":
      return moments;
    case "missed":
      return missed.length;
  }
}

export function inSheetOrder(rows: readonly SheetRow[], { by, down }: Sorting): SheetRow[] {
  const sorted = rows.toSorted((a, b) => {
    const [x, y] = [keyOf(a, by), keyOf(b, by)];
    return (x < y ? -1 : x > y ? 1 : 0) * (down ? -1 : 1) || a.play.number - b.play.number;
  });
  return sorted;
}

export function cell(row: SheetRow, by: ColumnId, records: GameRecords, layout: FieldLayout): string {
  const { play, moments, missed } = row;
  const { situation, result } = play;
  switch (by) {
    case "number":
      return String(play.number);
    case "time":
      return play.snapSec === null ? "no snap" : clock(play.snapSec);
    case "quarter":
      return play.quarter === null ? "" : String(play.quarter);
    case "series":
      return play.series === null ? "" : String(play.series);
    case "offence":
      return `${situation.offence === "home" ? records.game.homeName : records.game.awayName} ${situation.direction === "right" ? "→" : "←"}`;
    case "down":
      return situation.down === null ? "–" : String(situation.down);
    case "toGo": {
      const toGo = yardsToGo(situation);
      return toGo === null ? "–" : String(Math.round(toGo * 10) / 10);
    }
    case "spot":
      return spotName(layout, situation.scrimmageXYards);
    case "kind":
      return play.kind === null ? "" : playKindNames[play.kind];
    case "result":
      return result === null ? "" : playEndNames[result.kind];
    case "moments":
      return moments === 0 ? "" : String(moments);
    case "missed":
      return missed.length === 0 ? "" : missed.map(({ position, ruleId }) => `${position} ${ruleId}`).join(", ");
  }
}
