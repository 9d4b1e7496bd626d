/**
 * Carries surveys through a play, apart from the window: decodes its frames to working greys, looks for cuts, and
 * follows the picture outward from each surveyed frame. Ended from outside; what it holds goes with it.
 */
import { anchorFrame, type CarriedFrame } from "#core/carry/carried-frame";
import { planCarry } from "#core/carry/carry-plan";
import type { CarryStop } from "#core/carry/carry-stop";
import { carryTrack } from "#core/carry/carry-track";
import { cutGreyOf, findCuts } from "#core/carry/cuts";
import { workingFactor } from "#core/carry/grey-image";
import { openFrames } from "../film/film-reader.ts";
import type { CarriedTrack, CarryAnchor, CarryMessage, CarryPlayRequest } from "./carry-messages.ts";
import { workingGreys } from "./working-greys.ts";

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
  const indices = anchors.map(({ index }) => index);
  const planned = planCarry(firstIndex, lastIndex, indices);
  const total = count + planned.reduce((sum, leg) => sum + leg.lastIndex - leg.firstIndex, 0);
  let done = 0;
  const step = (): void => say({ kind: "progress", done: ++done, total });

  const { greys, scale } = await workingGreys(opened.frames, firstIndex, count, workingFactor, step);
  const legs = planCarry(firstIndex, firstIndex + greys.length - 1, indices);
  const cuts = new Set(findCuts(greys.map(cutGreyOf)).map((place) => firstIndex + place));
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
  const tracks = legs.map((leg): CarriedTrack => {
    const anchor = anchors.find(({ index }) => index === leg.anchorIndex)!;
    const before = follow(anchor, leg.firstIndex);
    const after = follow(anchor, leg.lastIndex);
    return {
      anchorIndex: anchor.index,
      frames: [...before.frames.toReversed(), anchorFrame(anchor.index, scale.film), ...after.frames],
      stopBefore: before.stop,
      stopAfter: after.stop,
    };
  });
  say({ kind: "done", tracks });
}
