import { createHash } from "node:crypto";
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import type { FilmTools } from "../../../src-main/service/film-tools.ts";

/**
 * Film tools over small files of the test's own: a "film" is a text of the form `film WIDTHxHEIGHT SECONDS CODEC`, known
 * by its SHA-256. What the service does with films is tested with these; real containers are the film side's tests.
 */
export const contentFilmTools: FilmTools = {
  fingerprint: async (path) => {
    const content = await readFile(path);
    return { fingerprint: createHash("sha256").update(content).digest("hex"), sizeBytes: content.length };
  },
  probe: async (path) => {
    const text = await readFile(path, "utf8");
    const parts = /^film (\d+)x(\d+) ([\d.]+) (\S+)/u.exec(text);
    if (parts === null) return { ok: false, sentence: `${path} is no film.`, codec: null, command: null };
    const codec = parts[4] ?? "";
    if (codec === "mpeg2") {
      return {
        ok: false,
        sentence: `${path} holds MPEG-2, which cannot be played here.`,
        codec,
        command: `ffmpeg -i "${path}" out.mp4`,
      };
    }
    return {
      ok: true,
      facts: { widthPx: Number(parts[1]), heightPx: Number(parts[2]), durationSec: Number(parts[3]), codec },
    };
  },
  state: async (film) => {
    try {
      const { fingerprint } = await contentFilmTools.fingerprint(film.path);
      return fingerprint === film.fingerprint ? "present" : "changed";
    } catch {
      return "missing";
    }
  },
  find: async (film, folder) => {
    for (const name of await readdir(folder)) {
      const path = join(folder, name);
      if ((await contentFilmTools.state({ ...film, path })) === "present") return path;
    }
    return null;
  },
  isFilmName: (name) => /\.(?:mp4|mov|m4v|mkv|webm|ts|m2ts|mts|avi)$/iu.test(name),
};
