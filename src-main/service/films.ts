import { stat } from "node:fs/promises";
import { extname, basename, isAbsolute, resolve } from "node:path";
import { Failure } from "#core/contract/errors";
import { put } from "#core/game/changes";
import type { Film } from "#core/game/records";
import type { Edited } from "../store/history.ts";
import type { Library } from "../store/library.ts";
import { readingFile } from "./file-failure.ts";
import type { FilmState, FilmTools } from "./film-tools.ts";

export type Films = {
  /**
   * Keeps a film by reference. Throws INVALID (no whole path, or attached already), FILE_MISSING, FILE_UNREADABLE,
   * FILM_CODEC (cannot be played; details say the codec and the command that would help), NOT_FOUND (no such game).
   */
  readonly attach: (gameId: string, path: string) => Promise<Edited>;
  /**
   * Says where a film is now: its file, or a folder in which it is looked for by its content. Throws FILM_DIFFERS when
   * another film lies there, FILE_MISSING when it is not in the folder, and what `attach` throws of files.
   */
  readonly relocate: (gameId: string, filmId: string, path: string) => Promise<Edited>;
  readonly states: (films: readonly Film[]) => Promise<{ filmId: string; state: FilmState }[]>;
};

export function createFilms(library: Library, tools: FilmTools): Films {
  /** The path of the file that was named, or of the film in the folder that was named. */
  const fileOrFoundIn = async (given: string, film: Film): Promise<string> => {
    const { path, isFolder } = await placeOf(given);
    if (!isFolder) return filePath(path);
    const found = await readingFile(path, () => tools.find(film, path));
    if (found !== null) return found;
    throw new Failure(
      "FILE_MISSING",
      `The film “${film.label}” is not in ${path} or the folders in it: look in another folder, or name its file.`,
      { path },
    );
  };

  return {
    attach: async (gameId, givenPath) => {
      const path = await filePath(givenPath);
      const { films } = library.openGame(gameId);
      const probe = await readingFile(path, () => tools.probe(path));
      if (!probe.ok) {
        throw new Failure("FILM_CODEC", probe.sentence, {
          path,
          ...(probe.codec === null ? {} : { codec: probe.codec }),
          ...(probe.command === null ? {} : { command: probe.command }),
        });
      }
      const { fingerprint, sizeBytes } = await readingFile(path, () => tools.fingerprint(path));
      const twin = films.find((film) => film.fingerprint === fingerprint);
      if (twin !== undefined) {
        throw new Failure(
          "INVALID",
          `This film is in the game already, as “${twin.label}”. If its file has moved, say there where it is now.`,
          { path },
        );
      }
      const label = labelOf(path);
      const film: Film = {
        id: library.newId(),
        gameId,
        order: Math.min(9999, Math.max(0, ...films.map(({ order }) => order)) + 1),
        label,
        path,
        sizeBytes,
        fingerprint,
        lens: null,
        ...probe.facts,
      };
      return library.commit(gameId, `Attach film “${short(label)}”`, [put("film", null, film)]);
    },

    relocate: async (gameId, filmId, givenPath) => {
      const film = library.openGame(gameId).films.find((candidate) => candidate.id === filmId);
      if (film === undefined) throw new Failure("NOT_FOUND", "This film is no longer in the game.");
      const path = await fileOrFoundIn(givenPath, film);
      const { fingerprint } = await readingFile(path, () => tools.fingerprint(path));
      if (fingerprint !== film.fingerprint) {
        throw new Failure(
          "FILM_DIFFERS",
          `${path} is not the film “${film.label}”: its content is different, and frames measured on one would be wrong on the other. Choose the same file, or attach this one as a new film.`,
          { path },
        );
      }
      return library.commit(gameId, `Find film “${short(film.label)}” again`, [put("film", film, { ...film, path })]);
    },

    states: (films) => Promise.all(films.map(async (film) => ({ filmId: film.id, state: await tools.state(film) }))),
  };
}

async function placeOf(
  given: string,
): Promise<{ readonly path: string; readonly isFile: boolean; readonly isFolder: boolean }> {
  if (!isAbsolute(given))
    throw new Failure("INVALID", "Give the film's whole path, from the root or the drive.", { path: given });
  const path = resolve(given);
  const facts = await readingFile(path, () => stat(path));
  return { path, isFile: facts.isFile(), isFolder: facts.isDirectory() };
}

/** The path of a regular file as it will be kept. */
async function filePath(given: string): Promise<string> {
  const { path, isFile } = await placeOf(given);
  if (!isFile) throw new Failure("FILE_UNREADABLE", `${path} is not a film file: choose the file itself.`, { path });
  return path;
}

function labelOf(path: string): string {
  const name = basename(path, extname(path)).toWellFormed().trim();
  return name === "" ? "Film" : firstCharacters(name, 200);
}

/** A name as it fits into the label of an edit. */
const short = (label: string) => (label.length > 120 ? `${firstCharacters(label, 119)}…` : label);

/** At most so many UTF-16 units, without half a character at the end. */
function firstCharacters(text: string, most: number): string {
  const cut = text.slice(0, most);
  return cut.isWellFormed() ? cut : cut.slice(0, -1);
}
