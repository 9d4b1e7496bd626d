import { describe, expect, it } from "vitest";
import { applyChanges, invert, removePlay } from "#core/game/changes";
import { downRulesOf } from "#core/game/next-situation";
import { criteria, type GameRecords } from "#core/game/records";
import { joinNext, splitPlay } from "#core/game/split-join";
import { evidenceOf, gradeColumns, gradedShare, scoreOfCell } from "#core/grading/grade-sheet";
import {
  gradeAt,
  type GradeCell,
  gradeEdit,
  gradeFault,
  gradesByCell,
  isGraded,
  takeGradeBack,
} from "#core/grading/grades";
import { scaleById } from "#core/grading/scales";
import { shippedBooks } from "#core/mechanics/shipped-books";
import { judgePlayRecords } from "#core/scoring/judge-play";
import { demoGame, demoLayout, demoSurveys } from "../scoring/demo-records.ts";

const five = scaleById("five-points")!;
const book = shippedBooks().find(({ id }) => id === demoGame.game.bookId)!;
const play = demoGame.plays.find(({ number }) => number === 2)!;
const cell: GradeCell = { playId: play.id, position: "FJ", criterion: "station" };
let made = 0;
const by = { authorId: "observer-1", now: new Date("2026-09-20T18:00:00Z"), newId: () => `grade-${++made}` };
const plain = { reason: "", comment: "", momentIds: [] };

function given(records: GameRecords, at: GradeCell, points: number | null, reason = "", suggested: number | null = 2) {
  const edit = gradeEdit(records, at, five, suggested, { points, reason, comment: "", momentIds: [] }, by);
  if (!edit.ok) throw new Error(edit.sentence);
  return { edit, records: applyChanges(records, edit.changes) };
}

describe("a grade", () => {
  it("stands without a reason only where it is what was suggested, or nothing was, and no end of the scale", () => {
    expect(gradeFault(five, 2, { points: 2, ...plain })).toBeNull();
    expect(gradeFault(five, null, { points: 3, ...plain })).toBeNull();
    expect(gradeFault(five, 2, { points: 3, ...plain })).toMatch(/suggest 2: say why it is 3/u);
    expect(gradeFault(five, null, { points: 5, ...plain })).toMatch(/end of the scale/u);
    expect(gradeFault(five, 2, { points: 5, reason: "  " })).not.toBeNull();
    expect(gradeFault(five, 2, { points: 5, reason: "the ball was spotted late" })).toBeNull();
    expect(gradeFault(five, 2, { points: null, ...plain })).toBeNull();
    expect(gradeFault(five, 2, { points: 2.5, reason: "x" })).toMatch(/no point of the scale/u);
  });

  it("is kept with author, time and what was suggested; said anew it is the same one; and can be taken back", () => {
    const first = given(demoGame, cell, 2);
    const grade = gradeAt(first.records.grades, cell, "observer-1")!;
    expect(grade).toMatchObject({
      points: 2,
      suggested: 2,
      scaleId: "five-points",
      gradedAt: "2026-09-20T18:00:00.000Z",
    });
    const again = given(first.records, cell, 3, "the corner was covered");
    expect(again.records.grades).toHaveLength(1);
    expect(again.records.grades[0]).toMatchObject({ id: grade.id, points: 3, reason: "the corner was covered" });
    expect(applyChanges(again.records, invert(again.edit.changes)).grades).toEqual([grade]);
    expect(gradeAt(again.records.grades, cell, "observer-2")).toBeNull();
    const back = takeGradeBack(again.records, again.records.grades[0]!);
    expect(back.ok && applyChanges(again.records, back.changes).grades).toEqual([]);
  });

  it("is found in its cell and in no other, whether one is asked for or many", () => {
    const { records } = given(given(demoGame, cell, 2).records, { ...cell, playId: null }, 3, "seen all game");
    const gradeIn = gradesByCell(records.grades);
    for (const playId of [null, ...records.plays.map(({ id }) => id)])
      for (const position of ["R", "LJ", "FJ", "BJ"])
        for (const criterion of criteria) {
          const there = { playId, position, criterion };
          expect(gradeIn(there)).toBe(gradeAt(records.grades, there, "observer-1"));
        }
    expect(records.grades.map((grade) => gradeIn(grade))).toEqual(records.grades);
    expect(records.grades).toHaveLength(2);
  });

  it("is refused on another scale than the game's grades, and of a play that is gone", () => {
    const { records } = given(demoGame, cell, 2);
    const seven = scaleById("seven-points")!;
    const other = gradeEdit(records, cell, seven, null, { points: 4, ...plain }, by);
    expect(!other.ok && other.sentence).toMatch(/another scale/u);
    // Another author's grades, which came along from elsewhere, do not hold anybody to their scale.
    const second = gradeEdit(records, cell, seven, null, { points: 4, ...plain }, { ...by, authorId: "observer-2" });
    expect(second.ok).toBe(true);
    const gone = gradeEdit(demoGame, { ...cell, playId: "none" }, five, null, { points: 3, ...plain }, by);
    expect(gone.ok).toBe(false);
  });

  it("goes with its play, and holds the play together: it is neither cut nor joined", () => {
    const { records } = given(demoGame, cell, 2);
    expect(applyChanges(records, removePlay(records, play.id)).grades).toEqual([]);
    const rules = downRulesOf(demoLayout);
    const cut = splitPlay(records, play, (play.startSec + play.endSec) / 2, by.newId, rules, demoLayout);
    expect(!cut.ok && cut.sentence).toMatch(/^Play 2 is graded/u);
    const before = records.plays.find(({ number }) => number === 1)!;
    const joined = joinNext(records, before);
    expect(!joined.ok && joined.sentence).toMatch(/^Play 2 is graded/u);
  });
});

