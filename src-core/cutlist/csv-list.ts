import type { Film, Play } from "../game/records.ts";
import { type CsvTable, defused, undefused, writeCsvRows } from "./csv-table.ts";
import { listColumns, type ListedField, type ListedPlay, numberColumn } from "./list-columns.ts";
import { ownWords, playFromWords, type WordReading, writtenOf } from "./listed-play.ts";
import type { LeftOut } from "./web-vtt.ts";

/** Which column of a table, counted from 0, holds what. */
export type Mapping = Partial<Record<ListedField, number>>;

/** As far as the headings say. */
export function mapHeadings(headings: readonly string[]): Mapping {
  const plain = (word: string) =>
    word
      .trim()
      .toLowerCase()
      .replaceAll(/[\s_.-]+/gu, " ");
  const mapping: Mapping = {};
  const used = new Set<number>();
  for (const exact of [true, false]) {
    for (const { field, heading, also } of listColumns) {
      if (mapping[field] !== undefined) continue;
      const names = exact ? [plain(heading)] : also.map(plain);
      const at = headings.findIndex((one, index) => !used.has(index) && names.includes(plain(one)));
      if (at < 0) continue;
      mapping[field] = at;
      used.add(at);
    }
  }
  return mapping;
}

/** The plays of a table by a mapping, and the rows that cannot be read with the reason. */
export function playsOfTable(
  { headings, rows }: CsvTable,
  mapping: Mapping,
  reading: WordReading = ownWords,
): { readonly plays: readonly ListedPlay[]; readonly leftOut: readonly LeftOut[] } {
  const plays: ListedPlay[] = [];
  const leftOut: LeftOut[] = [];
  for (const { line, cells } of rows) {
    // A separator in a cell without quotes moves all that follows: no such row is read.
    if (cells.slice(headings.length).some((cell) => cell.trim() !== "")) {
      leftOut.push({ line, reason: `It has ${cells.length} cells under ${headings.length} headings.` });
      continue;
    }
    const words = Object.fromEntries(
      Object.entries(mapping).map(([field, index]) => [field, undefused(cells[index] ?? "")]),
    );
    const read = playFromWords(line, words, reading);
    if (read.ok) plays.push(read.play);
    else leftOut.push({ line, reason: read.reason });
  }
  return { plays, leftOut };
}

/** The plays as a table by the columns of `listColumns`, the number before them. */
export function writeCsv(plays: readonly Play[], films: readonly Film[]): string {
  const labels = new Map(films.map(({ id, label }) => [id, label]));
  const headings = [numberColumn.heading, ...listColumns.map(({ heading }) => heading)];
  const rows = plays.map((play) => {
    const written = writtenOf(play, labels.get(play.filmId) ?? "");
    return [String(play.number), ...listColumns.map(({ field }) => defused(String(written[field] ?? "")))];
  });
  return writeCsvRows([headings, ...rows]);
}
