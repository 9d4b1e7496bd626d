import { describe, expect, it } from "vitest";
import type { GameRecords, Play } from "#core/game/records";
import { judgePlayRecords } from "#core/scoring/judge-play";
import { judgeAndKeep, judgedBefore, keptSurveys, recordsOfPlays } from "#core/scoring/kept-judgements";
import { shippedBooks } from "../../../src-main/service/books.ts";
import { demoGame, demoLayout as layout } from "./demo-records.ts";

const book = shippedBooks().open("flag-crew-of-four");
// Copies, so that nothing was kept for them before.
const copied = (): GameRecords => structuredClone(demoGame);

const givenOf = (records: GameRecords) => {
  const made = new Map(records.films.map((film) => [film.id, keptSurveys(records, film, layout)]));
  return { surveysOf: (filmId: string) => made.get(filmId) ?? null, layout, book };
};
const numbered = (records: GameRecords, number: number): Play => records.plays.find((play) => play.number === number)!;
const before = (records: GameRecords, number: number, given = givenOf(records)) =>
  judgedBefore(recordsOfPlays(records), numbered(records, number), given);

function judgedTwo(): GameRecords {
  const records = copied();
  for (const number of [2, 9]) judgeAndKeep(recordsOfPlays(records), numbered(records, number), givenOf(records));
  return records;
}

describe("judgements that are kept", () => {
  it("are what judging anew gives, and the same object as long as nothing changed, a field and a book read again included", () => {
    const records = copied();
    expect(before(records, 9)).toBeNull();
    const play = numbered(records, 9);
    const first = judgeAndKeep(recordsOfPlays(records), play, givenOf(records));
    // What a course can be asked is a function, and no two of these are equal.
    expect(JSON.stringify(first)).toBe(JSON.stringify(judgePlayRecords(records, play, givenOf(records))));
    const again = { ...givenOf(records), layout: structuredClone(layout), book: structuredClone(book) };
    expect(before(records, 9, again)).toBe(first);
  });

  it("of one play are gone when a mark of it moves, goes or comes, and those of other plays stay", () => {
    const records = judgedTwo();
    const ids = new Set(records.moments.filter(({ playId }) => playId === numbered(records, 9).id).map(({ id }) => id));
    const [mark] = records.marks.filter(({ momentId }) => ids.has(momentId));
    const without = records.marks.filter((one) => one !== mark);
    const moved = { ...mark!, click: { ...mark!.click, uPx: mark!.click.uPx + 30 } };
    for (const marks of [without, [...without, moved], [...records.marks, { ...moved, id: "another" }]]) {
      const edited = { ...records, marks };
      expect(before(edited, 9)).toBeNull();
      expect(before(edited, 2)).not.toBeNull();
    }
    expect(before(records, 9)).not.toBeNull();
  });

  it("are gone when the play, a stake of its film, the book, the crew's sides or its angles change", () => {
    const records = judgedTwo();
    const play = numbered(records, 9);
    expect(before({ ...records, game: { ...records.game, title: "Another" } }, 9)).not.toBeNull();
    const replaced = { ...play, quarter: 3 };
    expect(before({ ...records, plays: records.plays.map((one) => (one === play ? replaced : one)) }, 9)).toBeNull();
    expect(before({ ...records, stakes: records.stakes.slice(1) }, 9)).toBeNull();
    const turned = records.game.lineJudgeSide === "far" ? "near" : "far";
    expect(before({ ...records, game: { ...records.game, lineJudgeSide: turned } }, 9)).toBeNull();
    const angle = { id: "a", gameId: play.gameId, playId: play.id, filmId: "f", playInstantSec: 1, instantSec: 2 };
    expect(before({ ...records, angles: [angle] }, 9)).toBeNull();
    expect(before(records, 9, { ...givenOf(records), book: { ...book, name: "Another" } })).toBeNull();
  });

  it("surveys of a film are one object until its moments, stakes or carries change", () => {
    const records = copied();
    const [film] = records.films;
    const first = keptSurveys(records, film!, layout);
    expect(keptSurveys({ ...records, marks: [] } as GameRecords, film!, structuredClone(layout))).toBe(first);
    expect(keptSurveys({ ...records, carries: [...records.carries] }, film!, layout)).not.toBe(first);
  });
});
