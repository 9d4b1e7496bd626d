/**
 * A library of invented games, made through the library's own door: the plays of the demo game that have several moments, over
 * and over on a film that shows them over and over, with its stakes, and marks up to a number a play; grades of everybody of the
 * crew in every play by several observers; rulings; and games that were corrected again and again, whose history is as long.
 */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { put } from "#core/game/changes";
import type { CrewMember, Criterion, Film, GameRecords, Grade, Mark, Moment, Ruling } from "#core/game/records";
import { demoClicksShape } from "../../src-main/demo/demo-clicks.ts";
import { demoRecords } from "../../src-main/demo/demo-game.ts";
import { probeContainer } from "../../src-main/film/container-probe.ts";
import { fingerprintFilm } from "../../src-main/film/fingerprint.ts";
import type { Library } from "../../src-main/store/library.ts";
import { openLibrary } from "../../src-main/store/open-library.ts";

export type InventedSize = {
  readonly games: number;
  readonly playsPerGame: number;
  readonly marksPerPlay: number;
  /** Every so many games one was corrected, in so many commits. */
  readonly correctedEvery: number;
  readonly commitsOfCorrected: number;
};

/** What lies in the library, counted as it was made. */
export type InventedCounts = {
  readonly titles: readonly string[];
  readonly plays: number;
  readonly moments: number;
  readonly marks: number;
  readonly grades: number;
  readonly commits: number;
};

export const demoFilmPath = fileURLToPath(new URL("../../src-main/demo/film.mp4", import.meta.url));
const clicksPath = fileURLToPath(new URL("../../src-main/demo/clicks.json", import.meta.url));
/** Length of one round of the demo film. */
export const roundFrames = 2223;
const framesPerSec = 30;

const givenNames = ["Tamsin", "Ivo", "Petra", "Osric", "Linnet", "Casper", "Wenna", "Hartmut", "Sidony", "Otho", "Maud", "Piers"]; // prettier-ignore
const familyNames = ["Orrelby", "Brandwick", "Quillane", "Hallowmere", "Sawbridge", "Dunwick", "Askew", "Pillgrove", "Crake", "Fenn", "Thistlewood", "Marram"]; // prettier-ignore
const positions = ["R", "LJ", "FJ", "BJ"];
const gradedIn: readonly Criterion[] = ["station", "key", "look"];
const observers = 6;

export const gameTitle = (number: number): string => `Herons v Lanterns ${String(number).padStart(2, "0")}`;

/** Twelve officials a position, in turns that differ between positions: nobody works with the same three all season. */
function crewOf(number: number): CrewMember[] {
  return positions.map((position, seat) => {
    const turn = (number * (2 * seat + 1) + seat) % 12;
    const [given, family] = [givenNames[turn], familyNames[(turn + 3 * seat) % 12]];
    return { position, name: `${given ?? ""} ${family ?? ""}` };
  });
}

type Stock = { readonly demo: GameRecords; readonly film: Omit<Film, "id" | "gameId" | "order" | "label" | "lens"> };

/** The demo game's records on a film that holds its own some times over. */
export async function readStock(filmPath: string): Promise<Stock> {
  const clicks = demoClicksShape.parse(JSON.parse(readFileSync(clicksPath, "utf8")));
  const probe = await probeContainer(filmPath);
  if (!probe.ok) throw new Error(probe.sentence);
  const film = { path: filmPath, ...(await fingerprintFilm(filmPath)), ...probe.facts };
  return { demo: demoRecords(clicks, film), film };
}

