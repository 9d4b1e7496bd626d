/**
 * No cell of any table that is written begins a formula: OWASP "CSV Injection" (https://owasp.org/www-community/attacks/CSV_Injection),
 * its list of letters and its warning of separators; ASVS 5.0, 1.2.10. Read by two independent readers, by the comma and as a
 * spreadsheet reads it whose separator is another.
 */
import { parse } from "csv-parse/sync";
import fc from "fast-check";
import Papa from "papaparse";
import { expect, test } from "vitest";
import { mapHeadings, playsOfTable, writeCsv } from "#core/cutlist/csv-list";
import { defused, readCsv, undefused } from "#core/cutlist/csv-table";
import { csvOf, findingTable, gradeTable, rulingTable } from "#core/report/evaluation-table";
import { csvTable } from "#core/season/season-tables";
import { aFilm, aPlay } from "../../main/store/build-game.ts";
import { aGradeOf, aRulingOf, demoInput } from "./judged-demo.ts";

const hostile = [
  "=1+2",
  "+1+2",
  "-1+2",
  "@SUM(1)",
  "\t=1",
  "\r=1",
  "\n=1",
  "\0=1",
  "＝1",
  "＋1",
  "－1",
  "＠1",
  "'=1",
  "''=1",
  `=1+2";=1+2`,
  `=1+2'" ;,=1+2`,
  `x;=HYPERLINK("http://evil.example";"x");y`,
  `x\t=cmd|'/C calc'!A0\ty`,
  `x\r\n=1+2\r\n-1+2`,
  `x;'=1`,
  `","=1`,
  `";"=1`,
  `"\r\n=1`,
  "--1",
  "-1;-1",
  "- a\n- b",
];
const isFormula = (cell: string) =>
  /^[=+\-@\t\r\n\0＝＋－＠]/u.test(cell) && !/^-?\d+(?:\.\d+)?(?:e-?\d+)?$/u.test(cell);

/** Each cell as either reader gives it, by the comma and by what other spreadsheets take for it. */
function cellsOf(text: string): string[] {
  return [",", ";", "\t"].flatMap((delimiter) => [
    ...parse(text, { bom: true, delimiter, relax_quotes: true, relax_column_count: true }).flat(),
    ...Papa.parse<string[]>(text.replace(/^\uFEFF/u, ""), { delimiter }).data.flat(),
  ]);
}

const tables: readonly (readonly [name: string, written: (word: string) => string])[] = [
  ["grades", (word) => csvOf(gradeTable(inputWith(word), []))],
  ["rulings", (word) => csvOf(rulingTable(inputWith(word)))],
  [
    "season",
    (word) =>
      csvTable(
        ["name", "value"],
        [
          [word, -1.5],
          ["x", null],
          [word, 2],
        ],
      ),
  ],
  ["cut list", (word) => writeCsv([aPlay("game-1", "p", "f")], [aFilm("game-1", "f", { label: word.trim() || "x" })])],
];

function inputWith(word: string) {
  return demoInput({
    grades: [aGradeOf("FJ", { points: -2.5, reason: word, comment: word })],
    rulings: [aRulingOf("R", { foul: word, comment: word })],
  });
}

test("the findings of the demo game, which nobody typed, begin none either", () => {
  const cells = cellsOf(csvOf(findingTable(demoInput({}))));
  expect(cells.length).toBeGreaterThan(1000);
  expect(cells.filter(isFormula)).toEqual([]);
});

test.each(tables)(
  "%s: nothing that was typed begins a formula, and a number below nothing stays one",
  (name, written) => {
    let tried = 0;
    for (const word of hostile) {
      const cells = cellsOf(written(word));
      tried += cells.length;
      expect(cells.filter(isFormula), JSON.stringify(word)).toEqual([]);
    }
    if (name === "grades") expect(cellsOf(written("x"))).toContain("-2.5");
    console.log(`${name}: ${tried} cells read, none begins a formula`);
  },
);

test("what was typed comes back from our own cut list, whatever it begins with", () => {
  for (const word of hostile.map((one) => one.trim())) {
    const read = readCsv(writeCsv([aPlay("game-1", "p", "f")], [aFilm("game-1", "f", { label: word })]));
    if (!read.ok) throw new Error(read.reason);
    expect(playsOfTable(read, mapHeadings(read.headings)).plays.map(({ film }) => film)).toEqual([
      // The Encoding Standard's replacement character, as for NUL in WebVTT.
      word.replaceAll("\0", "\uFFFD"),
    ]);
  }
});

test("any text comes back, and none begins a formula", () => {
  const letters = fc.constantFrom("=", "+", "-", "@", "'", "\t", "\r", "\n", ";", ",", '"', " ", "a", "1", "＝");
  fc.assert(
    fc.property(fc.string({ unit: letters, maxLength: 12 }), (word) => {
      expect(undefused(defused(word))).toBe(word);
      expect(cellsOf(csvTable(["a"], [[word]])).filter(isFormula)).toEqual([]);
    }),
    { numRuns: 1500, seed: 5 },
  );
});
