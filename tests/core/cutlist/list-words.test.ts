import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { mapHeadings, playsOfTable } from "#core/cutlist/csv-list";
import { readCsv } from "#core/cutlist/csv-table";
import { listColumns, numberColumn } from "#core/cutlist/list-columns";
import { byClock, readTime } from "#core/cutlist/list-times";
import { tableOf } from "./lists.ts";

it("documents every column in the README", () => {
  const readme = readFileSync(new URL("../../../README.md", import.meta.url), "utf8");
  const headings = [numberColumn, ...listColumns].map(({ heading }) => heading);
  expect(headings.filter((heading) => !readme.includes(`\`${heading}\``))).toEqual([]);
});

describe("the words of a list", () => {
  it("knows the columns of a list from elsewhere by their headings", () => {
    const table = readCsv(
      '\uFEFFIn;Out;Down;To go;Remark\r\n0:05,2;"0:10,2";2;9;"said ""go"""\r\n1:02:03,5;1:02:09;0;;\r\n',
    );
    if (!table.ok) throw new Error(table.reason);
    const mapping = mapHeadings(table.headings);
    expect(mapping).toEqual({ startSec: 0, endSec: 1, down: 2, distanceYards: 3 });
    const { plays } = playsOfTable(table, mapping);
    expect(plays.map(({ startSec, endSec, down, distanceYards }) => [startSec, endSec, down, distanceYards])).toEqual([
      [5.2, 10.2, 2, 9],
      [3723.5, 3729, 0, null],
    ]);
  });

  it("leaves rows out by their line with the reason", () => {
    const file = 'start_s,snap_s,down,note\n5,4,1,"two\nlines"\n\nx,,,\n,,3,\n7,8,9,\n7,8,1,a,b\n10,11,1,\n';
    const { plays, leftOut } = tableOf(file);
    expect(plays.map(({ line }) => line)).toEqual([9]);
    expect(leftOut).toEqual([
      { line: 2, reason: "Its times are not in the order start, snap, release, catch, dead, end." },
      { line: 5, reason: "start_s: “x” cannot be read." },
      { line: 6, reason: "It says neither a start nor a snap." },
      { line: 7, reason: "down: “9” cannot be read." },
      { line: 8, reason: "It has 5 cells under 4 headings." },
    ]);
  });

  it("takes the names of the sides, words apart, frames at a rate, and no distance against a line to gain", () => {
    const sides = { home: "Kiln Street Herons", away: "Port Ansel Lanterns" };
    const { plays } = tableOf("start,offence,kind\n150,kiln street herons,Free kick\n", {
      times: { kind: "frames", perSec: 30 },
      sides,
    });
    expect(plays[0]).toMatchObject({ startSec: 5, offence: "home", kind: "free-kick" });
    const rows =
      "start_s,direction,scrimmage_x_yd,distance_yd,line_to_gain_x_yd\n1,left,40,9,31\n2,left,40,9,49\n3,,,9,none\n";
    const list = tableOf(rows);
    expect(list.plays.map(({ lineToGainXYards }) => lineToGainXYards)).toEqual([31]);
    expect(list.leftOut.map(({ line, reason }) => [line, reason])).toEqual([
      [3, "Its distance and its line to gain do not agree."],
      [4, "Its distance and its line to gain do not agree."],
    ]);
  });

  it.each([
    ["12.5", 12.5],
    ["1:04.27", 64.27],
    ["90:00", 5400],
    ["0:01:04,270", 64.27],
    ["2:00:00", 7200],
    ["-1", null],
    ["1:60", null],
    ["1:60:00", null],
    ["1:2:3:4", null],
    ["1e3", null],
    ["ten", null],
    ["999999", null],
  ] as const)("takes the time %s for %s s", (word, sec) => {
    const found = readTime(word, byClock);
    if (sec === null) expect(found).toBeNull();
    else expect(found).toBeCloseTo(sec, 9);
  });

  it.each([
    ["1800", 30_000 / 1001, 60.06],
    ["0", 25, 0],
    ["12.5", 25, null],
    ["1:00", 25, null],
    ["10", 0, null],
  ] as const)("takes frame %s at %d a second for %s s", (word, perSec, sec) => {
    const found = readTime(word, { kind: "frames", perSec });
    if (sec === null) expect(found).toBeNull();
    else expect(found).toBeCloseTo(sec, 9);
  });
});
