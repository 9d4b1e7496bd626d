/** What is found in a library, where it stands, and whose is not looked into. */
import BetterSqlite3 from "better-sqlite3";
import { expect, test } from "vitest";
import { wordsOf } from "#core/search/find-words";
import { findInLibrary } from "../../../src-main/service/find.ts";
import type { Library } from "../../../src-main/store/library.ts";
import { aNote, aWholeGame } from "./build-game.ts";
import { mustOpen, openTemporary } from "./temporary-library.ts";

const me = "observer-1";

async function twoGames(): Promise<Library> {
  const library = await openTemporary();
  library.setNote("observer-id", me);
  const first = aWholeGame("game-1");
  const [grade] = first.grades;
  const [ruling] = first.rulings;
  const [play] = first.plays;
  library.addGame({
    ...first,
    grades: [{ ...grade!, authorId: me, reason: "late to the línea", comment: "both times" }],
    rulings: [{ ...ruling!, authorId: "observer-2", foul: "holding", comment: "on the far edge" }],
    notes: [
      { ...aNote(play!, "mine"), authorId: me, text: "ask about the signal" },
      { ...aNote(play!, "theirs"), authorId: "observer-2", text: "a signal of their own" },
    ],
  });
  const second = aWholeGame("game-2");
  library.addGame({
    ...second,
    game: {
      ...second.game,
      title: "Otters v Gulls",
      playedOn: "2026-10-03",
      homeName: "Otters",
      awayName: "Gulls",
      crew: [{ position: "LJ", name: "Élodie Marram" }],
    },
    films: second.films.map((film, index) => ({
      ...film,
      label: `Clip ${index + 1}`,
      path: `C:\\films\\${index === 0 ? "after the rain" : "later"}.mp4`,
    })),
    grades: [],
    rulings: [],
    notes: [],
    seals: [],
  });
  return library;
}

const look = (library: Library, text: string) =>
  [...library.find({ words: wordsOf(text), observerId: me })]
    .flat()
    .map((one) => [one.in, one.gameId, one.excerpt.text]);

test("names of games, teams, officials and films, by any part of them, without accents or capitals", async () => {
  const library = await twoGames();
  expect(look(library, "OTTERS gulls")).toEqual([
    ["game", "game-2", "Otters v Gulls · Otters and Gulls · Saltmarsh Valley Flag League · 2026-10-03"],
  ]);
  // The newest game first.
  expect(look(library, "saltmarsh").map(([, id]) => id)).toEqual(["game-2", "game-1"]);
  expect(look(library, "elodie")).toEqual([["official", "game-2", "Élodie Marram"]]);
  expect(look(library, "marram lj otters")).toEqual([["official", "game-2", "Élodie Marram"]]);
  expect(look(library, "rain")).toEqual([["film", "game-2", "Clip 1 · after the rain.mp4"]]);
  expect(look(library, "2026-10")).toHaveLength(1);
  expect(look(library, "films")).toEqual([]);
});

test("what was written to grades and rulings, with words of the game beside it, and where to look at it", async () => {
  const library = await twoGames();
  const [play] = library.openGame("game-1").plays;
  const [found] = [...library.find({ words: wordsOf("holding herons"), observerId: me })].flat();
  expect(found).toEqual({
    in: "ruling",
    gameId: "game-1",
    game: "Herons v Lanterns",
    playedOn: "2026-09-19",
    play: 1,
    position: library.openGame("game-1").rulings[0]!.position,
    about: "flag, marginal",
    authorId: "observer-2",
    excerpt: { text: "holding · on the far edge", places: [[0, 7]] },
    at: { filmId: play!.filmId, timeSec: play!.snapSec },
  });
  expect(look(library, "linea late")).toEqual([["grade", "game-1", "late to the línea · both times"]]);
  // Only names: the game itself has them, and not all that was ever written about it.
  expect(look(library, "herons").map(([where]) => where)).toEqual(["game"]);
  expect(look(library, "holding gulls")).toEqual([]);
  expect(look(library, "nothing of the kind")).toEqual([]);
});

test("private notes are found by whoever wrote them alone", async () => {
  const library = await twoGames();
  expect(look(library, "signal")).toEqual([["note", "game-1", "ask about the signal"]]);
  const other = [...library.find({ words: ["signal"], observerId: "observer-2" })].flat();
  expect(other.map(({ excerpt }) => excerpt.text)).toEqual(["a signal of their own"]);
});

test("the service names another observer, gives the first two hundred, and can be told to stop", async () => {
  const library = await twoGames();
  const { found, more } = await findInLibrary(library, "holding");
  expect(found.map(({ author, places }) => [author, places])).toEqual([["Observer observer", [[0, 7]]]]);
  expect(more).toBe(false);
  expect((await findInLibrary(library, "linea")).found[0]).toMatchObject({ author: null, in: "grade" });
  expect(await findInLibrary(library, "   ")).toEqual({ found: [], more: false });
  const many = aWholeGame("game-3");
  const [ruling] = many.rulings;
  library.addGame({
    ...many,
    rulings: Array.from({ length: 250 }, (_, index) => ({ ...ruling!, id: `r-${index}`, foul: `offside ${index}` })),
  });
  const first = await findInLibrary(library, "offside");
  expect([first.found.length, first.more]).toEqual([200, true]);
  const stop = new AbortController();
  const looking = findInLibrary(library, "zebra", stop.signal);
  stop.abort(new Error("typed on"));
  await expect(looking).rejects.toThrow("typed on");
});

test("rows that another program has spoilt are passed over, and the rest is found", async () => {
  const library = await twoGames();
  const { path } = library;
  library.close();
  const db = new BetterSqlite3(path);
  db.prepare("UPDATE game SET crew_json = '{not json' WHERE id = 'game-2'").run();
  db.close();
  const again = await mustOpen(path);
  expect(look(again, "elodie")).toEqual([]);
  expect(look(again, "otters")).toHaveLength(1);
  expect(look(again, "holding")).toHaveLength(1);
});
