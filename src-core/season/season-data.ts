import type { CrewMember, Criterion } from "../game/records.ts";
import { type OwnScale, type Scale, scaleById } from "../grading/scales.ts";
import type { SeasonGrade } from "./season-grade.ts";

/** A grade as a season takes it in: a library of many games sends no more of each than its totals need. */
export type SeasonRow = {
  readonly gameId: string;
  /** Number of the play in its game; null: the whole game. */
  readonly play: number | null;
  readonly position: string;
  readonly criterion: Criterion;
  readonly scaleId: string;
  readonly points: number | null;
  readonly authorId: string;
};

export type SeasonGame = {
  readonly id: string;
  readonly title: string;
  readonly playedOn: string | null;
  readonly level: string;
  readonly crew: readonly CrewMember[];
};

export type Observer = { readonly id: string; readonly name: string };

/** Everything of a library that a season is made of. */
export type SeasonData = {
  readonly games: readonly SeasonGame[];
  readonly rows: readonly SeasonRow[];
  readonly observers: readonly Observer[];
  readonly scales: readonly OwnScale[];
};

/** That two who stand as different people are one: `id` is taken for `as`. A person says so, and can unsay it. */
export type SamePerson = { readonly id: string; readonly as: string };

/** Someone who was on a crew, or an observer, under all the names and ids that are theirs. */
export type Person = {
  readonly id: string;
  readonly name: string;
  readonly otherNames: readonly string[];
  readonly games: number;
  readonly positions: readonly string[];
};

/**
 * What tells an official across games: their name where the crew has one, for every library makes ids of its own; the id where the
 * name was left off, and the name again where another game has both. Null for nobody named.
 */
export type KeyOf = (member: CrewMember) => string | null;

export function crewKeys(games: readonly Pick<SeasonGame, "crew">[]): KeyOf {
  const nameOf = new Map<string, string>();
  for (const { crew } of games)
    for (const { personId, name } of crew) {
      const said = plainName(name);
      if (personId === undefined || said === "") continue;
      const known = nameOf.get(personId);
      // Of several names the same one is taken whatever the order of the games.
      if (known === undefined || said < known) nameOf.set(personId, said);
    }
  return ({ personId, name }) => {
    const said = plainName(name) || (personId === undefined ? "" : (nameOf.get(personId) ?? ""));
    if (said !== "") return `name ${said}`;
    return personId === undefined ? null : `id ${personId}`;
  };
}

/** Without capitals, accents and doubled spaces: how a name is compared, never how it is written. */
export function plainName(name: string): string {
  return name
    .normalize("NFD")
    .replaceAll(/\p{M}/gu, "")
    .toLocaleLowerCase("en")
    .replaceAll(/[^\p{L}\p{N}]+/gu, " ")
    .trim();
}

/** Follows what a person has said of who is one with whom, to its end; a circle ends where it began. */
export function resolved(id: string, links: readonly SamePerson[]): string {
  const byId = new Map(links.map((link) => [link.id, link.as]));
  const way: string[] = [];
  let at = id;
  while (!way.includes(at)) {
    way.push(at);
    const next = byId.get(at);
    if (next === undefined) return at;
    at = next;
  }
  return way.slice(way.indexOf(at)).toSorted()[0] ?? id;
}

/** Everybody who was on a crew, by id; the name most games have for them is theirs. */
export function officialsOf(games: readonly SeasonGame[], links: readonly SamePerson[]): Person[] {
  const people = new Map<string, { names: Map<string, number>; games: Set<string>; positions: Set<string> }>();
  const keyOf = crewKeys(games);
  for (const game of games)
    for (const member of game.crew) {
      const key = keyOf(member);
      if (key === null) continue;
      const id = resolved(key, links);
      const person = people.get(id) ?? { names: new Map(), games: new Set(), positions: new Set() };
      const name = member.name.trim();
      if (name !== "") person.names.set(name, (person.names.get(name) ?? 0) + 1);
      person.games.add(game.id);
      person.positions.add(member.position);
      people.set(id, person);
    }
  return [...people]
    .map(([id, { names, games: played, positions }]) => {
      const [name, ...otherNames] = [...names]
        .toSorted((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))
        .map(([one]) => one);
      return {
        id,
        name: name ?? `Official ${id.slice(-6)}`,
        otherNames,
        games: played.size,
        positions: [...positions].toSorted(),
      };
    })
    .toSorted((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : a.id < b.id ? -1 : 1));
}

/** Two who may be one by their names: the same letters, the same words in another order, or a letter or two apart. */
export type LikelyPair = { readonly a: Person; readonly b: Person; readonly why: string };

/** Longest difference in letters between names that are proposed as one. */
const mostLettersApart = 2;

