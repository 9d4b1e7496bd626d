import { extname } from "node:path";
import type { FilmTools } from "../service/film-tools.ts";
import { probeContainer } from "./container-probe.ts";
import { fingerprintFilm } from "./fingerprint.ts";
import { filmState, findFilm } from "./locate.ts";

const filmEndings = new Set([".mp4", ".m4v", ".mov", ".mkv", ".webm", ".ts", ".m2ts", ".mts", ".avi"]);

/** What the service asks of film files on disk. */
export function createFilmTools(): FilmTools {
  return {
    fingerprint: fingerprintFilm,
    probe: probeContainer,
    isFilmName: (name) => filmEndings.has(extname(name).toLowerCase()),
    state: ({ path, sizeBytes, fingerprint }) => filmState({ path, sizeBytes, fingerprint }),
    find: ({ sizeBytes, fingerprint }, folder) => findFilm({ sizeBytes, fingerprint }, folder),
  };
}
