/**
 * Tables as CSV by RFC 4180 (https://www.rfc-editor.org/rfc/rfc4180), pure text in and out. Reading also takes a byte
 * order mark, a semicolon or a tab for the comma, line ends of LF or CR alone, rows that are too short, and a quote in the
 * middle of a cell that did not begin with one, which is then a quote like any other letter.
 */
export type Separator = "," | ";" | "\t";
export const separators = [",", ";", "\t"] as const satisfies readonly Separator[];

/** A row and the line of the file on which it begins, counted from 1. */
export type CsvRow = { readonly line: number; readonly cells: readonly string[] };

export type CsvTable = {
  readonly separator: Separator;
  readonly headings: readonly string[];
  readonly rows: readonly CsvRow[];
};

export type Refused = { readonly ok: false; readonly line: number; readonly reason: string };
export type ReadTable = ({ readonly ok: true } & CsvTable) | Refused;

/** The first row with anything in it holds the headings; rows of nothing but blanks are passed over. */
export function readCsv(file: string, separator?: Separator): ReadTable {
  const text = file.replace(/^\uFEFF/u, "");
  const nul = text.indexOf("\0");
  if (nul >= 0)
    return { ok: false, line: lineAt(text, nul), reason: "This is not plain text: save it as CSV in UTF-8." };
  const used = separator ?? likeliest(text);
  const read = rowsOf(text, used, Infinity);
  if (!read.ok) return { ok: false, line: read.line, reason: read.reason };
  const [first, ...rows] = read.rows.filter(({ cells }) => cells.some((cell) => cell.trim() !== ""));
  if (!first) return { ok: false, line: 1, reason: "The first row must hold the headings of the columns." };
  return { ok: true, separator: used, headings: first.cells.map((cell) => cell.trim()), rows };
}

/** Rows enough to find out how a file separates its cells. */
const triedRows = 20;

/** The separator by which most of the first rows have as many cells as the headings; of two as good, that with more cells. */
function likeliest(text: string): Separator {
  const tried = separators.map((separator) => {
    const rows = rowsOf(text, separator, triedRows).rows.filter(({ cells }) => cells.some((cell) => cell !== ""));
    const cells = rows[0]?.cells.length ?? 0;
    // One cell a row is no sign of a separator.
    const width = cells < 2 ? 0 : cells;
    const alike = width === 0 ? 0 : rows.filter((row) => row.cells.length === width).length / rows.length;
    return { separator, alike, width };
  });
  return tried.reduce((best, one) =>
    one.alike > best.alike || (one.alike === best.alike && one.width > best.width) ? one : best,
  ).separator;
}

/** Where it is refused, `rows` are those before. */
type ReadRows = ({ readonly ok: true } | Refused) & { readonly rows: readonly CsvRow[] };

function rowsOf(text: string, separator: Separator, most: number): ReadRows {
  const rows: CsvRow[] = [];
  let line = 1;
  let at = 0;
  while (at < text.length && rows.length < most) {
    const firstLine = line;
    const cells: string[] = [];
    for (;;) {
      let cell: string;
      if (text[at] === '"') {
        const quoted = quotedFrom(text, at);
        if (quoted === null) return { ok: false, rows, line, reason: "A quoted cell does not end." };
        line += quoted.lines;
        ({ cell, at } = quoted);
        if (at < text.length && text[at] !== separator && text[at] !== "\r" && text[at] !== "\n")
          return { ok: false, rows, line, reason: "Something follows the closing quote of a cell." };
      } else {
        const start = at;
        while (at < text.length && text[at] !== separator && text[at] !== "\r" && text[at] !== "\n") at++;
        cell = text.slice(start, at);
      }
      cells.push(cell);
      if (text[at] !== separator) break;
      at++;
    }
    if (at < text.length) {
      at += text[at] === "\r" && text[at + 1] === "\n" ? 2 : 1;
      line++;
    }
    rows.push({ line: firstLine, cells });
  }
  return { ok: true, rows };
}

/** The cell that the quote at `at` opens, where it ends, and how many line ends it holds; null where it does not end. */
function quotedFrom(
  text: string,
  at: number,
): { readonly cell: string; readonly at: number; readonly lines: number } | null {
  let close = text.indexOf('"', at + 1);
  while (close >= 0 && text[close + 1] === '"') close = text.indexOf('"', close + 2);
  if (close < 0) return null;
  const inside = text.slice(at + 1, close);
  return { cell: inside.replaceAll('""', '"'), at: close + 1, lines: lineEndsIn(inside) };
}

const lineEndsIn = (text: string) => text.match(/\r\n|\r|\n/gu)?.length ?? 0;
const lineAt = (text: string, index: number) => lineEndsIn(text.slice(0, index)) + 1;

/**
 * Comma-separated, with CRLF after every row. A spreadsheet takes a file for UTF-8 by its byte order mark, which is
 * written where there is anything to mistake.
 */
export function writeCsvRows(rows: readonly (readonly string[])[]): string {
  const text = rows.map((cells) => `${cells.map(inQuotes).join(",")}\r\n`).join("");
  return /[^\0-\u007F]/u.test(text) ? `\uFEFF${text}` : text;
}

/** NUL, which makes a file no text for whoever reads it, comes out as U+FFFD, as in a WebVTT file. */
const asText = (cell: string): string => cell.replaceAll("\0", "\uFFFD");

function inQuotes(given: string): string {
  const cell = asText(given);
  return /[",;\t\r\n]|^\s|\s$/u.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}

/** What begins a formula, also in the wide letters of East Asia, and what a spreadsheet passes over before one. */
const formula = "=+\\-@\uFF1D\uFF0B\uFF0D\uFF20";
const atStart = `^(?='*[${formula}\\t\\r\\n])`;
/**
 * A spreadsheet whose own separator is not the comma splits a row where it should not, and takes what follows for a cell of its
 * own: the quotes about a cell are then in the middle of one, and no quotes to it.
 */
const afterSplit = `(?<=[;\\t\\r\\n])(?='*[${formula}])`;
const begins = new RegExp(`${atStart}|${afterSplit}`, "gu");
const begun = new RegExp(begins.source.replaceAll("(?='*", "'(?='*"), "gu");

/**
 * A cell that a spreadsheet would take for a formula begins with an apostrophe instead, and a plain number stays one (OWASP, "CSV
 * Injection": https://owasp.org/www-community/attacks/CSV_Injection; ASVS 5.0, 1.2.10). What begins with apostrophes before such a
 * letter gets one more, so that `undefused` always gives back what was there, but for a NUL.
 */
export function defused(cell: string): string {
  return /^-?\d+(?:\.\d+)?$/u.test(cell) ? cell : asText(cell).replaceAll(begins, "'");
}

export function undefused(cell: string): string {
  return cell.replaceAll(begun, "");
}
