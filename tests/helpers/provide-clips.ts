import type { TestProject } from "vitest/node";
import { makeLentFilm } from "./lent-film.ts";
import { makeClips, makeOddities, type Clip } from "./clips.ts";

declare module "vitest" {
  interface ProvidedContext {
    clips: Clip[];
  }
}

/** Global setup of the browser tests: the clips are made once, and tests get their descriptions with `inject`. */
export async function setup(project: TestProject): Promise<void> {
  await makeOddities();
  await makeLentFilm();
  project.provide("clips", await makeClips());
}
