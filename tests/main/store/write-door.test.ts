import { describe, expect, test } from "vitest";
import { type Change, put, remove, removePlay } from "#core/game/changes";
import { clicksOf, movedStake } from "#core/game/edits";
import { emptyGame } from "#core/game/records";
import { aFilm, aGame, aMark, aMoment, aPlay, aStake, aWholeGame } from "./build-game.ts";
import { failureOf } from "./failure-of.ts";
import { mustOpen, openTemporary } from "./temporary-library.ts";

describe("a game in the library", () => {
  test("comes back as it was added, every family and every kind of mark", async () => {
    const library = await openTemporary();
    const game = aWholeGame();
    library.addGame(game);
    expect(library.openGame("game-1")).toEqual({ ...game, sequence: 0, history: { undo: null, redo: null } });
    library.close();
    expect((await mustOpen(library.path)).openGame("game-1")).toMatchObject(game);
  });

  test("is listed with its counts, newest first and undated last", async () => {
    const library = await openTemporary();
    library.addGame(aWholeGame());
    library.addGame({ ...emptyGame, game: aGame("undated", { playedOn: null }) });
    library.addGame({ ...emptyGame, game: aGame("later", { playedOn: "2026-10-03" }) });
    const list = library.listGames();
    expect(list.map((game) => game.id)).toEqual(["later", "game-1", "undated"]);
    expect(list[1]).toMatchObject({ films: 2, plays: 1, surveyed: 1, marked: 1 });
    expect(list[0]).toMatchObject({ films: 0, plays: 0, surveyed: 0, marked: 0 });
  });

  test("counts a play as surveyed only from four stakes in one moment", async () => {
    const library = await openTemporary();
    const game = aWholeGame();
    library.addGame({ ...game, stakes: game.stakes.slice(0, 3) });
    expect(library.listGames()[0]).toMatchObject({ surveyed: 0, marked: 1 });
  });

  test("is removed with all it owns and its history, and leaves the others alone", async () => {
    const library = await openTemporary();
    library.addGame(aWholeGame("game-1"));
    library.addGame(aWholeGame("game-2"));
    const game = aGame("game-1");
    library.commit("game-1", "Rename", [put("game", game, { ...game, title: "New" })]);
    expect(library.removeGame("game-1")).toBe(true);
    expect(library.removeGame("game-1")).toBe(false);
    expect(failureOf(() => library.openGame("game-1")).code).toBe("NOT_FOUND");
    expect(library.film("game-1-film")).toBeNull();
    expect(library.openGame("game-2")).toMatchObject(aWholeGame("game-2"));
    library.addGame(aWholeGame("game-1"));
    expect(library.openGame("game-1")).toMatchObject({ sequence: 0, history: { undo: null, redo: null } });
  });
});

