/**
 * Carries surveys through a play, apart from the window: decodes its frames to working greys, looks for cuts, and
 * follows the picture outward from each surveyed frame. Ended from outside; what it holds goes with it.
 */
import { anchorFrame, type CarriedFrame } from "#core/carry/carried-frame";
import type { CarryStop } from "#core/carry/carry-stop";
import { carryTrack } from "#core/carry/carry-track";
import { cutGreyOf, findCuts } from "#core/carry/cuts";
import type { GreyImage } from "#core/carry/grey-image";
import { openFrames } from "../film/film-reader.ts";
import type { CarriedTrack, CarryAnchor, CarryMessage, CarryPlayRequest } from "./carry-messages.ts";
import { createGreyReader } from "./grey-frames.ts";

const say = (message: CarryMessage): void => self.postMessage(message);

self.addEventListener("message", (event: MessageEvent<CarryPlayRequest>) => {
  carry(event.data).catch((error: unknown) => {
    say({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
  });
});

async function carry({ url, firstIndex, lastIndex, anchors }: CarryPlayRequest): Promise<void> {
  const opened = await openFrames(url);
  if (!opened.ok) return say({ kind: "failed", message: opened.message });
  const count = lastIndex - firstIndex + 1;
  // Frames between two anchors are followed from both.
  const inner = anchors.length > 1 ? anchors.at(-1)!.index - anchors[0]!.index : 0;
  const total = 2 * count + inner;
  let done = 0;
  const step = (): void => {
    done++;
    if (done % 4 === 0) say({ kind: "progress", done: Math.min(done, total), total });
  };

  const reader = createGreyReader();
  const greys: GreyImage[] = [];
  const run = opened.frames.source.run(firstIndex);
  while (greys.length < count) {
    const frame = await run.next();
    if (frame === null) break;
    const grey = await reader.read(frame.sample);
    frame.sample.close();
    // A frame that the decoder leaves out keeps the picture before it.
    while (greys.length < Math.min(count, frame.frameIndex - firstIndex)) greys.push(greys.at(-1) ?? grey);
    greys.push(grey);
    step();
  }
  run.stop();
  opened.frames.dispose();
  if (greys.length === 0) return say({ kind: "failed", message: "No picture of this play can be decoded." });

  const scale = reader.scale();
  const cuts = new Set(findCuts(greys.map(cutGreyOf)).map((place) => firstIndex + place));
  const end = firstIndex + greys.length - 1;
  const follow = (anchor: CarryAnchor, last: number): { frames: CarriedFrame[]; stop: CarryStop | null } => {
    const frames: CarriedFrame[] = [];
    const track = carryTrack({
      anchorIndex: anchor.index,
      lastIndex: last,
      pictureOf: (index) => greys[index - firstIndex]!,
      scale,
      groundEdge: anchor.groundEdge,
      isCut: (index) => cuts.has(index),
    });
    for (;;) {
      const next = track.next();
      if (next.done === true) return { frames, stop: next.value.reason === "end-of-play" ? null : next.value };
      frames.push(next.value);
      step();
    }
  };
  const sorted = anchors
    .filter(({ index }) => index >= firstIndex && index <= end)
    .toSorted((a, b) => a.index - b.index);
  const tracks = sorted.map((anchor, place): CarriedTrack => {
    const before = follow(anchor, place === 0 ? firstIndex : sorted[place - 1]!.index + 1);
    const after = follow(anchor, place === sorted.length - 1 ? end : sorted[place + 1]!.index - 1);
    return {
      anchorIndex: anchor.index,
      frames: [...before.frames.toReversed(), anchorFrame(anchor.index, scale.film), ...after.frames],
      stopBefore: before.stop,
      stopAfter: after.stop,
    };
  });
  say({ kind: "done", tracks });
}
