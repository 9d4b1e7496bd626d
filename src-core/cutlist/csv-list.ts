import Papa from "papaparse";
import type { Play } from "../game/records.ts";
import { listColumns, type ListedField, type ListedPlay, playFromWords, wordsOf } from "./listed-play.ts";

/** Cut lists as CSV (RFC 4180). The separator, comma, semicolon or tab, is found out. */
export type CsvTable = { readonly headings: readonly string[]; readonly rows: readonly (readonly string[])[] };

export type ReadTable =
  | ({ readonly ok: true } & CsvTable)
  | { readonly ok: false; readonly line: number; readonly reason: string };

export function readCsv(file: string): ReadTable {
  const text = file.replace(/^\uFEFF/u, "");
  const parsed = Papa.parse<string[]>(text, { skipEmptyLines: "greedy", delimitersToGuess: [",", ";", "\t"] });
  const quote = parsed.errors.find(({ type }) => type === "Quotes");
  if (quote) return { ok: false, line: (quote.row ?? 0) + 1, reason: "A quoted cell does not end." };
  const [headings, ...rows] = parsed.data;
  if (!headings || headings.every((heading) => heading.trim() === ""))
    return { ok: false, line: 1, reason: "The first row must hold the headings of the columns." };
  return { ok: true, headings: headings.map((heading) => heading.trim()), rows };
}

export type Mapping = Partial<Record<ListedField, number>>;

/** Which column holds what, as far as the headings say. */
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

export type LeftOut = { readonly line: number; readonly reason: string };

/** The plays of a table by a mapping, and the rows that cannot be read with the reason. Lines are counted with the headings. */
export function playsOfTable(
  { rows }: CsvTable,
  mapping: Mapping,
): { readonly plays: readonly ListedPlay[]; readonly leftOut: readonly LeftOut[] } {
  const plays: ListedPlay[] = [];
  const leftOut: LeftOut[] = [];
  for (const [index, row] of rows.entries()) {
    const words = Object.fromEntries(
      Object.entries(mapping).map(([field, column]) => [field, undefused(row[column] ?? "")]),
    );
    const read = playFromWords(index + 2, words);
    if (read.ok) plays.push(read.play);
    else leftOut.push({ line: index + 2, reason: read.reason });
  }
  return { plays, leftOut };
}

export function writeCsv(plays: readonly Play[]): string {
  const fields = listColumns.map(({ heading }) => heading);
  const data = plays.map((play) => {
    const words = wordsOf(play);
    return listColumns.map(({ field }) => defused(words[field]));
  });
  return `${Papa.unparse({ fields, data }, { newline: "\r\n" })}\r\n`;
}

/** A cell that a spreadsheet would take for a formula is written as text; a plain number stays one. */
function defused(word: string): string {
  return /^[=+\-@\t\r]/u.test(word) && !/^-?\d+(?:\.\d+)?$/u.test(word) ? `'${word}` : word;
}
const undefused = (word: string) => (/^'[=+\-@]/u.test(word) ? word.slice(1) : word);