export function inventedGame({ demo, film }: Stock, number: number, size: InventedSize, authorId: string): GameRecords {
  const gameId = `game-${String(number).padStart(4, "0")}`;
  const filmId = `${gameId}-film`;
  const momentsOf = Map.groupBy(demo.moments, ({ playId }) => playId);
  const stakesOf = Map.groupBy(demo.stakes, ({ momentId }) => momentId);
  const marksOf = Map.groupBy(demo.marks, ({ momentId }) => momentId);
  const models = demo.plays.filter(({ id }) => (momentsOf.get(id)?.length ?? 0) > 1);
  const plays: GameRecords["plays"][number][] = [];
  const moments: Moment[] = [];
  const stakes: GameRecords["stakes"][number][] = [];
  const marks: Mark[] = [];
  for (let index = 0; index < size.playsPerGame; index++) {
    const model = models[index % models.length]!;
    const round = Math.floor(index / models.length);
    const laterSec = (round * roundFrames) / framesPerSec;
    const later = (sec: number | null) => (sec === null ? null : sec + laterSec);
    const playId = `${gameId}-play-${index + 1}`;
    plays.push({
      ...model,
      id: playId,
      gameId,
      filmId,
      number: index + 1,
      quarter: 1 + Math.floor((4 * index) / size.playsPerGame),
      series: 1 + Math.floor(index / 4),
      startSec: model.startSec + laterSec,
      endSec: model.endSec + laterSec,
      snapSec: later(model.snapSec),
      releaseSec: later(model.releaseSec),
      catchSec: later(model.catchSec),
      deadSec: later(model.deadSec),
    });
    const own = momentsOf.get(model.id) ?? [];
    for (const [turn, moment] of own.entries()) {
      const momentId = `${playId}-moment-${turn + 1}`;
      const frameIndex = moment.frameIndex + round * roundFrames;
      moments.push({ ...moment, id: momentId, gameId, playId, filmId, frameIndex, timeSec: moment.timeSec + laterSec });
      for (const [at, stake] of (stakesOf.get(moment.id) ?? []).entries())
        stakes.push({ ...stake, id: `${momentId}-stake-${at + 1}`, gameId, momentId });
      const clicked = marksOf.get(moment.id) ?? [];
      const share = Math.floor(((turn + 1) * size.marksPerPlay) / own.length) - Math.floor((turn * size.marksPerPlay) / own.length); // prettier-ignore
      const players = clicked.filter(({ subject }) => subject.kind === "player");
      for (let at = 0; at < share; at++) {
        // More players than the demo has stand a few pixels beside those it has.
        const extra = at - clicked.length;
        const beside = players[(extra + players.length) % players.length];
        const mark =
          clicked[at] ??
          (beside && {
            ...beside,
            subject: { kind: "player" as const, side: "B" as const, role: "defender" as const },
            click: { ...beside.click, uPx: beside.click.uPx + 9 + 4 * Math.floor(extra / players.length) },
          });
        if (mark) marks.push({ ...mark, id: `${momentId}-mark-${at + 1}`, gameId, momentId });
      }
    }
  }
  const grades = plays.flatMap((play, index) =>
    positions.flatMap((position, seat) =>
      gradedIn.map((criterion, column): Grade => {
        const points = 2 + ((number * 5 + index * 7 + seat * 3 + column * 2 + (number % 12) * seat) % 3);
        return {
          id: `${play.id}-grade-${position}-${criterion}`,
          gameId,
          playId: play.id,
          position,
          criterion,
          scaleId: "five-points",
          points,
          suggested: null,
          reason: "",
          comment: index % 10 === 0 ? "as the book asks" : "",
          momentIds: [],
          authorId,
          gradedAt: "2026-09-21T18:00:00.000Z",
        };
      }),
    ),
  );
  const rulings = plays
    .filter((_, index) => index % 12 === 5)
    .map(({ id }): Ruling => ({
      id: `${id}-ruling`,
      gameId,
      playId: id,
      kind: "flag",
      class: number % 3 === 0 ? "incorrect" : "correct",
      foul: "Flag guarding",
      position: "LJ",
      seers: ["LJ", "R"],
      momentId: null,
      spotGivenXYards: 41.5,
      comment: "",
      authorId,
      ruledAt: "2026-09-21T18:05:00.000Z",
    }));
  const month = String(3 + Math.floor((number - 1) / 28)).padStart(2, "0");
  const day = String(1 + ((number - 1) % 28)).padStart(2, "0");
  return {
    ...demo,
    game: {
      ...demo.game,
      id: gameId,
      title: gameTitle(number),
      playedOn: `2026-${month}-${day}`,
      crew: crewOf(number),
    },
    films: [{ ...film, id: filmId, gameId, order: 1, label: "Film", lens: null }],
    plays,
    moments,
    stakes,
    marks,
    grades,
    rulings,
  };
}

/** Moves marks of a game a pixel there and back, each move an edit of its own as a person makes it. */
function correct(library: Library, { game, marks }: GameRecords, commits: number): void {
  const movable = marks.slice(0, Math.ceil(commits / 2));
  for (let index = 0; index < commits; index++) {
    const mark = movable[index % movable.length]!;
    const moved = { ...mark, click: { ...mark.click, uPx: mark.click.uPx + 1 } };
    const isBack = index >= movable.length;
    library.commit(game.id, "Move a mark", [isBack ? put("mark", moved, mark) : put("mark", mark, moved)]);
  }
}

/** Makes a library at a path where none is. The observer of the first of every six games is the library's own. */
export async function makeInventedLibrary(path: string, filmPath: string, size: InventedSize): Promise<InventedCounts> {
  const stock = await readStock(filmPath);
  const opened = await openLibrary({ path, clock: () => new Date(), newId: () => crypto.randomUUID() });
  if (!opened.ok) throw new Error(opened.failure.sentence);
  const { library } = opened;
  const own = library.note("observer-id") ?? "";
  const counts = { titles: [] as string[], plays: 0, moments: 0, marks: 0, grades: 0, commits: 0 };
  for (let number = 1; number <= size.games; number++) {
    const turn = (number - 1) % observers;
    const records = inventedGame(stock, number, size, turn === 0 ? own : `observer-${turn}`);
    library.addGame(records);
    counts.titles.push(records.game.title);
    for (const family of ["plays", "moments", "marks", "grades"] as const) counts[family] += records[family].length;
    if ((number - 1) % size.correctedEvery !== 0) continue;
    correct(library, records, size.commitsOfCorrected);
    counts.commits += size.commitsOfCorrected;
  }
  library.close();
  return counts;
}
