import { stat } from "node:fs/promises";
import { extname } from "node:path";
import type { FilmTools } from "../service/film-tools.ts";
import { probeContainer } from "./container-probe.ts";
import { fingerprintFilm } from "./fingerprint.ts";

const filmEndings = new Set([".mp4", ".m4v", ".mov", ".mkv", ".webm", ".ts", ".m2ts", ".mts", ".avi"]);

/** What the service asks of film files on disk. */
export function createFilmTools(): FilmTools {
  return {
    fingerprint: fingerprintFilm,
    probe: probeContainer,
    isFilmName: (name) => filmEndings.has(extname(name).toLowerCase()),
    state: async ({ path, sizeBytes, fingerprint }) => {
      try {
        const found = await stat(path);
        if (!found.isFile()) return "missing";
        if (found.size !== sizeBytes) return "changed";
        return (await fingerprintFilm(path)).fingerprint === fingerprint ? "present" : "changed";
      } catch {
        // A file that may not be read, or went while it was read, is as good as gone: the game opens all the same.
        return "missing";
      }
    },
  };
}
