/** A library's games and grades as a season takes them in, with who is who; and the invented season. */
import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { scales } from "#core/grading/scales";
import { demoSeason } from "#core/season/demo-season";
import {
  crewKeys,
  gamesInOrder,
  likelyGames,
  likelyPairs,
  officialsOf,
  plainName,
  resolved,
  type SeasonData,
  type SeasonGame,
  seasonGrades,
  type SeasonRow,
  seasonScale,
} from "#core/season/season-data";
import { seasonTotals } from "#core/season/season-totals";
import { positionsOf, rankWords, standingRows } from "#core/season/season-words";

const game = (id: string, crew: SeasonGame["crew"], playedOn: string | null = "2026-09-19"): SeasonGame => ({
  id,
  title: "Herons v Lanterns",
  playedOn,
  level: "",
  crew,
});
const row = (gameId: string, with_: Partial<SeasonRow> = {}): SeasonRow => ({
  gameId,
  play: 1,
  position: "LJ",
  criterion: "station",
  scaleId: "five-points",
  points: 4,
  authorId: "observer-1",
  ...with_,
});
const none = { officials: [], observers: [], games: [] };

describe("who is who", () => {
  it("is told by the name without capitals, accents and spaces, whatever ids libraries made; by the id where a name was left off", () => {
    const ivo = { position: "R", name: "Ivo Brandwick", personId: "p1" };
    const keyOf = crewKeys([game("g1", [ivo]), game("g2", [{ position: "LJ", name: "", personId: "p2" }])]);
    expect(keyOf(ivo)).toBe(keyOf({ position: "LJ", name: " IVO  brándwick", personId: "p9" }));
    expect(keyOf({ position: "R", name: "", personId: "p1" })).toBe(keyOf(ivo));
    expect(keyOf({ position: "R", name: "", personId: "p2" })).toBe("id p2");
    expect(keyOf({ position: "R", name: "  " })).toBeNull();
    expect(plainName("Jessop-Vale, Brióne")).toBe("jessop vale brione");
  });

  it("two put together count as one, in a chain too, and a circle ends", () => {
    const links = [
      { id: "a", as: "b" },
      { id: "b", as: "c" },
    ];
    expect(resolved("a", links)).toBe("c");
    expect(resolved("z", links)).toBe("z");
    const circle = [...links, { id: "c", as: "a" }];
    expect(new Set(["a", "b", "c"].map((id) => resolved(id, circle))).size).toBe(1);
    const games = [
      game("g1", [{ position: "LJ", name: "Ivo Brandwick" }]),
      game("g2", [{ position: "FJ", name: "I. Brandwick" }]),
    ];
    const [first, second] = games.map(({ crew }) => crewKeys(games)(crew[0]!)!);
    expect(officialsOf(games, [])).toHaveLength(2);
    expect(officialsOf(games, [{ id: second!, as: first! }])).toMatchObject([
      { id: first, games: 2, positions: ["FJ", "LJ"], otherNames: expect.arrayContaining([expect.any(String)]) },
    ]);
  });

  it("whoever circles, everybody of the circle comes to the same one", () => {
    const id = fc.constantFrom("a", "b", "c", "d");
    fc.assert(
      fc.property(fc.uniqueArray(fc.record({ id, as: id }), { selector: (one) => one.id }), (links) => {
        for (const link of links) expect(resolved(link.id, links)).toBe(resolved(link.as, links));
      }),
      { seed: 11, numRuns: 500 },
    );
  });

  it("proposes those that may be one by their names, and not those that only resemble", () => {
    const people = officialsOf(
      ["Ivo Brandwick", "Brandwick Ivo", "Ivo Brandwyck", "Iva Brendwick", "Osric Hallowmere", "Petra Quillane"].map(
        (name, index) => game(`g${index}`, [{ position: "LJ", name }]),
      ),
      [],
    );
    const pairs = likelyPairs(people).map(({ a, b, why }) => `${[a.name, b.name].toSorted().join(" + ")}: ${why}`);
    expect(pairs).toEqual(
      expect.arrayContaining([
        "Brandwick Ivo + Ivo Brandwick: the same words in another order",
        "Ivo Brandwick + Ivo Brandwyck: one letter apart",
        "Iva Brendwick + Ivo Brandwick: two letters apart",
      ]),
    );
    expect(pairs.some((pair) => /Hallowmere|Quillane/u.test(pair))).toBe(false);
  });
});