describe("the sheet", () => {
  const surveysOf = () => demoSurveys;
  const judged = new Map(
    demoGame.plays.map((one) => [one.id, judgePlayRecords(demoGame, one, { surveysOf, layout: demoLayout, book })]),
  );

  it("has the criteria that came up under each of the crew, and suggests from their scores", () => {
    const columns = gradeColumns(judged, demoGame);
    expect(columns.map(({ position }) => position)).toEqual(["R", "LJ", "FJ", "BJ"]);
    for (const { criteria: own } of columns) expect(own[0]).toBe("station");
    // The field judge of play 2 stands three yards short of the station.
    expect(scoreOfCell(judged.get(play.id), cell)).toBeLessThan(25);
    expect(scoreOfCell(judged.get(play.id), { ...cell, position: "R" })).toBeGreaterThan(90);
    expect(scoreOfCell(undefined, cell)).toBeNull();
  });

  it("a cell rests on the findings of its criterion, each with its moment", () => {
    const evidence = evidenceOf(judged.get(play.id), cell, book, demoGame.marks);
    expect(evidence.map(({ finding }) => finding.verdict)).toEqual(["missed"]);
    const moment = demoGame.moments.find(({ id }) => id === evidence[0]!.momentId);
    expect(moment?.playId).toBe(play.id);
    expect(evidenceOf(judged.get(play.id), { ...cell, criterion: "key" }, book, demoGame.marks)).toEqual([]);
  });

  it("counts what is graded of what could be, and a play as graded when everybody of the crew is", () => {
    const columns = gradeColumns(judged, demoGame);
    const none = gradedShare(demoGame.plays, columns, judged, []);
    expect(none.graded).toBe(0);
    expect(none.of).toBeGreaterThan(15 * 4);
    let records: GameRecords = demoGame;
    for (const position of ["R", "LJ", "FJ", "BJ"]) {
      expect(isGraded(records, play)).toBe(false);
      ({ records } = given(records, { ...cell, position }, 2));
    }
    expect(isGraded(records, play)).toBe(true);
    expect(isGraded(records, demoGame.plays[0]!)).toBe(false);
    expect(gradedShare(records.plays, columns, judged, records.grades)).toEqual({ graded: 4, of: none.of });
    // What cannot be judged from film is said too.
    const untold = given(demoGame, cell, null);
    expect(gradedShare(demoGame.plays, columns, judged, untold.records.grades).graded).toBe(1);
  });
});
