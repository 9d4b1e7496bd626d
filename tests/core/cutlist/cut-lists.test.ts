import { readFileSync } from "node:fs";
import { parse as parseCsv } from "csv-parse/sync";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import webvtt from "webvtt-parser";
import { mapHeadings, playsOfTable, readCsv, writeCsv } from "#core/cutlist/csv-list";
import { listColumns, readTime } from "#core/cutlist/listed-play";
import { planImport } from "#core/cutlist/plan-import";
import { readVttList, writeVttList } from "#core/cutlist/vtt-list";
import { readWebVtt, timestamp, writeWebVtt } from "#core/cutlist/web-vtt";
import { applyChanges } from "#core/game/changes";
import { downRulesOf } from "#core/game/next-situation";
import type { GameRecords } from "#core/game/records";
import { demoGame, demoLayout } from "../scoring/demo-records.ts";

const records = demoGame;
const layout = demoLayout;
const rules = downRulesOf(layout);
const bare: GameRecords = { ...records, plays: [], moments: [], stakes: [], carries: [], marks: [] };

function imported(into: GameRecords, listed: Parameters<typeof planImport>[0]["listed"], replaces = false) {
  let count = 0;
  return planImport({
    records: into,
    filmId: "demo-film",
    listed,
    replaces,
    newId: () => `new-${++count}`,
    rules,
    layout,
  });
}
const told = ({ plays }: GameRecords) => plays.map(({ id: _id, ...play }) => play);

/** The examples are those of the recommendation (https://www.w3.org/TR/webvtt1/, sections 1.1, 1.5 and 4.1), in our own words. */
describe("WebVTT as the W3C has it", () => {
  it("reads cues with and without ids, hours and settings, and passes over comments, styles and regions", () => {
    const file =
      "\uFEFFWEBVTT - a title\r\nKind: metadata\r\n\r\nNOTE two\r\nlines --> here\r\n\r\nSTYLE\r\n::cue { color: red }\r\n\r\nREGION\r\nid:fred\r\n\r\n" +
      "one\r\n00:11.000 --> 00:13.000 align:start position:10%\r\nfirst &amp; second\r\n\r\n01:00:00.500-->01:00:02.000\r\nsecond\r\nline\r\n";
    const read = readWebVtt(file);
    expect(read).toEqual({
      ok: true,
      leftOut: [],
      cues: [
        { id: "one", startSec: 11, endSec: 13, text: "first & second" },
        { id: "", startSec: 3600.5, endSec: 3602, text: "second\nline" },
      ],
    });
  });

  it("refuses a file without its first word, and names a cue whose times it cannot read", () => {
    expect(readWebVtt("WEBVTTX\n\n00:01.000 --> 00:02.000\nno")).toMatchObject({ ok: false, line: 1 });
    expect(readWebVtt("1\n00:01,000 --> 00:02,000\nno")).toMatchObject({ ok: false, line: 1 });
    const read = readWebVtt("WEBVTT\n\n00:61.000 --> 00:02.000\nno\n\n00:03.000 --> 00:04.000\nyes");
    expect(read.ok && read.cues.map(({ text }) => text)).toEqual(["yes"]);
    expect(read.ok && read.leftOut).toEqual([{ line: 3, reason: "The times cannot be read: 00:61.000 --> 00:02.000" }]);
  });

  it("writes what the standard's own checker reads, to the millisecond", () => {
    const cue = fc.record({
      id: fc
        .string({ maxLength: 20 })
        .filter(
          (id) => id.trim() === id && !/[\r\n]|-->/u.test(id) && !/^(?:NOTE|STYLE|REGION)/u.test(id) && id !== "",
        ),
      startSec: fc.integer({ min: 0, max: 30_000_000 }).map((ms) => ms / 1000),
      lengthSec: fc.integer({ min: 1, max: 60_000 }).map((ms) => ms / 1000),
      text: fc.string({ maxLength: 60 }).filter((text) => !/[\r\0]/u.test(text)),
    });
    fc.assert(
      fc.property(fc.uniqueArray(cue, { maxLength: 8, selector: ({ id }) => id }), (list) => {
        const cues = list
          .toSorted((a, b) => a.startSec - b.startSec)
          .map(({ id, startSec, lengthSec, text }) => ({ id, startSec, endSec: startSec + lengthSec, text }));
        const file = writeWebVtt("", cues);
        const ours = readWebVtt(file);
        const theirs = new webvtt.WebVTTParser().parse(file, "metadata");
        expect(ours.ok && ours.cues).toHaveLength(cues.length);
        expect(theirs.cues).toHaveLength(cues.length);
        // Theirs come in the order of time.
        for (const one of theirs.cues) {
          const own = ours.ok ? ours.cues.find(({ id }) => id === one.id)! : null;
          const written = cues.find(({ id }) => id === one.id)!;
          expect(own!.startSec).toBeCloseTo(one.startTime, 6);
          expect(own!.endSec).toBeCloseTo(one.endTime, 6);
          expect(own!.startSec).toBeCloseTo(written.startSec, 3);
        }
      }),
      { numRuns: 300, seed: 7 },
    );
    expect(timestamp(3725.0079)).toBe("01:02:05.008");
  });
});

it("documents every column in the README", () => {
  const readme = readFileSync(new URL("../../../README.md", import.meta.url), "utf8");
  expect(listColumns.map(({ heading }) => heading).filter((heading) => !readme.includes(`\`${heading}\``))).toEqual([]);
});

