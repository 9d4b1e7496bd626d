import { renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { put } from "#core/game/changes";
import { scales } from "#core/grading/scales";
import type { Film } from "#core/game/records";
import { aGame, aWholeGame } from "../store/build-game.ts";
import { mustOpen, openTemporary, temporaryFolder } from "../store/temporary-library.ts";
import { aService, answerTo } from "./a-service.ts";
import { contentFilmTools } from "./content-film-tools.ts";

const { id: _, ...newGame } = aGame();

describe("games", () => {
  test("are made, listed, opened, edited, taken back and removed", async () => {
    const library = await openTemporary();
    const { client } = aService(library);
    const game = await client.games.create(newGame);
    expect(await client.games.list()).toMatchObject([{ id: game.id, title: game.title, films: 0 }]);
    const renamed = { ...game, title: "Renamed" };
    const edited = await client.games.commit({
      gameId: game.id,
      label: "Rename the game",
      changes: [put("game", game, renamed)],
    });
    expect(edited).toEqual({
      sequence: 1,
      changes: [put("game", game, renamed)],
      history: { undo: "Rename the game", redo: null },
    });
    expect(await client.games.undo({ gameId: game.id })).toMatchObject({ changes: [put("game", renamed, game)] });
    await client.games.redo({ gameId: game.id });
    expect(await client.games.open({ gameId: game.id })).toMatchObject({ game: renamed, sequence: 3, filmStates: [] });
    expect(await client.games.remove({ gameId: game.id })).toEqual({ removed: true });
    expect(await client.games.remove({ gameId: game.id })).toEqual({ removed: false });
    expect(await answerTo(client.games.open({ gameId: game.id }))).toMatchObject({ code: "NOT_FOUND", known: true });
  });

  test("the library says what it is", async () => {
    const library = await openTemporary();
    const { client } = aService(library);
    expect(await client.library.info()).toEqual({
      path: library.path,
      schemaVersion: 70,
      appVersion: "0.1.0",
      readOnly: false,
      demoGameId: null,
      // Its own, and the same at every start.
      observerId: library.note("observer-id"),
      systemDialog: false,
    });
  });

  test("what a person sets up is kept part by part, and refused where it could not be graded by", async () => {
    const library = await openTemporary();
    const { client } = aService(library);
    const first = await client.library.settings();
    expect(first).toMatchObject({ observerName: "", ownPosition: null, scales: [] });
    expect(first.fouls.length).toBeGreaterThan(0);
    await client.library.set({ observerName: "Wendeline Askew" });
    const kept = await client.library.set({ fouls: ["Flag guarding"] });
    expect(kept).toMatchObject({ observerName: "Wendeline Askew", fouls: ["Flag guarding"] });
    const scale = { ...scales[0], id: "own", step: 0.3 };
    expect(await answerTo(client.library.set({ scales: [{ scale, retired: false }] }))).toMatchObject({
      code: "INVALID",
    });
    expect(await aService(library).client.library.settings()).toEqual(kept);
    const own = [{ scale: { ...scale, step: 0.5 }, retired: false }];
    expect((await client.library.set({ scales: own })).scales).toEqual(own);
  });

  test("a stale edit and an edit that does not fit are told apart", async () => {
    const library = await openTemporary();
    const { client } = aService(library);
    const game = await client.games.create(newGame);
    const edit = (title: string) => ({
      gameId: game.id,
      label: "Rename",
      changes: [put("game", game, { ...game, title })],
    });
    await client.games.commit(edit("One"));
    expect(await answerTo(client.games.commit(edit("Two")))).toMatchObject({ code: "STALE", known: true });
    const foreign = put("game", null, aGame("elsewhere"));
    expect(
      await answerTo(client.games.commit({ gameId: game.id, label: "Slip in", changes: [foreign] })),
    ).toMatchObject({
      code: "INVALID",
      known: true,
    });
  });
});

describe("watching a game", () => {
  test("brings every edit, undo and redo in order to every window, from before the first read on", async () => {
    const library = await openTemporary();
    const { client } = aService(library);
    const game = await client.games.create(newGame);
    const stop = new AbortController();
    const windows = await Promise.all(
      [1, 2].map(() => client.games.watch({ gameId: game.id }, { signal: stop.signal })),
    );
    let before = game;
    for (let number = 1; number <= 150; number += 1) {
      const after = { ...game, title: `Title ${number}` };
      await client.games.commit({ gameId: game.id, label: "Rename", changes: [put("game", before, after)] });
      before = after;
    }
    await client.games.undo({ gameId: game.id });
    await client.games.redo({ gameId: game.id });
    for (const window of windows) {
      const sequences: number[] = [];
      for await (const edited of window) {
        sequences.push(edited.sequence);
        if (sequences.length === 152) break;
      }
      expect(sequences).toEqual(Array.from({ length: 152 }, (_, index) => index + 1));
    }
    stop.abort();
  });

  test("ends when the game is removed, and refuses a game that is not there", async () => {
    const library = await openTemporary();
    const { client } = aService(library);
    const game = await client.games.create(newGame);
    const watch = await client.games.watch({ gameId: game.id });
    const next = watch.next();
    await client.games.remove({ gameId: game.id });
    expect(await next).toMatchObject({ done: true });
    expect(await answerTo(client.games.watch({ gameId: game.id }))).toMatchObject({ code: "NOT_FOUND" });
  });
});

describe("what does not fit the contract", () => {
  test.each([
    ["an unknown property", (gameId: string) => ({ gameId, label: "x", changes: [], extra: 1 })],
    ["no changes", (gameId: string) => ({ gameId, label: "x", changes: [] })],
    [
      "a blank label",
      (gameId: string) => ({ gameId, label: "  ", changes: [put("game", aGame(gameId), aGame(gameId))] }),
    ],
    [
      "a number that is none",
      (gameId: string) => ({
        gameId,
        label: "x",
        changes: [put("game", aGame(gameId), aGame(gameId, { playersPerSide: Number.NaN }))],
      }),
    ],
    [
      "an unknown family",
      (gameId: string) => ({
        gameId,
        label: "x",
        changes: [{ family: "sqlite_schema", id: "x", before: null, after: null }],
      }),
    ],
    ["an id that could be a path", () => ({ gameId: "../../etc/passwd", label: "x", changes: [] })],
    ["nothing", () => undefined],
    ["a text", () => "commit"],
  ])("is refused as INVALID, naming the place: %s", async (_, request) => {
    const library = await openTemporary();
    const { client, logged } = aService(library);
    const game = await client.games.create(newGame);
    const answer = await answerTo(client.games.commit(request(game.id) as Parameters<typeof client.games.commit>[0]));
    expect(answer).toMatchObject({ code: "INVALID", known: true });
    expect(answer.message).toMatch(/^games\.commit was asked for something that does not fit: /u);
    expect(library.openGame(game.id).sequence).toBe(0);
    expect(logged).toEqual([]);
  });
});

test("a bug is logged whole and answered with nothing of its inside", async () => {
  const library = await openTemporary();
  const broken = {
    ...library,
    listGames: () => {
      throw new TypeError("secret at /home/someone/library.ts");
    },
  };
  const { client, logged } = aService(broken);
  const answer = await answerTo(client.games.list());
  expect(answer).toMatchObject({ code: "INTERNAL", known: false });
  expect(answer.sent).not.toMatch(/secret|home|stack/u);
  expect(logged).toHaveLength(1);
  expect((logged[0]?.error as Error | undefined)?.stack).toContain("secret");
});

describe("films", () => {
  async function withFilm(name = "first half.mp4", content = "film 1280x720 61.5 avc1 one") {
    const folder = temporaryFolder();
    const path = join(folder, name);
    writeFileSync(path, content);
    const library = await openTemporary();
    const { client, logged } = aService(library);
    const game = await client.games.create(newGame);
    return { folder, path, library, client, logged, gameId: game.id };
  }

  test("are attached by reference as an edit that can be taken back", async () => {
    const { client, gameId, path } = await withFilm();
    const edited = await client.films.attach({ gameId, path });
    expect(edited.history).toEqual({ undo: "Attach film “first half”", redo: null });
    const opened = await client.games.open({ gameId });
    expect(opened.films).toMatchObject([
      { label: "first half", path, widthPx: 1280, heightPx: 720, durationSec: 61.5, codec: "avc1" },
    ]);
    expect(opened.filmStates).toEqual([{ filmId: opened.films[0]?.id, state: "present" }]);
    await client.games.undo({ gameId });
    expect((await client.games.open({ gameId })).films).toEqual([]);
  });

  test("reach whoever watches", async () => {
    const { client, gameId, path } = await withFilm();
    const watch = await client.games.watch({ gameId });
    const edited = await client.films.attach({ gameId, path });
    expect((await watch.next()).value).toEqual(edited);
    await watch.return();
  });

  test.each([
    ["a path that is not whole", "INVALID", () => "first half.mp4"],
    ["nothing there", "FILE_MISSING", (folder: string) => join(folder, "gone.mp4")],
    ["a file used as a folder", "FILE_MISSING", (folder: string) => join(folder, "first half.mp4", "inside.mp4")],
    ["a folder", "FILE_UNREADABLE", (folder: string) => folder],
    [
      "what is no film",
      "FILM_CODEC",
      (folder: string) => (writeFileSync(join(folder, "a.mp4"), "text"), join(folder, "a.mp4")),
    ],
    [
      "a codec that is not played",
      "FILM_CODEC",
      (folder: string) => (writeFileSync(join(folder, "b.mp4"), "film 720x576 10 mpeg2"), join(folder, "b.mp4")),
    ],
    [
      "the same film again under another name",
      "INVALID",
      (folder: string) => (writeFileSync(join(folder, "c.mp4"), "film 1280x720 61.5 avc1 one"), join(folder, "c.mp4")),
    ],
  ])("are refused: %s", async (_, code, pathOf) => {
    const { client, gameId, path, folder, logged } = await withFilm();
    await client.films.attach({ gameId, path });
    const answer = await answerTo(client.films.attach({ gameId, path: pathOf(folder) }));
    expect(answer).toMatchObject({ code, known: true });
    if (answer.message.includes("MPEG-2")) {
      expect(answer.details).toMatchObject({ codec: "mpeg2", command: expect.stringContaining("ffmpeg") });
    }
    expect((await client.games.open({ gameId })).films).toHaveLength(1);
    expect(logged).toEqual([]);
  });

  test("that moved are found again by content, and another film is not taken for them", async () => {
    const { client, gameId, path, folder } = await withFilm();
    await client.films.attach({ gameId, path });
    const [film] = (await client.games.open({ gameId })).films as [Film];
    const moved = join(folder, "elsewhere.mp4");
    renameSync(path, moved);
    expect(await client.films.states({ gameId })).toEqual([{ filmId: film.id, state: "missing" }]);
    writeFileSync(path, "film 1280x720 61.5 avc1 another");
    expect(await client.films.states({ gameId })).toEqual([{ filmId: film.id, state: "changed" }]);
    const answer = await answerTo(client.films.relocate({ gameId, filmId: film.id, path }));
    expect(answer).toMatchObject({ code: "FILM_DIFFERS", known: true, details: { path } });
    const edited = await client.films.relocate({ gameId, filmId: film.id, path: moved });
    expect(edited.changes).toEqual([put("film", film, { ...film, path: moved })]);
    expect(edited.history.undo).toBe("Find film “first half” again");
    expect(await client.films.states({ gameId })).toEqual([{ filmId: film.id, state: "present" }]);
    expect(await answerTo(client.films.relocate({ gameId, filmId: "other", path: moved }))).toMatchObject({
      code: "NOT_FOUND",
    });
  });

  test("that moved are found in a folder, and it is said when they are not there", async () => {
    const { client, gameId, path, folder } = await withFilm();
    await client.films.attach({ gameId, path });
    const [film] = (await client.games.open({ gameId })).films as [Film];
    const moved = join(folder, "under another name.mp4");
    renameSync(path, moved);
    const edited = await client.films.relocate({ gameId, filmId: film.id, path: folder });
    expect(edited.changes).toEqual([put("film", film, { ...film, path: moved })]);
    renameSync(moved, `${folder}.mp4`);
    expect(await answerTo(client.films.relocate({ gameId, filmId: film.id, path: folder }))).toMatchObject({
      code: "FILE_MISSING",
      known: true,
      message: expect.stringContaining("“first half” is not in"),
    });
    rmSync(`${folder}.mp4`);
  });

  test("with the longest and oddest names a file system takes get a label that the library takes", async () => {
    for (const name of [`${"é".repeat(120)}.mp4`, `${"😀".repeat(60)}.mp4`, " .mp4", "a\nb “c”.mp4"]) {
      const { client, gameId, path } = await withFilm(name);
      await client.films.attach({ gameId, path });
      expect((await client.games.open({ gameId })).films).toHaveLength(1);
    }
  });
});

test("the shipped book is listed and opened, and an unknown one is NOT_FOUND", async () => {
  const { client } = aService(await openTemporary());
  const [listed] = await client.books.list();
  expect(listed).toMatchObject({ id: "flag-crew-of-four" });
  const book = await client.books.open({ bookId: "flag-crew-of-four" });
  expect(book.positions.map((position) => position.id)).toEqual(["R", "LJ", "FJ", "BJ"]);
  expect(await answerTo(client.books.open({ bookId: "none" }))).toMatchObject({ code: "NOT_FOUND", known: true });
});

test("a library moved away while it is open answers LIBRARY_FAILED with its path", async () => {
  const folder = join(temporaryFolder(), "Crewglass");
  const library = await mustOpen(join(folder, "library.crewglass"));
  library.addGame(aWholeGame());
  const { client } = aService(library, { filmTools: contentFilmTools });
  renameSync(folder, `${folder}-moved`);
  const answer = await answerTo(client.games.create(newGame));
  expect(answer).toMatchObject({ code: "LIBRARY_FAILED", known: true, details: { path: library.path } });
});
