import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { mapHeadings, playsOfTable, writeCsv } from "#core/cutlist/csv-list";
import { readCsv } from "#core/cutlist/csv-table";
import { isSamePlay } from "#core/cutlist/listed-change";
import { readVttList, writeVttList } from "#core/cutlist/vtt-list";
import { playShape } from "#core/contract/shapes";
import { playTimes, timeOf } from "#core/game/breakdown-edits";
import { applyChanges, type Change, invert } from "#core/game/changes";
import { type GameRecords, type Play, playEnds, playKinds } from "#core/game/records";
import { aFilm, aGame } from "../../main/store/build-game.ts";
import { bare, imported, records, tableOf, told, vttOf } from "./lists.ts";

describe("the demo's plays out and in again", () => {
  it.each([
    ["CSV", () => tableOf(writeCsv(records.plays, records.films))],
    ["WebVTT", () => vttOf(writeVttList("a game", records.plays, records.films[0]!))],
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
    expect(imported(records, list.plays)).toMatchObject({
      added: [],
      changed: [],
      same: 15,
      clashes: [],
      leftOut: [],
      changes: [],
    });
  });

  it("says what clashes, changes what is asked, and numbers what is new in its place", () => {
    const listed = tableOf("start_s,end_s,down\n5.2,10.2,4\n3,8,1\n80,90,1\n").plays;
    const plan = imported(records, listed);
    expect(plan.changes).toEqual([]);
    expect(plan.clashes.map(({ line, reason }) => [line, reason])).toEqual([
      [3, "It lies over plays 1 and 2."],
      [2, "It lies over play 2, which stays as it is."],
    ]);
    expect(plan.leftOut).toEqual([{ line: 4, reason: "It begins after the film ends (1:14.10)." }]);
    const asked = imported(records, listed, true);
    expect(asked.changed.map(({ after }) => [after.number, after.situation.down])).toEqual([[2, 4]]);
    const without = { ...records, plays: records.plays.filter(({ number }) => number !== 2) };
    const put = applyChanges(without, imported(without, listed).changes);
    expect(put.plays.toSorted((a, b) => a.startSec - b.startSec).map(({ number }) => number)).toEqual(
      Array.from({ length: 15 }, (_, at) => at + 1),
    );
  });
});

/** What every other part of the program takes for granted of the plays of a game, and of what is written into it. */
function expectOrder({ plays, films, moments }: GameRecords, changes: readonly Change[]): void {
  for (const { after } of changes) expect(playShape.safeParse(after).success, JSON.stringify(after)).toBe(true);
  expect(plays.map(({ number }) => number).toSorted((a, b) => a - b)).toEqual(plays.map((_, index) => index + 1));
  for (const film of films) {
    const own = plays.filter(({ filmId }) => filmId === film.id).toSorted((a, b) => a.startSec - b.startSec);
    for (const [index, play] of own.entries()) {
      const said = playTimes.flatMap((time) => timeOf(play, time) ?? []);
      expect(said.toSorted((a, b) => a - b)).toEqual(said);
      expect(play.endSec).toBeGreaterThan(play.startSec);
      expect(play.startSec).toBeGreaterThanOrEqual((own[index - 1]?.endSec ?? 0) - 0.011);
      for (const { timeSec } of moments.filter(({ playId }) => playId === play.id)) {
        expect(timeSec).toBeGreaterThanOrEqual(play.startSec - 1e-6);
        expect(timeSec).toBeLessThan(play.endSec);
      }
    }
  }
}

const ms = (min: number, max: number) => fc.integer({ min, max }).map((count) => count / 1000);
const hundredths = (min: number, max: number) => fc.integer({ min: min * 100, max: max * 100 }).map((n) => n / 100);
const orNull = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: null });

