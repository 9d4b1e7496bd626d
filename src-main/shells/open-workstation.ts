/** Opens a library and the service over it, the same in both shells. */
import { randomUUID } from "node:crypto";
import { serveFilm } from "../film/serve-film.ts";
import { openLibrary } from "../store/open-library.ts";
import type { OpenedWorkstation, WorkstationOptions } from "./workstation.ts";

export async function openWorkstation({ libraryPath }: WorkstationOptions): Promise<OpenedWorkstation> {
  const opened = await openLibrary({ path: libraryPath, clock: () => new Date(), newId: randomUUID });
  if (!opened.ok) return { kind: "failed", sentence: opened.failure.sentence };
  const { library } = opened;
  return {
    kind: "open",
    workstation: {
      router: {},
      serveFilm: (request) => serveFilm(request, (filmId) => library.film(filmId)),
      close: () => library.close(),
    },
  };
}
