import { describe, expect, test } from "vitest";
import { commands } from "vitest/browser";
import { mapOf } from "#core/carry/carried-frame";
import { type Homography, multiplyHomographies, projectToImage } from "#core/field/homography";
import { fieldPoint } from "#core/field/units";
import demoUrl from "../../../src-main/demo/film.mp4?url";
import { carryPlay, mostCarriedFrames } from "../../../src-renderer/stage/carry/carry-play.ts";

const url = new URL(demoUrl, location.href).href;
const image = { widthPx: 1280, heightPx: 720 };
const quiet = { signal: new AbortController().signal, onProgress: () => undefined };

/** Farthest, px, that a carried map puts a visible field point from where the film's own camera sees it. */
function worstPx(truth: Homography, carried: Homography): number {
  let worst = 0;
  for (let x = 0; x <= 100; x += 5) {
    for (let y = 0; y <= 40; y += 5) {
      const there = projectToImage(truth, fieldPoint(x, y));
      if (there === null || there.uPx < 0 || there.vPx < 0) continue;
      if (there.uPx > image.widthPx || there.vPx > image.heightPx) continue;
      const here = projectToImage(carried, fieldPoint(x, y))!;
      worst = Math.max(worst, Math.hypot(here.uPx - there.uPx, here.vPx - there.vPx));
    }
  }
  return worst;
}

describe("a survey carried in the worker", () => {
  test("keeps to the film's own cameras, from two anchors over the whole gap between them", async () => {
    // The second half of the first play: pan and zoom.
    const [first, last] = [90, 150];
    const anchors = [first + 5, last - 5];
    const progress: [number, number][] = [];
    const result = await carryPlay(
      { url, firstIndex: first, lastIndex: last, anchors: anchors.map((index) => ({ index, groundEdge: null })) },
      { ...quiet, onProgress: (done, total) => progress.push([done, total]) },
    );
    if (!result.ok) throw new Error(result.message);
    expect(result.tracks.map(({ anchorIndex }) => anchorIndex)).toEqual(anchors);
    const cameras = (await commands.demoCamera(
      Array.from({ length: last - first + 1 }, (_, i) => first + i),
    )) as unknown as Homography[];
    for (const [i, track] of result.tracks.entries()) {
      const indices = track.frames.map(({ frameIndex }) => frameIndex);
      const [from, to] = i === 0 ? [first, last - 6] : [first + 6, last];
      expect(indices).toEqual(Array.from({ length: to - from + 1 }, (_, k) => from + k));
      expect([track.stopBefore, track.stopAfter]).toEqual([null, null]);
      const own = cameras[track.anchorIndex - first]!;
      const off = track.frames.map((frame) =>
        worstPx(cameras[frame.frameIndex - first]!, multiplyHomographies(mapOf(frame, image), own)),
      );
      expect(Math.max(...off)).toBeLessThan(1.5);
      expect(off[indices.indexOf(track.anchorIndex)]).toBeLessThan(1e-6);
    }
    expect(progress.at(-1)).toEqual([61 + 54 + 54, 61 + 54 + 54]);
    expect(progress.map(([done]) => done)).toEqual(progress.map((_, i) => i + 1));
  }, 60_000);

  test("stops at the film's cut, and says so", async () => {
    // The second play of the film begins with frame 156.
    const result = await carryPlay(
      { url, firstIndex: 140, lastIndex: 170, anchors: [{ index: 150, groundEdge: null }] },
      quiet,
    );
    if (!result.ok) throw new Error(result.message);
    const [track] = result.tracks;
    expect(track!.stopBefore).toBeNull();
    expect(track!.stopAfter).toMatchObject({ reason: "scene-cut", lastFrameIndex: 155 });
    expect(track!.frames.at(-1)!.frameIndex).toBe(155);
  }, 60_000);

  test("given up half-way ends at once, and nothing of it goes on", async () => {
    const giving = new AbortController();
    let calls = 0;
    const result = await carryPlay(
      { url, firstIndex: 0, lastIndex: 155, anchors: [{ index: 0, groundEdge: null }] },
      {
        signal: giving.signal,
        onProgress: () => {
          calls++;
          if (calls === 40) giving.abort();
        },
      },
    );
    expect(result).toMatchObject({ ok: false, reason: "cancelled" });
    expect(calls).toBe(40);
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(calls).toBe(40);
  }, 60_000);

  test("refuses what it cannot hold, and a film that is not there, with a sentence", async () => {
    const long = await carryPlay(
      { url, firstIndex: 0, lastIndex: mostCarriedFrames, anchors: [{ index: 0, groundEdge: null }] },
      quiet,
    );
    expect(long).toMatchObject({ ok: false, reason: "too-long", message: expect.stringMatching(/^[A-Z].{30,}\.$/) });
    const nowhere = new URL("/film/nowhere", location.href).href;
    const gone = await carryPlay(
      { url: nowhere, firstIndex: 0, lastIndex: 9, anchors: [{ index: 0, groundEdge: null }] },
      quiet,
    );
    expect(gone).toMatchObject({ ok: false, message: expect.stringMatching(/^[A-Z].{15,}\.$/) });
  });
});
