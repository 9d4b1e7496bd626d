import { describe, expect, it } from "vitest";
import { nothingSaid } from "#core/game/records";
import { aFilm } from "../../main/store/build-game.ts";
import { bare, imported, records, tableOf } from "./lists.ts";

describe("what a list leaves unsaid, and where it does not fit", () => {
  it("a snap alone finds its play, and moves neither its start nor its end", () => {
    const play = records.plays.find(({ number }) => number === 3)!;
    const { plays } = tableOf(`snap_s,down\n${play.snapSec! + 0.2},4\n`);
    const plan = imported(records, plays, true);
    expect(plan.changed.map(({ after }) => after)).toEqual([
      { ...play, snapSec: play.snapSec! + 0.2, situation: { ...play.situation, down: 4 } },
    ]);
  });

  it("a play ends a second and a half after its dead ball, or where the next of the list starts", () => {
    const plan = imported(bare, tableOf("start_s,dead_s\n1,4\n5,9\n10,\n").plays);
    expect(plan.added.map(({ startSec, endSec }) => [startSec, endSec])).toEqual([
      [1, 5],
      [5, 10],
      [10, 19],
    ]);
  });

  it("a start alone leaves a play its end; a change that reaches further is in the way of what the list says later", () => {
    const [play] = records.plays.map((one) => ({ ...one, ...nothingSaid, startSec: 5, endSec: 10 }));
    const one = { ...bare, plays: [play!] };
    const moved = imported(one, tableOf("start_s,down\n5.5,4\n").plays, true);
    expect(moved.changed.map(({ after }) => [after.startSec, after.endSec])).toEqual([[5.5, 10]]);
    const longer = imported(one, tableOf("start_s,end_s\n5,20\n15,18\n").plays, true);
    expect(longer.changed.map(({ after }) => after.endSec)).toEqual([20]);
    expect([longer.added, longer.clashes]).toEqual([[], [{ line: 3, reason: "Line 2 is play 1 already." }]]);
  });

  it("a result keeps the spot that is known, as long as it is the same result", () => {
    const play = { ...records.plays[0]!, result: { kind: "spot" as const, spot: { xYards: 31, yYards: 20 } } };
    const into = { ...records, plays: [play, ...records.plays.slice(1)] };
    const rows = (result: string) => tableOf(`start_s,end_s,result\n${play.startSec},${play.endSec},${result}\n`).plays;
    expect(imported(into, rows("spot"), true)).toMatchObject({ same: 1, changed: [] });
    expect(imported(into, rows("score"), true).changed[0]?.after.result).toEqual({ kind: "score", spot: null });
  });

  it("clashes: two lines for one play, one that only touches a play, one whose known times or moments would lie outside", () => {
    const [first] = records.plays;
    const { startSec, endSec } = first!;
    const at = (...spans: (readonly [number, number])[]) =>
      imported(records, tableOf(`start_s,end_s\n${spans.map((span) => span.join(",")).join("\n")}\n`).plays, true);
    expect(at([startSec, endSec], [startSec + 0.1, endSec]).clashes).toEqual([
      { line: 3, reason: "Line 2 is play 1 already." },
    ]);
    const without = { ...records, plays: records.plays.filter(({ number }) => number !== 2) };
    const touching = tableOf(`start_s,end_s\n${endSec - 0.2},${endSec + 3}\n`).plays;
    expect(imported(without, touching, true).clashes).toEqual([{ line: 2, reason: "It overlaps play 1 by 0.20 s." }]);
    expect(at([first!.snapSec! + 1, endSec]).clashes[0]?.reason).toMatch(
      /^Its snap \(.+\) would come before its start/u,
    );
    const timeless = { ...records, plays: records.plays.map((play) => ({ ...play, ...nothingSaid })) };
    const judged = imported(timeless, tableOf("start_s,end_s\n0,1.5\n").plays, true);
    expect(judged.clashes[0]?.reason).toMatch(/^A moment of play 1 is judged at .+, which would lie outside it\.$/u);
  });

  it("puts each play on the film of its name, all on the chosen one where the game has no such film, and leaves out the rest", () => {
    const two = {
      ...bare,
      films: [
        aFilm("demo-game", "demo-film", { label: "One" }),
        aFilm("demo-game", "film-2", { label: "Two", order: 2 }),
      ],
    };
    const on = (rows: string) => {
      const plan = imported(two, tableOf(`film,start_s,end_s\n${rows}`).plays);
      return [plan.added.map(({ filmId }) => filmId), plan.leftOut.map(({ reason }) => reason)];
    };
    expect(on("two,1,2\nOne,1,2\n,3,4\nThree,5,6\n")).toEqual([
      ["demo-film", "demo-film", "film-2"],
      ["The game has no film “Three”."],
    ]);
    expect(on("Other,1,2\nother,3,4\n")).toEqual([["demo-film", "demo-film"], []]);
    expect(on("A,1,2\nB,3,4\n")[1]).toHaveLength(2);
  });
});