describe("whatever the plays are", () => {
  const label = fc.string({
    unit: fc.constantFrom("a", "é", '"', ",", ";", "\n", "<", "&", "'", "=", "@", "-->", "{"),
    maxLength: 8,
  });
  const situation = fc.record({
    offence: fc.constantFrom("home" as const, "away" as const),
    direction: fc.constantFrom("left" as const, "right" as const),
    down: orNull(fc.constantFrom(1 as const, 2 as const, 3 as const, 4 as const)),
    scrimmageXYards: hundredths(0, 120),
    lineToGainXYards: orNull(hundredths(0, 120)),
    ballYYards: hundredths(0, 53),
  });
  const spot = fc.record({ xYards: hundredths(0, 120), yYards: hundredths(0, 53) });
  const result = fc.record({ kind: fc.constantFrom(...playEnds), spot: orNull(spot) });
  const play = fc.record({
    gapSec: ms(0, 4000),
    // A play lasts a few frames at the least.
    stepsSec: fc.array(ms(30, 3000), { minLength: 5, maxLength: 5 }),
    unsaid: fc.array(fc.boolean(), { minLength: 4, maxLength: 4 }),
    kind: orNull(fc.constantFrom(...playKinds)),
    quarter: orNull(fc.integer({ min: 1, max: 6 })),
    series: orNull(fc.integer({ min: 1, max: 60 })),
    situation,
    result: orNull(result),
  });
  const game = fc.tuple(label, fc.array(play, { maxLength: 8 })).map(([name, list]): GameRecords => {
    let at = 0;
    const plays = list.map(({ gapSec, stepsSec, unsaid, ...rest }, index): Play => {
      const startSec = at + gapSec;
      const sums = stepsSec.map((_, step) => startSec + stepsSec.slice(0, step + 1).reduce((sum, one) => sum + one, 0));
      const [snapSec, releaseSec, catchSec, deadSec] = sums.map((sec, step) => (unsaid[step] ? null : sec));
      at = sums[4]!;
      const times = {
        startSec,
        snapSec: snapSec!,
        releaseSec: releaseSec!,
        catchSec: catchSec!,
        deadSec: deadSec!,
        endSec: at,
      };
      return { id: `p${index}`, gameId: "game-1", filmId: "film-1", number: index + 1, ...times, ...rest };
    });
    const film = aFilm("game-1", "film-1", { label: name, durationSec: at + 1 });
    return { ...bare, game: aGame(), films: [film], plays };
  });

  it.each([
    ["CSV", ({ plays, films }: GameRecords) => tableOf(writeCsv(plays, films))],
    ["WebVTT", ({ plays, films }: GameRecords) => vttOf(writeVttList("=a game", plays, films[0]!))],
  ] as const)("%s brings them into a fresh game as they were, and changes nothing in their own", (_, read) => {
    fc.assert(
      fc.property(game, (whole) => {
        if (whole.plays.length === 0) return;
        const list = read(whole);
        expect(list.leftOut).toEqual([]);
        const fresh = { ...whole, plays: [] };
        const plan = imported(fresh, list.plays, false, "film-1");
        const after = applyChanges(fresh, plan.changes).plays.toSorted((a, b) => a.number - b.number);
        expect(after).toHaveLength(whole.plays.length);
        for (const [index, one] of after.entries()) {
          const was = whole.plays[index]!;
          expect(isSamePlay({ ...one, id: was.id }, was, 0.0011), JSON.stringify([one, was])).toBe(true);
        }
        expect(imported(whole, list.plays, true, "film-1").changes).toEqual([]);
      }),
      { numRuns: 300, seed: 11 },
    );
  });

  it("any list over any game leaves plays apart, in order, numbered, and what is judged inside them; and can be undone", () => {
    const sec = orNull(fc.integer({ min: 0, max: 700 }).map((tenths) => tenths / 10));
    const shift = fc.integer({ min: -8, max: 8 }).map((tenths) => tenths / 10);
    const anyRow = fc.record({
      start: sec,
      snap: sec,
      dead: sec,
      end: sec,
      down: orNull(fc.integer({ min: 0, max: 4 })),
      x: orNull(hundredths(-60, 220)),
      toGo: orNull(hundredths(-220, 220)),
    });
    const nearRow = fc
      .record({
        near: fc.constantFrom(...records.plays),
        start: orNull(shift),
        snap: orNull(shift),
        end: orNull(shift),
      })
      .map(({ near, start, snap, end }) => ({
        start: start === null ? null : Math.max(0, near.startSec + start),
        snap: snap === null ? null : near.snapSec! + snap,
        dead: null,
        end: end === null ? null : near.endSec + end,
        down: 3,
        x: null,
        toGo: null,
      }));
    const row = fc.oneof(anyRow, nearRow);
    let changed = 0;
    fc.assert(
      fc.property(fc.array(row, { maxLength: 12 }), fc.boolean(), (rows, replaces) => {
        const lines = rows.map((one) =>
          [one.start, one.snap, one.dead, one.end, one.down, one.x, one.toGo].map((v) => v ?? "").join(","),
        );
        const list = tableOf(`start_s,snap_s,dead_s,end_s,down,scrimmage_x_yd,distance_yd\n${lines.join("\n")}`);
        for (const into of [bare, records]) {
          const plan = imported(into, list.plays, replaces);
          const after = applyChanges(into, plan.changes);
          expectOrder(after, plan.changes);
          expect(plan.added.length + plan.changed.length + plan.same + plan.clashes.length + plan.leftOut.length).toBe(
            list.plays.length,
          );
          const back = applyChanges(after, invert(plan.changes));
          const byId = (a: Play, b: Play) => (a.id < b.id ? -1 : 1);
          expect(back.plays.toSorted(byId)).toEqual(into.plays.toSorted(byId));
          if (!replaces) expect(plan.changed).toEqual([]);
          changed += plan.changed.length;
        }
      }),
      { numRuns: 500, seed: 12 },
    );
    expect(changed).toBeGreaterThan(20);
  });
});

it("takes 2,000 spoilt files whole or refuses them with a reason, and never throws", () => {
  const files = [writeCsv(records.plays, records.films), writeVttList("a game", records.plays, records.films[0]!)];
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
        expect(plan.added.length + plan.clashes.length + plan.leftOut.length).toBe(list.plays.length);
        expectOrder(applyChanges(bare, plan.changes), plan.changes);
        taken += plan.added.length;
      }
    }),
    { numRuns: 2000, seed: 8 },
  );
  expect(taken).toBeGreaterThan(1000);
});