export function likelyPairs(people: readonly Person[]): LikelyPair[] {
  const plain = people.map(({ name }) => plainName(name));
  return people.flatMap((a, i) =>
    people.slice(i + 1).flatMap((b, k): LikelyPair[] => {
      const [first, second] = [plain[i] ?? "", plain[i + 1 + k] ?? ""];
      if (first === second) return [{ a, b, why: "the same name" }];
      const words = (name: string) => name.split(" ").toSorted().join(" ");
      if (words(first) === words(second)) return [{ a, b, why: "the same words in another order" }];
      const apart = lettersApart(first, second);
      return apart <= mostLettersApart && Math.min(first.length, second.length) > 5
        ? [{ a, b, why: apart === 1 ? "one letter apart" : "two letters apart" }]
        : [];
    }),
  );
}

/** Levenshtein's distance, given up beyond what is asked for. */
function lettersApart(a: string, b: string): number {
  if (Math.abs(a.length - b.length) > mostLettersApart) return mostLettersApart + 1;
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next[j] = Math.min(
        (next[j - 1] ?? 0) + 1,
        (row[j] ?? 0) + 1,
        (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1),
      );
    row = next;
  }
  return row[b.length] ?? 0;
}

/** The scale that most grades are on, with how many are on others; null without grades on any known scale. */
export function seasonScale({ rows, scales }: SeasonData): { readonly scale: Scale; readonly onOthers: number } | null {
  const counts = new Map<string, number>();
  for (const { scaleId } of rows) counts.set(scaleId, (counts.get(scaleId) ?? 0) + 1);
  const [best] = [...counts]
    .filter(([id]) => scaleById(id, scales) !== undefined)
    .toSorted((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1));
  const scale = best && scaleById(best[0], scales);
  return scale && best ? { scale, onOthers: rows.length - best[1] } : null;
}

/** What a person has said of who, and which game, is one with which. */
export type Links = {
  readonly officials: readonly SamePerson[];
  readonly observers: readonly SamePerson[];
  readonly games: readonly SamePerson[];
};

export type SeasonGrades = {
  readonly grades: readonly SeasonGrade[];
  /** Grades of officials that no game names, which no total can hold. */
  readonly unnamed: number;
};

/** The grades of one scale as totals take them: who was at a position is told by the game's crew. */
export function seasonGrades(
  { games, rows }: Pick<SeasonData, "games" | "rows">,
  scaleId: string,
  links: Links,
): SeasonGrades {
  const whoAt = new Map<string, string>();
  const keyOf = crewKeys(games);
  for (const game of games)
    for (const member of game.crew) {
      const key = keyOf(member);
      if (key !== null) whoAt.set(`${game.id}/${member.position}`, resolved(key, links.officials));
    }
  const authors = new Map<string, string>();
  const authorOf = (id: string) => {
    const known = authors.get(id) ?? resolved(id, links.observers);
    authors.set(id, known);
    return known;
  };
  const gameIds = new Map<string, string>();
  const gameOf = (id: string) => {
    const known = gameIds.get(id) ?? resolved(id, links.games);
    gameIds.set(id, known);
    return known;
  };
  const grades: SeasonGrade[] = [];
  let unnamed = 0;
  for (const row of rows) {
    if (row.scaleId !== scaleId) continue;
    const officialId = whoAt.get(`${row.gameId}/${row.position}`);
    if (officialId === undefined) {
      unnamed++;
      continue;
    }
    grades.push({
      officialId,
      position: row.position,
      criterion: row.criterion,
      observerId: authorOf(row.authorId),
      gameId: gameOf(row.gameId),
      playId: row.play === null ? null : `${gameOf(row.gameId)} ${row.play}`,
      points: row.points,
    });
  }
  return { grades, unnamed };
}

/**
 * Games that observers made each for themselves and that may be one: of one day and one title. They are one play by play only where both
 * number the plays alike, so that a person must say it.
 */
export function likelyGames(
  games: readonly SeasonGame[],
  links: readonly SamePerson[],
): { readonly a: SeasonGame; readonly b: SeasonGame }[] {
  return [...Map.groupBy(games, ({ playedOn, title }) => `${playedOn} ${plainName(title)}`)].flatMap(([, same]) => {
    const [first, ...others] = same.toSorted((a, b) => (a.id < b.id ? -1 : 1));
    if (!first || first.playedOn === null) return [];
    return others
      .filter(({ id }) => resolved(id, links) !== resolved(first.id, links))
      .map((other) => ({ a: first, b: other }));
  });
}

/** Ids of the games by their dates; those without one are left out. */
export function gamesInOrder(games: readonly SeasonGame[]): string[] {
  return games
    .filter(({ playedOn }) => playedOn !== null)
    .toSorted((a, b) => (a.playedOn ?? "").localeCompare(b.playedOn ?? "") || (a.id < b.id ? -1 : 1))
    .map(({ id }) => id);
}
