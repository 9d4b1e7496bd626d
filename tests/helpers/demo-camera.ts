import type { BrowserCommand } from "vitest/node";
import { demoFilm } from "../scene/films.ts";
import { fieldToImage, viewOf } from "../scene/pinhole.ts";
import { sceneOf } from "../scene/scene.ts";

declare module "vitest/browser" {
  interface BrowserCommands {
    /** The demo film's own cameras on some frames: field yards to image pixels, nine numbers row by row. */
    demoCamera: (frameIndices: readonly number[]) => Promise<number[][]>;
  }
}

export const demoCamera: BrowserCommand<[readonly number[]]> = (_, frameIndices): number[][] => {
  const scene = sceneOf(demoFilm);
  return frameIndices.map((frameIndex) => [...fieldToImage(viewOf(scene.truthAt(frameIndex).camera))]);
};