describe("the grades of a season", () => {
  const games = [
    game("g1", [{ position: "LJ", name: "Ivo Brandwick" }]),
    game("g2", [{ position: "LJ", name: "" }], null),
  ];
  const data: SeasonData = {
    games,
    rows: [row("g1"), row("g1", { play: null, points: null }), row("g1", { scaleId: "hundred" }), row("g2")],
    observers: [],
    scales: [],
  };

  it("are of the scale that most are on; the others and those of nobody named are counted, not totalled", () => {
    expect(seasonScale(data)).toMatchObject({ scale: { id: "five-points" }, onOthers: 1 });
    const { grades, unnamed } = seasonGrades(data, "five-points", none);
    expect(unnamed).toBe(1);
    expect(grades).toMatchObject([
      { officialId: "name ivo brandwick", position: "LJ", points: 4, playId: "g1 1" },
      { points: null, playId: null },
    ]);
    expect(seasonScale({ ...data, rows: [] })).toBeNull();
    expect(gamesInOrder(games)).toEqual(["g1"]);
  });

  it("of two observers who are one are that one's", () => {
    const rows = [row("g1"), row("g1", { play: 2, authorId: "observer-2" })];
    const { grades } = seasonGrades({ games, rows }, "five-points", {
      ...none,
      observers: [{ id: "observer-2", as: "observer-1" }],
    });
    expect(new Set(grades.map(({ observerId }) => observerId))).toEqual(new Set(["observer-1"]));
  });
});

describe("a game that two observers made each for themselves", () => {
  const crew = [{ position: "LJ", name: "Ivo Brandwick" }];
  const games = [game("g1", crew), game("g2", crew), game("g3", crew, "2026-09-26"), game("g4", crew, null)];
  it("is proposed as one by day and title, and is one when a person says so: its plays stand together by number", () => {
    expect(likelyGames(games, []).map(({ a, b }) => [a.id, b.id])).toEqual([["g1", "g2"]]);
    const links = [{ id: "g2", as: "g1" }];
    expect(likelyGames(games, links)).toEqual([]);
    const rows = [row("g1"), row("g2", { authorId: "observer-2" })];
    const apart = seasonGrades({ games, rows }, "five-points", none).grades;
    expect(new Set(apart.map(({ gameId }) => gameId)).size).toBe(2);
    const together = seasonGrades({ games, rows }, "five-points", { ...none, games: links }).grades;
    expect(new Set(together.map(({ playId }) => playId))).toEqual(new Set(["g1 1"]));
  });
});

describe("the invented season", () => {
  const data = demoSeason();
  it("is the same by its seed, with thirty officials, eight observers and forty games, and names nobody twice", () => {
    expect(demoSeason()).toEqual(data);
    expect(demoSeason(1)).not.toEqual(data);
    expect(officialsOf(data.games, [])).toHaveLength(30);
    expect(new Set(officialsOf(data.games, []).map(({ name }) => name)).size).toBe(30);
    expect(data.observers).toHaveLength(8);
    expect(data.games).toHaveLength(40);
    expect(likelyPairs(officialsOf(data.games, []))).toEqual([]);
    expect(likelyGames(data.games, [])).toEqual([]);
  });

  it("is totalled by position, the best first, withheld last", () => {
    const { grades } = seasonGrades(data, "five-points", none);
    const totals = seasonTotals(grades, {
      scale: scales[0],
      gamesInOrder: gamesInOrder(data.games),
      minimum: { grades: 20, games: 6, observers: 2 },
      topK: 4,
      seed: 7,
      draws: 500,
    });
    expect(positionsOf(totals)).toEqual(["BJ", "FJ", "LJ", "R"]);
    const rows = standingRows(totals, "LJ", scales[0]);
    const values = rows.flatMap(({ total }) => total.adjusted?.value ?? []);
    expect(values).toEqual(values.toSorted((a, b) => b - a));
    const withheld = rows.findIndex(({ total }) => total.adjusted === null);
    expect(withheld).toBe(values.length);
    expect(rows.slice(withheld).every(({ place }) => place === null)).toBe(true);
    const best = standingRows(totals, "LJ", { best: "least" }).flatMap(({ total }) => total.adjusted?.value ?? []);
    expect(best).toEqual(values.toReversed());
    expect(rankWords({ rank: 2, rankAtWorst: 2 })).toBe("2");
    expect(rankWords({ rank: 2, rankAtWorst: 5 })).toBe("2 to 5");
  });
});
