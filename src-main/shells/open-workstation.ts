/** Opens a library and the service over it, the same in both shells. */
import { randomUUID } from "node:crypto";
import { existsSync, readFileSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";
import { seedDemo } from "../demo/seed-demo.ts";
import { createFilmTools } from "../film/film-tools.ts";
import { serveFilm } from "../film/serve-film.ts";
import { createService, type DemoGame } from "../service/create-service.ts";
import { reportWriters } from "../reports/report-writers.ts";
import type { FilmTools } from "../service/film-tools.ts";
import type { Library } from "../store/library.ts";
import { openLibrary } from "../store/open-library.ts";
import type { OpenedWorkstation, WorkstationOptions } from "./workstation.ts";

/** `programFolder` is the folder of package.json, in which the demo's film lies too. */
export async function openWorkstation(
  programFolder: string,
  { libraryPath, pickFilm, showFolder }: WorkstationOptions,
): Promise<OpenedWorkstation> {
  const opened = await openLibrary({ path: libraryPath, clock: () => new Date(), newId: randomUUID });
  if (!opened.ok) return { kind: "failed", sentence: opened.failure.sentence };
  const { library } = opened;
  const filmTools = createFilmTools();
  const router = createService({
    library,
    filmTools,
    shell: { pickFilm, showFolder, homeFolder: homedir() },
    reportWriters: () => reportWriters(programFolder),
    demo: await demoOf(programFolder, library, filmTools),
    version: versionOf(programFolder),
    log: (line, error) => console.error(line, error),
  });
  return {
    kind: "open",
    workstation: {
      router,
      serveFilm: (request) => serveFilm(request, (filmId) => library.film(filmId)),
      close: () => library.close(),
    },
  };
}

/** The demo's film and clicks lie beside the program; a library without them is still a library. */
async function demoOf(programFolder: string, library: Library, filmTools: FilmTools): Promise<DemoGame | null> {
  const folder = join(programFolder, "src-main", "demo");
  const [filmPath, clicksPath] = [join(folder, "film.mp4"), join(folder, "clicks.json")];
  if (!existsSync(filmPath) || !existsSync(clicksPath)) return null;
  try {
    return await seedDemo({ library, filmTools, filmPath, clicksPath });
  } catch (error) {
    console.error("The demo game could not be put into the library; everything else is there.", error);
    return null;
  }
}

function versionOf(programFolder: string): string {
  const { version } = JSON.parse(readFileSync(join(programFolder, "package.json"), "utf8")) as { version: string };
  return version;
}