describe("CSV", () => {
  it("reads what an independent parser reads of what it writes (RFC 4180)", () => {
    const file = writeCsv(records.plays);
    const theirs = parseCsv(file, { relax_column_count: false });
    const ours = readCsv(file);
    expect(ours.ok && [ours.headings, ...ours.rows]).toEqual(theirs);
    expect(theirs[0]).toEqual(listColumns.map(({ heading }) => heading));
    expect(file.endsWith("\r\n")).toBe(true);
  });

  it("finds the separator out, and the columns of a list from elsewhere by their headings", () => {
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

  it("leaves rows out with the reason, and refuses a file without headings or with a quote that does not end", () => {
    const table = readCsv("start_s,snap_s,down\n5,4,1\nx,,\n,,3\n7,8,9\n10,11,1\n");
    if (!table.ok) throw new Error(table.reason);
    const { plays, leftOut } = playsOfTable(table, mapHeadings(table.headings));
    expect(plays.map(({ line }) => line)).toEqual([6]);
    expect(leftOut).toEqual([
      { line: 2, reason: "Its times are not in the order start, snap, release, catch, dead, end." },
      { line: 3, reason: "start_s: “x” cannot be read." },
      { line: 4, reason: "It says neither a start nor a snap." },
      { line: 5, reason: "down: “9” cannot be read." },
    ]);
    expect(readCsv("")).toMatchObject({ ok: false });
    expect(readCsv('a,"b\nc')).toMatchObject({ ok: false, reason: "A quoted cell does not end." });
  });

  it.each([
    ["12.5", 12.5],
    ["1:04.27", 64.27],
    ["0:01:04,270", 64.27],
    ["2:00:00", 7200],
    ["-1", null],
    ["1:2:3:4", null],
    ["ten", null],
  ] as const)("takes the time %s for %s s", (word, sec) => {
    const read = readTime(word);
    if (sec === null) expect(read).toBeNull();
    else expect(read).toBeCloseTo(sec, 9);
  });
});

describe("the demo's plays out and in again", () => {
  const tableOf = (file: string) => {
    const table = readCsv(file);
    if (!table.ok) throw new Error(table.reason);
    return playsOfTable(table, mapHeadings(table.headings));
  };

  const vttOf = (file: string) => {
    const list = readVttList(file);
    if (!list.ok) throw new Error(list.reason);
    return list;
  };

  it.each([
    ["CSV", () => tableOf(writeCsv(records.plays))],
    ["WebVTT", () => vttOf(writeVttList("a game", records.plays))],
  ] as const)("as %s: the same plays in a fresh game, and nothing new in their own", (_, read) => {
    const list = read();
    expect(list.leftOut).toEqual([]);
    const plan = imported(bare, list.plays);
    const after = applyChanges(bare, plan.changes);
    expect(told(after)).toHaveLength(15);
    const expected = told(records);
    for (const [index, play] of told(after)
      .toSorted((a, b) => a.number - b.number)
      .entries()) {
      expect(play.situation).toEqual(expected[index]!.situation);
      for (const time of ["startSec", "snapSec", "releaseSec", "catchSec", "deadSec", "endSec"] as const)
        expect(play[time]).toBeCloseTo(expected[index]![time]!, 2);
      expect([play.number, play.kind, play.quarter, play.series]).toEqual([
        index + 1,
        "pass",
        expected[index]!.quarter,
        expected[index]!.series,
      ]);
    }
    expect(imported(records, list.plays)).toMatchObject({ added: [], changed: [], same: 15, leftOut: [], changes: [] });
  });

  it("says what clashes, changes what is asked, and numbers what is new in its place", () => {
    const listed = tableOf("start_s,end_s,down\n5.2,10.2,4\n3,8,1\n80,90,1\n").plays;
    const plan = imported(records, listed);
    expect(plan.changes).toEqual([]);
    expect(plan.leftOut.map(({ line, reason }) => [line, reason])).toEqual([
      [3, "It lies over plays 1 and 2."],
      [2, "It lies over play 2, which stays as it is."],
      [4, "It begins after the film ends."],
    ]);
    const asked = imported(records, listed, true);
    expect(asked.changed.map(({ after }) => [after.number, after.situation.down])).toEqual([[2, 4]]);
    const without = { ...records, plays: records.plays.filter(({ number }) => number !== 2) };
    const put = applyChanges(without, imported(without, listed).changes);
    expect(put.plays.toSorted((a, b) => a.startSec - b.startSec).map(({ number }) => number)).toEqual(
      Array.from({ length: 15 }, (_, at) => at + 1),
    );
  });
});

it("takes 2,000 spoilt files whole or refuses them with a reason, and never throws", () => {
  const files = [writeCsv(records.plays), writeVttList("a game", records.plays)];
  const spoilt = fc.tuple(
    fc.constantFrom(...files),
    fc.array(
      fc.tuple(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.constantFrom("cut", "put", "swap"),
        fc.string({ maxLength: 6 }),
      ),
      { minLength: 1, maxLength: 6 },
    ),
  );
  let taken = 0;
  fc.assert(
    fc.property(spoilt, ([file, cuts]) => {
      let text = file;
      for (const [at, how, what] of cuts) {
        const index = Math.floor(at * text.length);
        const rest = how === "put" ? index : index + (how === "cut" ? 30 : what.length);
        text = text.slice(0, index) + (how === "cut" ? "" : what) + text.slice(rest);
      }
      const table = readCsv(text);
      const lists = [
        table.ok ? { ok: true as const, ...playsOfTable(table, mapHeadings(table.headings)) } : table,
        readVttList(text),
      ];
      for (const list of lists) {
        if (!list.ok) {
          expect(list.reason).not.toBe("");
          continue;
        }
        const plan = imported(bare, list.plays);
        expect(plan.added.length + plan.leftOut.length).toBe(list.plays.length);
        taken += plan.added.length;
      }
    }),
    { numRuns: 2000, seed: 8 },
  );
  expect(taken).toBeGreaterThan(1000);
});
