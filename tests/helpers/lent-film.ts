/**
 * A film that a browser test can take away while it is open and give back. It is noisy and therefore large: a browser
 * holds only part of it in memory.
 */
import { copyFileSync, existsSync, mkdirSync, rmSync, statSync, truncateSync } from "node:fs";
import { join } from "node:path";
import type { BrowserCommand } from "vitest/node";
import { clipFolder, encode, x264 } from "./clips.ts";

export const lentFilmId = "lent";
export const lentFrameCount = 900;
export const lentPath = join(clipFolder, "lent.mp4");
export const keptPath = join(clipFolder, "noisy-900-crf14.mp4");
export const otherPath = join(clipFolder, "noisy-900-crf14-backwards.mp4");

declare module "vitest/browser" {
  interface BrowserCommands {
    /** Puts the film where its address looks for it. */
    lendFilm: () => Promise<void>;
    /** Takes it away as pulling out its disk does: whoever reads it now reads no further, and it is there no more. */
    takeFilmAway: () => Promise<void>;
    /** Writes another film over it: the same one backwards. */
    putOtherFilm: () => Promise<void>;
    /** Cuts its second half off where it lies. */
    cutFilmShort: () => Promise<void>;
  }
}

export async function makeLentFilm(): Promise<void> {
  mkdirSync(clipFolder, { recursive: true });
  for (const [path, turned] of [
    [keptPath, ""],
    [otherPath, ",reverse"],
  ] as const) {
    if (existsSync(path)) continue;
    const filter = ["-vf", `noise=alls=40:allf=t${turned}`];
    const args = [...filter, ...x264(30, 2), "-crf", "14", "-movflags", "+faststart"];
    await encode({ path, widthPx: 320, heightPx: 180, frames: lentFrameCount, rate: "30", args });
  }
}

export const lendFilm: BrowserCommand<[]> = () => copyFileSync(keptPath, lentPath);

export const takeFilmAway: BrowserCommand<[]> = () => {
  if (existsSync(lentPath)) truncateSync(lentPath, 0);
  rmSync(lentPath, { force: true });
};

export const putOtherFilm: BrowserCommand<[]> = () => copyFileSync(otherPath, lentPath);

export const cutFilmShort: BrowserCommand<[]> = () => truncateSync(lentPath, Math.floor(statSync(lentPath).size / 2));
