/** What was said of a game: every version of it kept, and a finalised game held against all but amendments. */
import { expect, test } from "vitest";
import { put, remove } from "#core/game/changes";
import { aGrade, aSeal, aWholeGame } from "./build-game.ts";
import { mustOpen, openTemporary } from "./temporary-library.ts";

const game = aWholeGame();
const [grade] = game.grades;
const [ruling] = game.rulings;

test("each way of writing a grade or ruling leaves a version: given, changed, taken back, undone, made again", async () => {
  const library = await openTemporary();
  library.addGame(game);
  const changed = { ...grade!, points: 3, reason: "seen again", gradedAt: "2026-09-21T08:00:00.000Z" };
  library.commit(game.game.id, "Grade", [put("grade", grade!, changed)]);
  library.undo(game.game.id);
  library.redo(game.game.id);
  library.commit(game.game.id, "Take back", [remove("grade", changed)]);
  library.commit(game.game.id, "Ruling", [put("ruling", ruling!, { ...ruling!, class: "correct" })]);
  const versions = library.versions(game.game.id);
  expect(versions.map(({ family, act, said }) => `${family} ${act}: ${said}`)).toEqual([
    "grade given: 2.0",
    "ruling given: marginal flag: Flag guarding",
    "grade changed: 3.0",
    "grade changed: 2.0",
    "grade changed: 3.0",
    "grade taken back: 3.0",
    "ruling changed: correct flag: Flag guarding",
  ]);
  expect(versions[2]).toMatchObject({ reason: "seen again", authorId: "observer-1", at: "2026-09-21T08:00:00.000Z" });
  // They go with the game, and nothing of it is left behind.
  expect(library.removeGame(game.game.id)).toBe(true);
  expect(library.versions(game.game.id)).toEqual([]);
});

test("a finalised game keeps what was measured and graded: only amendments with a reason, films and notes are written", async () => {
  const library = await openTemporary();
  library.addGame(game);
  const { id } = game.game;
  library.commit(id, "Finalise the game", [put("seal", null, aSeal(id))]);
  const refused = (label: string, change: ReturnType<typeof put>) =>
    expect(() => library.commit(id, label, [change]), label).toThrow(/^(This game is finalised|A game that is final)/u);
  refused("mark", remove("mark", game.marks[0]!));
  refused("play", put("play", game.plays[0]!, { ...game.plays[0]!, number: 9 }));
  refused("game", put("game", game.game, { ...game.game, title: "Another" }));
  refused("grade", put("grade", grade!, { ...grade!, points: 3, reason: " " }));
  refused("grade away", remove("grade", grade!));
  refused("new grade", put("grade", null, { ...grade!, id: "new", criterion: "look", reason: "" }));
  refused("ruling", put("ruling", ruling!, { ...ruling!, class: "correct" }));
  refused("seal", remove("seal", aSeal(id)));
  // Nothing before the seal is taken back, nor the seal itself.
  expect(library.openGame(id).history).toEqual({ undo: null, redo: null });
  expect(() => library.undo(id)).toThrow(/nothing to undo/u);

  library.commit(id, "Amend", [put("grade", grade!, { ...grade!, points: 3, reason: "seen again" })]);
  library.commit(id, "Note", [put("note", game.notes[0]!, { ...game.notes[0]!, text: "call on Monday" })]);
  library.commit(id, "Film", [put("film", game.films[0]!, { ...game.films[0]!, path: "/films/moved.mp4" })]);
  expect(library.openGame(id).history).toEqual({ undo: null, redo: null });
  // Another observer, who is not finished, still says and unsays.
  const other = aGrade(game.plays[0]!, "theirs", { authorId: "observer-2", reason: "" });
  library.commit(id, "Theirs", [put("grade", null, other)]);
  library.commit(id, "Theirs back", [remove("grade", other)]);
});

test("the seal is still there after the library was closed and opened, and its history goes on", async () => {
  const library = await openTemporary();
  library.addGame(game);
  const { id } = game.game;
  library.commit(id, "Rename", [put("game", game.game, { ...game.game, title: "Another" })]);
  library.commit(id, "Finalise the game", [put("seal", null, aSeal(id))]);
  library.close();
  const again = await mustOpen(library.path);
  const opened = again.openGame(id);
  expect(opened.seals).toEqual([aSeal(id)]);
  expect(opened).toMatchObject({ sequence: 2, history: { undo: null, redo: null } });
});

test("one grade to a play, official, criterion and author, and one to the whole game", async () => {
  const library = await openTemporary();
  library.addGame(game);
  const { id } = game.game;
  const whole = { ...grade!, id: "whole", playId: null };
  library.commit(id, "Whole", [put("grade", null, whole)]);
  expect(() => library.commit(id, "Again", [put("grade", null, { ...whole, id: "whole-2" })])).toThrow();
  expect(() => library.commit(id, "Again", [put("grade", null, { ...grade!, id: "twice" })])).toThrow();
  expect(library.openGame(id).grades).toEqual([grade, whole]);
});
