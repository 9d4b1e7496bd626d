/**
 * Looks a film through for plays, apart from the window: decodes it once from end to end, one frame in hand at a time,
 * and keeps a few numbers of each. Ended from outside; what it holds goes with it.
 */
import { createFilmScan } from "#core/carry/film-scan";
import { proposePlays } from "#core/carry/play-proposals";
import { workingPicture } from "../carry/luma.ts";
import { openFrames } from "../film/film-reader.ts";
import type { ScanMessage, ScanRequest } from "./scan-messages.ts";

const say = (message: ScanMessage): void => self.postMessage(message);
/** Frames between two words of progress. */
const sayEvery = 15;

let paused = false;
let goOn = (): void => {};

self.addEventListener("message", ({ data }: MessageEvent<ScanRequest>) => {
  switch (data.kind) {
    case "open":
      look(data.url).catch((error: unknown) => {
        say({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
      });
      break;
    case "pause":
      paused = data.paused;
      if (!paused) goOn();
      break;
  }
});

async function look(url: string): Promise<void> {
  const opened = await openFrames(url);
  if (!opened.ok) return say({ kind: "failed", message: opened.message });
  const { index, source, dispose } = opened.frames;
  const scan = createFilmScan();
  const run = source.run(0);
  let done = 0;
  try {
    for (;;) {
      while (paused) await new Promise<void>((resolve) => (goOn = resolve));
      const frame = await run.next();
      if (frame === null) break;
      try {
        const { picture } = await workingPicture(frame.sample);
        scan.add(picture, index.timeOf(frame.frameIndex));
      } finally {
        frame.sample.close();
      }
      done = frame.frameIndex + 1;
      if (done % sayEvery === 0) say({ kind: "progress", done, total: index.frameCount });
    }
  } finally {
    run.stop();
    dispose();
  }
  if (done === 0) throw new Error("No picture of this film can be decoded.");
  say({ kind: "done", proposals: proposePlays(scan.signals(index.durationSec)) });
}
