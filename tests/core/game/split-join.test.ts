import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { layOut, templateById } from "#core/field/template";
import { playSecOf } from "#core/game/angles";
import { type BreakdownEdit, markTime, playTimes, renumbered, timeOf } from "#core/game/breakdown-edits";
import { applyChanges, invert } from "#core/game/changes";
import { downRulesOf } from "#core/game/next-situation";
import { proposedMoments } from "#core/game/moment-proposals";
import { type GameRecords, nothingSaid, type Play } from "#core/game/records";
import { joinNext, splitPlay } from "#core/game/split-join";
import { aFilm, aGame, aMoment, anAngle, aPlay } from "../../main/store/build-game.ts";

/** Plays cut, joined and put in: what a person may do and take back again. No facts of the trade stand here. */
const flag = layOut(templateById("flag-100x40")!);
const rules = downRulesOf(flag);
const film = aFilm("g", "f", { durationSec: 600 });
const other = aFilm("g", "f2", { order: 2, durationSec: 600, label: "End zone" });

const playOf = (number: number, with_: Partial<Play>): Play => ({
  ...aPlay("g", `p${number}`, "f", { number }),
  ...nothingSaid,
  ...with_,
});
const whole = playOf(1, {
  startSec: 10,
  endSec: 40,
  snapSec: 13,
  releaseSec: 15,
  catchSec: 16,
  deadSec: 38,
  result: { kind: "incomplete", spot: null },
});
const second = playOf(2, { startSec: 50, endSec: 60, snapSec: 52, deadSec: 57 });
const recordsOf = (...plays: readonly Play[]): GameRecords => ({
  game: aGame("g"),
  films: [film, other],
  plays,
  angles: [{ ...anAngle(whole, "a1", "f2"), playInstantSec: 13, instantSec: 113 }],
  moments: [
    aMoment(whole, "m1", { timeSec: 13, frameIndex: 390 }),
    aMoment(whole, "m2", { timeSec: 30, frameIndex: 900 }),
    aMoment(whole, "m3", { filmId: "f2", timeSec: 135, frameIndex: 4050 }),
  ],
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
const after = (records: GameRecords, edit: BreakdownEdit): GameRecords => {
  if (!edit.ok) throw new Error(edit.sentence);
  return applyChanges(records, edit.changes);
};
const here = (timeSec: number) => ({ film, frameIndex: Math.round(timeSec * 30), timeSec });
const sorted = (records: GameRecords) => ({
  ...records,
  plays: records.plays.toSorted((a, b) => (a.id < b.id ? -1 : 1)),
  moments: records.moments.toSorted((a, b) => (a.id < b.id ? -1 : 1)),
  angles: records.angles.toSorted((a, b) => (a.id < b.id ? -1 : 1)),
});

describe("a play cut in two", () => {
  const records = recordsOf(whole, second);
  const edit = splitPlay(records, whole, 25, ids(), rules, flag);
  const cut = after(records, edit);

  it("leaves each part the times, the end and the moments that lie in it, on every film", () => {
    const [first, rest] = cut.plays.toSorted((a, b) => a.number - b.number);
    expect(first).toMatchObject({ id: "p1", startSec: 10, endSec: 25, snapSec: 13, deadSec: null, result: null });
    expect(rest).toMatchObject({
      number: 2,
      startSec: 25,
      endSec: 40,
      snapSec: null,
      deadSec: 38,
      result: { kind: "incomplete" },
    });
    // The third moment is at 135 of the other film: 35 of the play's own.
    expect(cut.moments.map(({ id, playId }) => [id, playId === "p1" ? 1 : 2])).toEqual([
      ["m1", 1],
      ["m2", 2],
      ["m3", 2],
    ]);
    expect(playSecOf(rest!, cut.angles, cut.moments[2]!)).toBeCloseTo(35, 9);
    expect(cut.plays.find(({ id }) => id === "p2")?.number).toBe(3);
  });

  it("joined again is what it was; undo takes either back", () => {
    const joined = after(
      cut,
      joinNext(
        cut,
        cut.plays.find(({ id }) => id === "p1")!,
      ),
    );
    expect(sorted(joined)).toEqual(sorted(records));
    if (edit.ok) expect(sorted(applyChanges(cut, invert(edit.changes)))).toEqual(sorted(records));
  });

  it("is refused at an edge", () => {
    expect(splitPlay(records, whole, 10.1, ids(), rules, flag)).toEqual({
      ok: false,
      sentence: "Play 1 cannot be cut at 0:10.10: go to an instant between its start and its end.",
    });
  });
});

describe("plays joined", () => {
  it("are refused where the times of both make no one play, or another film was tied otherwise", () => {
    const records = recordsOf(playOf(1, { ...whole, catchSec: null }), { ...second, catchSec: 54, deadSec: null });
    expect(joinNext(records, records.plays[0]!)).toEqual({
      ok: false,
      sentence: "Plays 1 and 2 cannot be one: the dead ball (0:38.00) would come too early. Take a time back first.",
    });
    const tied = { ...recordsOf(whole, second) };
    const apart = { ...anAngle(second, "a2", "f2"), playInstantSec: 52, instantSec: 170 };
    expect(joinNext({ ...tied, angles: [...tied.angles, apart] }, whole)).toMatchObject({
      ok: false,
      sentence: expect.stringMatching(/End zone does not run on beside them/u),
    });
    expect(joinNext(tied, second)).toEqual({ ok: false, sentence: "No play of this film comes after play 2." });
  });
});

describe("however one cuts, joins and puts in", () => {
  it("numbers stay 1 to n, times in order, plays apart; no moment is lost; each edit can be taken back", () => {
    const action = fc.record({
      what: fc.constantFrom("split", "join", "insert" as const),
      at: fc.integer({ min: 0, max: 1400 }).map((half) => half / 20),
      pick: fc.nat(20),
    });
    let made = 0;
    fc.assert(
      fc.property(fc.array(action, { maxLength: 30 }), (actions) => {
        const newId = ids();
        let records = recordsOf(whole, second);
        for (const { what, at, pick } of actions) {
          const play = records.plays[pick % records.plays.length]!;
          const edit =
            what === "split"
              ? splitPlay(records, play, at, newId, rules, flag)
              : what === "join"
                ? joinNext(records, play)
                : markTime(records, here(at), "start", newId, rules, flag);
          if (!edit.ok) continue;
          made += 1;
          const next = applyChanges(records, edit.changes);
          expect(sorted(applyChanges(next, invert(edit.changes)))).toEqual(sorted(records));
          records = next;
          expect(records.plays.some(({ id }) => id === edit.play.id)).toBe(true);
        }
        expect(renumbered(records)).toEqual([]);
        expect(records.moments.map(({ id }) => id).toSorted()).toEqual(["m1", "m2", "m3"]);
        const byNumber = records.plays.toSorted((a, b) => a.number - b.number);
        expect(byNumber.map(({ number }) => number)).toEqual(byNumber.map((_, index) => index + 1));
        for (const [index, play] of byNumber.entries()) {
          const times = playTimes.flatMap((time) => timeOf(play, time) ?? []);
          expect(times).toEqual(times.toSorted((a, b) => a - b));
          expect(play.startSec).toBeGreaterThanOrEqual(byNumber[index - 1]?.endSec ?? 0);
        }
        for (const moment of records.moments) {
          const play = byNumber.find(({ id }) => id === moment.playId)!;
          const sec = playSecOf(play, records.angles, moment);
          expect(sec).toBeGreaterThanOrEqual(play.startSec);
          expect(sec).toBeLessThanOrEqual(play.endSec);
        }
      }),
      { numRuns: 300, seed: 7 },
    );
    expect(made).toBeGreaterThan(500);
  });
});

describe("moments proposed", () => {
  it("lie in the order of the phases, within the play, whatever times are said", () => {
    const gap = fc.double({ min: 0, max: 8, noNaN: true });
    const maybe = fc.boolean();
    fc.assert(
      fc.property(fc.array(gap, { minLength: 6, maxLength: 6 }), fc.tuple(maybe, maybe, maybe), (gaps, [r, c, d]) => {
        const at = gaps.map((_, index) => gaps.slice(0, index + 1).reduce((sum, one) => sum + one, 0));
        const [startSec, snapSec, releaseSec, catchSec, deadSec, endSec] = at as [
          number,
          number,
          number,
          number,
          number,
          number,
        ];
        const play = playOf(1, {
          startSec,
          snapSec,
          releaseSec: r ? releaseSec : null,
          catchSec: c ? catchSec : null,
          deadSec: d ? deadSec : null,
          endSec,
        });
        const found = proposedMoments(play);
        const times = found.map(({ playSec }) => playSec);
        expect(times).toEqual(times.toSorted((a, b) => a - b));
        for (const sec of times) {
          expect(sec).toBeGreaterThanOrEqual(startSec);
          expect(sec).toBeLessThanOrEqual(endSec);
        }
        expect(found.some(({ phase }) => phase === "catch")).toBe(c);
        expect(found.some(({ phase }) => phase === "dead-ball")).toBe(d);
      }),
      { numRuns: 500, seed: 8 },
    );
    expect(proposedMoments(playOf(1, {}))).toEqual([]);
  });
});
