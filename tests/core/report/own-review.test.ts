import { expect, it } from "vitest";
import { compareGrades, otherAuthors } from "#core/grading/compare-grades";
import { lastOfRule, ownFindings, ruleCounts } from "#core/report/own-review";
import { demoGame } from "../scoring/demo-records.ts";
import { aGradeOf, demoInput, playId } from "./judged-demo.ts";

it("the last findings of a rule are the newest first, over games by their date, and never more than asked for", () => {
  const input = demoInput();
  const { game } = input.records;
  const older = { ...input, records: { ...input.records, game: { ...game, id: "older", playedOn: "2026-08-01" } } };
  const found = ownFindings([input, older].map((of) => ({ of, position: "FJ" })));
  const last = lastOfRule(found, "ST-FJ-PRE", 15);
  expect(last).toHaveLength(15);
  const own = last.filter((one) => one.game.id === game.id);
  expect(last.slice(0, own.length)).toEqual(own);
  const numbers = own.map(({ play }) => play.number);
  expect(numbers).toEqual(numbers.toSorted((a, b) => b - a));
  expect(ruleCounts(found).find(({ ruleId }) => ruleId === "ST-FJ-PRE")).toMatchObject({ met: 20, missed: 2 });
});

it("own grades stand beside an observer's, with what differs and by how much", () => {
  const theirs = { authorId: "observer-2" };
  const grades = [
    aGradeOf("FJ", { points: 3 }),
    aGradeOf("FJ", { points: 4, ...theirs }),
    aGradeOf("FJ", { points: 2, criterion: "look", playId: playId(5) }),
    aGradeOf("FJ", { points: 2, criterion: "look", playId: playId(5), ...theirs }),
    aGradeOf("FJ", { points: null, playId: null }),
    aGradeOf("FJ", { points: 5, playId: playId(7), ...theirs }),
    aGradeOf("LJ", { points: 1, ...theirs }),
  ];
  const compared = compareGrades(grades, demoGame.plays, "FJ", "observer-1", "observer-2");
  expect(compared).toMatchObject({ both: 2, same: 1, meanDifference: 0.5 });
  expect(compared.cells.map(({ playNumber, own, other }) => [playNumber, own, other])).toEqual([
    [0, null, undefined],
    [2, 3, 4],
    [5, 2, 2],
    [7, undefined, 5],
  ]);
  expect(otherAuthors(grades, "FJ", "observer-1")).toEqual(["observer-2"]);
  expect(otherAuthors(grades, "R", "observer-1")).toEqual([]);
});
