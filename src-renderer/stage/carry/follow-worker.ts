/** Follows people from one frame to another, apart from the window. Ended from outside; what it holds goes with it. */
import { followPeople, followSteps } from "#core/carry/follow";
import { openFrames } from "../film/film-reader.ts";
import type { FollowMessage, FollowPeopleRequest } from "./follow-messages.ts";
import { workingGreys } from "./working-greys.ts";

const say = (message: FollowMessage): void => self.postMessage(message);

/** A person is some fifty pixels high in a picture so wide, and a pixel toward the horizon some fifth of a yard. */
const followWidthPx = 1280;

self.addEventListener("message", (event: MessageEvent<FollowPeopleRequest>) => {
  follow(event.data).catch((error: unknown) => {
    say({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
  });
});

async function follow({ url, fromIndex, toIndex, seeings, starts }: FollowPeopleRequest): Promise<void> {
  const opened = await openFrames(url);
  if (!opened.ok) return say({ kind: "failed", message: opened.message });
  const count = seeings.length;
  const total = count + followSteps(count);
  let done = 0;
  const step = (): void => say({ kind: "progress", done: ++done, total });
  const factorOf = (widthPx: number): number => Math.max(1, Math.round(widthPx / followWidthPx));
  const { greys, scale } = await workingGreys(opened.frames, Math.min(fromIndex, toIndex), count, factorOf, step);
  if (greys.length < count) return say({ kind: "failed", message: "The film ends before that frame." });
  const frames = greys.map((picture, i) => ({ picture, seeing: seeings[i]! }));
  const work = followPeople({ frames: fromIndex <= toIndex ? frames : frames.toReversed(), scale, starts });
  for (;;) {
    const next = work.next();
    if (next.done === true) return say({ kind: "done", followed: next.value });
    step();
  }
}
