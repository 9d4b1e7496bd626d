import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { PlayProposal } from "#core/carry/play-proposals";
import { layOut, templateById } from "#core/field/template";
import { playsOn } from "#core/game/angles";
import { applyChanges, invert } from "#core/game/changes";
import { downRulesOf, firstSituation } from "#core/game/next-situation";
import { openProposals, takeProposals } from "#core/game/proposed-plays";
import { type GameRecords, nothingSaid, type Play } from "#core/game/records";
import { aFilm, aGame, anAngle, aPlay } from "../../main/store/build-game.ts";

/** Proposals beside the plays that are there, and taken: what a person may do. No facts of the trade stand here. */
const flag = layOut(templateById("flag-100x40")!);
const rules = downRulesOf(flag);
const film = aFilm("g", "f", { durationSec: 600 });
const other = aFilm("g", "f2", { order: 2, durationSec: 600, label: "End zone" });

const proposal = (startSec: number, endSec: number, snapSec: number | null, confidence = 0.9): PlayProposal => ({
  startSec,
  endSec,
  snap: snapSec === null ? null : { sec: snapSec, confidence },
  found: "between-cuts",
});
const playOf = (number: number, startSec: number, endSec: number): Play => ({
  ...aPlay("g", `p${number}`, "f", { number }),
  ...nothingSaid,
  startSec,
  endSec,
});
const recordsOf = (...plays: readonly Play[]): GameRecords => ({
  game: aGame("g"),
  films: [film, other],
  plays,
  angles: [],
  moments: [],
  stakes: [],
  carries: [],
  marks: [],
  grades: [],
  rulings: [],
  notes: [],
  seals: [],
});
const ids = () => {
  let count = 0;
  return () => `n${++count}`;
};
const spans = (proposals: readonly PlayProposal[]) => proposals.map(({ startSec, endSec }) => [startSec, endSec]);
const take = (records: GameRecords, proposals: readonly PlayProposal[]) =>
  takeProposals(records, "f", proposals, ids(), rules, flag);

describe("proposals beside plays", () => {
  it("are gone where a play lies over them, and cut back where one reaches into them", () => {
    const records = recordsOf(playOf(1, 10, 20), playOf(2, 38, 42));
    const made = [
      proposal(0, 9, 3),
      proposal(9, 21, 13),
      proposal(22, 30, 24),
      proposal(30, 40, 33),
      proposal(41, 50, 44),
    ];
    const open = openProposals(made, records, "f");
    expect(spans(open)).toEqual([
      [0, 9],
      [22, 30],
      [30, 38],
      [42, 50],
    ]);
    expect(open.map((one) => one.made)).toEqual([made[0], made[2], made[3], made[4]]);
  });

  it("lose a snap that no longer lies in them", () => {
    const [open] = openProposals([proposal(30, 40, 38.5)], recordsOf(playOf(1, 38, 45)), "f");
    expect(open).toMatchObject({ startSec: 30, endSec: 38, snap: null });
  });

  it("keep clear of plays that this film shows as another angle", () => {
    const play = playOf(1, 10, 20);
    const records = {
      ...recordsOf(play),
      angles: [{ ...anAngle(play, "a1", "f2"), playInstantSec: 10, instantSec: 110 }],
    };
    expect(spans(openProposals([proposal(10, 20, 12), proposal(110, 120, 112)], records, "f2"))).toEqual([[10, 20]]);
  });

  it("never lie over a play, whatever lies there", () => {
    const span = fc.tuple(fc.integer({ min: 0, max: 500 }), fc.integer({ min: 1, max: 30 }));
    fc.assert(
      fc.property(fc.array(span, { maxLength: 12 }), fc.array(span, { maxLength: 12 }), (plays, proposals) => {
        const records = recordsOf(...plays.map(([from, length], i) => playOf(i + 1, from, from + length)));
        const open = openProposals(
          proposals.map(([from, length]) => proposal(from, from + length, from + 1)),
          records,
          "f",
        );
        for (const one of open) {
          expect(one.endSec).toBeGreaterThan(one.startSec);
          for (const play of records.plays)
            expect(play.endSec <= one.startSec || play.startSec >= one.endSec).toBe(true);
        }
      }),
    );
  });
});

describe("proposals taken", () => {
  it("become plays between those that are there, numbered in their order, each with what follows the one before", () => {
    const records = recordsOf(playOf(1, 20, 30), playOf(2, 60, 70));
    const taken = take(records, [proposal(40, 50, 43), proposal(0, 10, 3)]);
    const after = applyChanges(records, taken.changes);
    expect(playsOn(after, "f").map(({ number, startSec, snapSec }) => [number, startSec, snapSec])).toEqual([
      [1, 0, 3],
      [2, 20, null],
      [3, 40, 43],
      [4, 60, null],
    ]);
    expect(taken.label).toBe("2 plays from the film");
    expect(taken.plays.map(({ number }) => number)).toEqual([1, 3]);
    expect(taken.plays[0]!.situation).toEqual(firstSituation(rules, flag).situation);
    // Every record changes once, so that one step takes it all back.
    expect(new Set(taken.changes.map(({ id }) => id)).size).toBe(taken.changes.length);
    expect(applyChanges(after, invert(taken.changes)).plays).toEqual(records.plays);
  });

  it("leave out a snap that was hardly seen, and a proposal that another took the place of", () => {
    const taken = take(recordsOf(), [proposal(0, 10, 3, 0.3), proposal(1, 9, 4), proposal(20, 30, null)]);
    expect(taken.plays.map(({ startSec, snapSec }) => [startSec, snapSec])).toEqual([
      [0, null],
      [20, null],
    ]);
    expect(take(recordsOf(), [proposal(0, 10, 3)]).label).toBe("Play 1 from the film");
    expect(take(recordsOf(playOf(1, 0, 12)), [proposal(0, 10, 3)])).toMatchObject({ plays: [], changes: [] });
  });
});
