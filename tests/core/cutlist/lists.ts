import { mapHeadings, playsOfTable } from "#core/cutlist/csv-list";
import { readCsv } from "#core/cutlist/csv-table";
import { planImport } from "#core/cutlist/plan-import";
import { readVttList } from "#core/cutlist/vtt-list";
import { downRulesOf } from "#core/game/next-situation";
import type { GameRecords } from "#core/game/records";
import { demoGame, demoLayout } from "../scoring/demo-records.ts";

export const records = demoGame;
export const layout = demoLayout;
export const rules = downRulesOf(layout);
export const bare: GameRecords = { ...records, plays: [], moments: [], stakes: [], carries: [], marks: [] };

export function imported(
  into: GameRecords,
  listed: Parameters<typeof planImport>[0]["listed"],
  replaces = false,
  filmId = "demo-film",
) {
  let count = 0;
  return planImport({
    records: into,
    filmId,
    listed,
    replaces,
    newId: () => `new-${++count}`,
    rules,
    layout,
  });
}
export const told = ({ plays }: GameRecords) => plays.map(({ id: _id, ...play }) => play);

export const tableOf = (file: string, reading?: Parameters<typeof playsOfTable>[2]) => {
  const table = readCsv(file);
  if (!table.ok) throw new Error(table.reason);
  return playsOfTable(table, mapHeadings(table.headings), reading);
};

export const vttOf = (file: string) => {
  const list = readVttList(file);
  if (!list.ok) throw new Error(list.reason);
  return list;
};
