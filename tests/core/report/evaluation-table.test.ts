/** Tables of an evaluation, read back by an independent reader of RFC 4180 (csv-parse). */
import { parse } from "csv-parse/sync";
import { expect, it } from "vitest";
import {
  columnWords,
  csvOf,
  evaluationJson,
  findingTable,
  gradeTable,
  rulingTable,
} from "#core/report/evaluation-table";
import { fileName } from "#core/report/file-name";
import { trendBlocks } from "#core/report/trend";
import { aGradeOf, aRulingOf, demoInput } from "./judged-demo.ts";

const hostile = '=HYPERLINK("http://x")\r\n"quoted", and a comma';
const input = demoInput({
  grades: [aGradeOf("FJ", { points: 2.5, reason: hostile }), aGradeOf("LJ", { points: null, playId: null })],
  rulings: [aRulingOf("R", { seers: ["R", "LJ"], spotGivenXYards: 41.25 })],
});
type Row = Record<string, string>;
const read = (text: string) => parse<Row>(text, { columns: true, bom: true });

it("every finding is a row with its ids, units and intervals, and reads back as what it is", () => {
  const rows = read(csvOf(findingTable(input)));
  const all = [...input.judged.values()].flatMap(({ findings, moments }) => [
    ...findings,
    ...moments.flatMap(({ judged }) => judged.findings),
  ]);
  expect(rows).toHaveLength(all.length);
  const station = rows.find(
    (row) => row["position"] === "FJ" && row["verdict"] === "missed" && row["depth_yd"] !== "",
  )!;
  expect(Number(station["depth_low_yd"])).toBeLessThan(Number(station["depth_yd"]));
  expect(Number(station["depth_high_yd"])).toBeGreaterThan(Number(station["depth_yd"]));
  expect(input.records.moments.some(({ id }) => id === station["moment_id"])).toBe(true);
  expect(input.records.plays.some(({ id }) => id === station["play_id"])).toBe(true);
});

it("what a spreadsheet would run is defused, quotes and line ends come back, and a game's grade has no play", () => {
  const [first, second] = read(csvOf(gradeTable(input, [])));
  expect(first!["reason"]).toBe(`'${hostile}`);
  expect(first).toMatchObject({
    points: "2.5",
    scale_least: "1",
    scale_most: "5",
    scale_best: "most",
    amended: "false",
  });
  expect(second).toMatchObject({ points: "", play_id: "", play: "" });
  expect(read(csvOf(rulingTable(input)))[0]).toMatchObject({ seers: "R LJ", spot_given_x_yd: "41.25" });
});

it("the JSON holds the same rows, and says what each column is; so does the text beside the tables", () => {
  const json = JSON.parse(evaluationJson(input, [])) as {
    columns: Record<string, Record<string, string>>;
    grades: Record<string, unknown>[];
    findings: Record<string, unknown>[];
  };
  expect(json.grades[0]).toMatchObject({ points: 2.5, reason: hostile });
  for (const row of json.findings)
    expect(Object.keys(row).toSorted()).toEqual(Object.keys(json.columns["findings"]!).toSorted());
  const words = columnWords(input, []);
  for (const name of Object.keys(json.columns["grades"]!)) expect(words).toContain(`  ${name}: `);
});

it.each([
  ["Herons v Lanterns, 2026-09-19", "Herons v Lanterns, 2026-09-19"],
  ['a/b\\c:d*e?f"g<h>i|j', "a b c d e f g h i j"],
  ["..\u0000 ", "unnamed"],
  ["con", "_con"],
  ["LPT1.txt", "_LPT1.txt"],
  ["", "unnamed"],
  ["x".repeat(300), "x".repeat(100)],
  ["trailing. ", "trailing"],
])("%j as the name of a file is %j", (text, name) => {
  expect(fileName(text)).toBe(name);
});

it("an official's scores go from game to game, the oldest first, and one game is no trend", () => {
  expect(trendBlocks(input, "FJ", [])).toEqual([]);
  const earlier = {
    gameId: "earlier",
    title: "Lanterns v Herons",
    playedOn: "2026-08-29",
    criteria: [{ criterion: "station" as const, score: 61, counted: 9, untold: 0, weight: 1 }],
  };
  const table = trendBlocks(input, "FJ", [earlier]).find((block) => block.kind === "table");
  const at = table?.columns.findIndex(({ name }) => name === "Station") ?? -1;
  expect(table?.rows.map((row) => row[0])).toEqual([
    "2026-08-29 Lanterns v Herons",
    "2026-09-19 Kiln Street Herons v Port Ansel Lanterns",
  ]);
  expect(table?.rows[0]?.[at]).toBe("61");
});
