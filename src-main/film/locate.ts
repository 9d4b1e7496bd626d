import type { Dirent } from "node:fs";
import { readdir, stat } from "node:fs/promises";
import { join } from "node:path";
import type { FilmState } from "../service/film-tools.ts";
import { fingerprintFilm } from "./fingerprint.ts";

/** What a film kept by reference is known by; `sizeBytes` and `fingerprint` are those of `fingerprintFilm`. */
export type KnownFilm = { readonly sizeBytes: number; readonly fingerprint: string };

/** Folders below the one named that are looked into, and entries looked at before a search ends without a find. */
const deepestLevel = 5;
const entriesLimit = 50_000;

/**
 * Whether the film still lies where it was. A file that may not be read, or goes while it is read, is "missing": a game
 * opens all the same.
 */
export async function filmState({ path, ...film }: KnownFilm & { readonly path: string }): Promise<FilmState> {
  try {
    const found = await stat(path);
    if (!found.isFile()) return "missing";
    return (await isThatFilm(path, found.size, film)) ? "present" : "changed";
  } catch {
    return "missing";
  }
}

/**
 * Finds a film that moved, by its content and under whatever name, in a folder or the folders in it: nearer ones first.
 * Only files of its size are opened, so that a season of films takes no longer than listing it. Null when it is not
 * there. Links to folders are not followed (they may lead in a circle), folders that may not be read are passed over;
 * rejects with the file system's own error when the named folder cannot be read.
 */
export async function findFilm(film: KnownFilm, folder: string): Promise<string | null> {
  let entriesLeft = entriesLimit;
  let level: readonly string[] = [folder];
  for (let depth = 0; depth <= deepestLevel && level.length > 0; depth++) {
    const below: string[] = [];
    for (const place of level) {
      const entries = await listing(place, depth === 0);
      for (const entry of entries) {
        if (entriesLeft-- === 0) return null;
        const path = join(place, entry.name);
        if (entry.isDirectory()) below.push(path);
        else if (await isFilmAt(path, film)) return path;
      }
    }
    level = below;
  }
  return null;
}

async function listing(folder: string, mustBeReadable: boolean): Promise<Dirent[]> {
  try {
    const entries = await readdir(folder, { withFileTypes: true });
    return entries.filter(({ name }) => !name.startsWith(".")).toSorted((a, b) => (a.name < b.name ? -1 : 1));
  } catch (error) {
    if (mustBeReadable) throw error;
    return [];
  }
}

async function isFilmAt(path: string, film: KnownFilm): Promise<boolean> {
  try {
    const found = await stat(path);
    return found.isFile() && (await isThatFilm(path, found.size, film));
  } catch {
    return false;
  }
}

async function isThatFilm(path: string, sizeBytes: number, film: KnownFilm): Promise<boolean> {
  return sizeBytes === film.sizeBytes && (await fingerprintFilm(path)).fingerprint === film.fingerprint;
}
