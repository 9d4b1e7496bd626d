import type { TestProject } from "vitest/node";
import { makeClips, makeOddities, type Clip } from "./clips.ts";

declare module "vitest" {
  interface ProvidedContext {
    clips: Clip[];
  }
}

/** Global setup of the browser tests: the clips are made once, and tests get their descriptions with `inject`. */
export async function setup(project: TestProject): Promise<void> {
  await makeOddities();
  project.provide("clips", await makeClips());
}
