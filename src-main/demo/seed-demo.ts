import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { readFile } from "node:fs/promises";
import { pipeline } from "node:stream/promises";
import { Failure } from "#core/contract/errors";
import { put } from "#core/game/changes";
import type { Library } from "../store/library.ts";
import type { DemoGame } from "../service/create-service.ts";
import type { FilmTools } from "../service/film-tools.ts";
import { type DemoClicks, demoClicksShape } from "./demo-clicks.ts";
import { type DemoFilm, demoGameId, demoRecords } from "./demo-game.ts";

export type DemoSource = {
  readonly library: Library;
  readonly filmTools: FilmTools;
  /** Absolute paths of the film and the clicks that come with the program. */
  readonly filmPath: string;
  readonly clicksPath: string;
};

/** Remembers that this library has had its demo game, so that one the person removed does not come back by itself. */
const seededNote = "demo-game-seeded";

/**
 * Puts the demo game into a library that has never had one and holds no game yet, and finds its film again when the
 * program has moved. Does nothing to a library open for reading. Throws the library's failures, with nothing written.
 */
export async function seedDemo(source: DemoSource): Promise<DemoGame> {
  const { library } = source;
  const isThere = () => holdsGame(library, demoGameId);
  const add = async () => {
    const records = demoRecords(...(await readDemo(source)));
    // Two windows may have asked while the film was read.
    if (!isThere()) library.addGame(records);
  };

  if (!library.readOnly) {
    if (isThere()) await findFilmAgain(source);
    else if (library.note(seededNote) === null && library.listGames().length === 0) await add();
    if (library.note(seededNote) === null) library.setNote(seededNote, "yes");
  }
  return {
    gameId: () => (isThere() ? demoGameId : null),
    restore: async () => {
      if (!isThere()) await add();
      return demoGameId;
    },
  };
}

/** By its own row: a list of all games counts what is in each, and every window asks this when it opens. */
function holdsGame(library: Library, gameId: string): boolean {
  try {
    library.openCrew(gameId);
    return true;
  } catch (error) {
    if (error instanceof Failure && error.code === "NOT_FOUND") return false;
    throw error;
  }
}

async function readDemo({ filmPath, clicksPath, filmTools }: DemoSource): Promise<[DemoClicks, DemoFilm]> {
  const clicks = demoClicksShape.parse(JSON.parse(await readFile(clicksPath, "utf8")));
  if ((await sha256(filmPath)) !== clicks.filmSha256) throw new Error("the demo's clicks were made on another film");
  const probe = await filmTools.probe(filmPath);
  if (!probe.ok) throw new Error(`the demo film cannot be played: ${probe.sentence}`);
  return [clicks, { path: filmPath, ...(await filmTools.fingerprint(filmPath)), ...probe.facts }];
}

/** A program that was moved takes its film along; the same film under its new path is not another film. */
async function findFilmAgain({ library, filmPath, filmTools }: DemoSource): Promise<void> {
  for (const film of library.openGame(demoGameId).films) {
    if (film.path === filmPath || (await filmTools.state(film)) === "present") continue;
    const { fingerprint } = await filmTools.fingerprint(filmPath);
    if (fingerprint !== film.fingerprint) continue;
    library.commit(demoGameId, "Find the demo film again", [put("film", film, { ...film, path: filmPath })]);
  }
}

async function sha256(path: string): Promise<string> {
  const hash = createHash("sha256");
  await pipeline(createReadStream(path), hash);
  return hash.digest("hex");
}