describe("an edit", () => {
  test("reports its net changes and the names of what can be taken back", async () => {
    const library = await openTemporary();
    library.addGame(aWholeGame());
    const mark = aMark(aMoment(aPlay("game-1", "game-1-play", "game-1-film"), "game-1-moment"), "fresh");
    const moved = { ...mark, click: { uPx: 5, vPx: 6 } };
    const edited = library.commit("game-1", "Mark the line judge", [put("mark", null, mark), put("mark", mark, moved)]);
    expect(edited).toEqual({
      sequence: 1,
      changes: [{ family: "mark", id: "fresh", before: null, after: moved }],
      history: { undo: "Mark the line judge", redo: null },
    });
    expect(library.undo("game-1").history).toEqual({ undo: null, redo: "Mark the line judge" });
    expect(library.redo("game-1")).toMatchObject({ sequence: 3, history: { undo: "Mark the line judge", redo: null } });
  });

  test("clears what could be made again", async () => {
    const library = await openTemporary();
    const game = aGame();
    library.addGame({ ...aWholeGame(), game });
    library.commit("game-1", "First", [put("game", game, { ...game, title: "First" })]);
    library.undo("game-1");
    expect(library.commit("game-1", "Second", [put("game", game, { ...game, title: "Second" })]).history).toEqual({
      undo: "Second",
      redo: null,
    });
    expect(failureOf(() => library.redo("game-1"))).toMatchObject({ code: "INVALID" });
  });

  test("may write in any order as long as it ends whole", async () => {
    const library = await openTemporary();
    library.addGame({ ...emptyGame, game: aGame() });
    const film = aFilm("game-1", "film");
    const play = aPlay("game-1", "play", "film");
    const moment = aMoment(play, "moment");
    library.commit("game-1", "All at once", [
      put("stake", null, aStake(moment, "stake")),
      put("moment", null, moment),
      put("play", null, play),
      put("film", null, film),
    ]);
    const opened = library.openGame("game-1");
    expect(opened.stakes).toHaveLength(1);
    library.commit("game-1", "Remove the play", removePlay(opened, "play"));
    expect(library.openGame("game-1")).toMatchObject({ plays: [], angles: [], moments: [], stakes: [] });
    library.undo("game-1");
    expect(library.openGame("game-1")).toEqual({
      ...opened,
      sequence: 3,
      history: { undo: "All at once", redo: "Remove the play" },
    });
  });

  const game = aWholeGame();
  const [film] = game.films;
  const [play] = game.plays;
  const [moment] = game.moments;
  const [stake] = game.stakes;
  if (!film || !play || !moment || !stake) throw new Error("the builder made no whole game");
  const nan = Number.NaN;
  const refused: { why: string; code: string; changes: Change[] }[] = [
    {
      why: "saw another value",
      code: "STALE",
      changes: [put("film", { ...film, label: "Old" }, { ...film, label: "New" })],
    },
    { why: "makes what is there", code: "STALE", changes: [put("stake", null, stake)] },
    {
      why: "edits what is not there",
      code: "STALE",
      changes: [put("stake", { ...stake, id: "none" }, { ...stake, id: "none", sigmaPx: 3 })],
    },
    {
      why: "breaks its own chain",
      code: "STALE",
      changes: [put("film", film, { ...film, label: "A" }), put("film", film, { ...film, label: "B" })],
    },
    { why: "removes an owner and leaves what it owns", code: "INVALID", changes: [remove("moment", moment)] },
    {
      why: "hangs a mark under no moment",
      code: "INVALID",
      changes: [put("mark", null, { ...aMark(moment, "m"), momentId: "nowhere" })],
    },
    {
      why: "hangs a stake under another game's moment",
      code: "INVALID",
      changes: [put("stake", null, { ...aStake(moment, "s"), momentId: "other-moment" })],
    },
    {
      why: "belongs to another game",
      code: "INVALID",
      changes: [put("mark", null, { ...aMark(moment, "m"), gameId: "other" })],
    },
    { why: "holds another record", code: "INVALID", changes: [{ ...put("film", film, film), id: "x" }] },
    { why: "does nothing", code: "INVALID", changes: [{ family: "film", id: "f", before: null, after: null }] },
    { why: "removes the game", code: "INVALID", changes: [remove("game", game.game)] },
    { why: "makes a game", code: "INVALID", changes: [put("game", null, game.game)] },
    {
      why: "could not be read back (no number)",
      code: "INVALID",
      changes: [put("stake", stake, movedStake(stake, 0, { at: { uPx: nan, vPx: 0 }, raw: null }))],
    },
    {
      why: "could not be read back (half a character)",
      code: "INVALID",
      changes: [put("film", film, { ...film, label: "\ud800" })],
    },
  ];
  test.each(refused)("is refused whole when it $why", async ({ code, changes }) => {
    const library = await openTemporary();
    library.addGame(game);
    library.addGame(aWholeGame("other"));
    const before = library.openGame("game-1");
    // A good change in front: nothing of a refused edit may stay.
    const edit = [put("play", play, { ...play, number: 2 }), ...changes];
    const failure = failureOf(() => library.commit("game-1", "Edit", edit));
    expect(failure.code).toBe(code);
    expect(failure.message).toMatch(/nothing was written/iu);
    expect(library.openGame("game-1")).toEqual(before);
    library.commit("game-1", "Edit", [put("play", play, { ...play, number: 2 })]);
  });

  test("of a game that is not there is NOT_FOUND, and there is nothing to undo in a new one", async () => {
    const library = await openTemporary();
    expect(failureOf(() => library.commit("none", "Edit", [])).code).toBe("NOT_FOUND");
    expect(failureOf(() => library.undo("none")).code).toBe("NOT_FOUND");
    library.addGame(aWholeGame());
    expect(failureOf(() => library.undo("game-1")).code).toBe("INVALID");
  });

  test("keeps numbers to the last bit, and takes −0 for 0", async () => {
    const library = await openTemporary();
    library.addGame(game);
    const odd = { ...movedStake(stake, 0, { at: { uPx: 0.1 + 0.2, vPx: -0 }, raw: null }), sigmaPx: 1 / 3 };
    library.commit("game-1", "Nudge", [put("stake", stake, odd)]);
    const stored = library.openGame("game-1").stakes[0];
    expect(stored && clicksOf(stored)[0]?.at.uPx).toBe(0.1 + 0.2);
    expect(stored?.sigmaPx).toBe(1 / 3);
    library.commit("game-1", "Nudge back", [put("stake", odd, stake)]);
  });
});
