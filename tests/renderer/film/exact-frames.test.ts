/**
 * Every frame asked for is the frame on the canvas: the number burnt into each frame is read back from the pixels.
 * 15 kinds of clip; timestamps are held against those that ffprobe reads.
 */
import { afterAll, describe, expect, inject, test } from "vitest";
import type { FilmReader } from "../../../src-renderer/stage/film/film-reader.ts";
import { codeOn, openClip, seededRandom } from "./code-on-canvas.ts";

const seeksPerClip = 34;
const stepsPerClip = 34;
const total = { seeks: 0, steps: 0 };

describe.each(inject("clips"))("$name", (clip) => {
  const canvas = document.createElement("canvas");
  let film: FilmReader;
  afterAll(() => film.dispose());

  test("opens with every frame at its own time", async () => {
    film = await openClip(clip.name);
    expect(film.frameCount).toBe(clip.frameCount);
    expect([film.widthPx, film.heightPx]).toEqual([clip.widthPx, clip.heightPx]);
    // ffmpeg lets the first frame after an edit list's cut start at the cut; by the edit list it starts 3.3 ms later.
    const shiftSec = film.timeOf(0) - (clip.timesSec[0] ?? NaN);
    expect(shiftSec).toBeCloseTo(clip.name === "edit-list" ? 31 / 30 - 1.03 : 0, 4);
    const errorsSec = clip.timesSec.map((timeSec, i) => Math.abs(film.timeOf(i) - shiftSec - timeSec));
    // ffprobe prints whole microseconds.
    expect(Math.max(...errorsSec)).toBeLessThan(2e-6);
  });

  test(`${seeksPerClip} random seeks`, async () => {
    const next = seededRandom(clip.name.length * 7919 + 17);
    for (let seek = 0; seek < seeksPerClip; seek++) {
      const frameIndex = Math.floor(next() * film.frameCount);
      expect(await film.show(frameIndex, canvas)).toEqual({ kind: "shown", frameIndex });
      expect({ frameIndex, code: codeOn(canvas) }).toEqual({ frameIndex, code: clip.firstCode + frameIndex });
      total.seeks++;
    }
  }, 60_000);

  test(`${stepsPerClip} steps to and fro`, async () => {
    const next = seededRandom(clip.name.length * 104729 + 5);
    let frameIndex = Math.floor(film.frameCount / 2);
    await film.show(frameIndex, canvas);
    let sign = 1;
    for (let step = 0; step < stepsPerClip; step++) {
      if (next() < 0.15) sign = -sign;
      const frames = sign * (next() < 0.2 ? 10 : 1);
      frameIndex = Math.max(0, Math.min(film.frameCount - 1, frameIndex + frames));
      expect(await film.step(frames, canvas)).toEqual({ kind: "shown", frameIndex });
      expect({ frameIndex, code: codeOn(canvas) }).toEqual({ frameIndex, code: clip.firstCode + frameIndex });
      total.steps++;
    }
  }, 60_000);

  test("its first and its last frame", async () => {
    for (const frameIndex of [film.frameCount - 1, 0]) {
      expect(await film.show(frameIndex, canvas)).toEqual({ kind: "shown", frameIndex });
      expect(codeOn(canvas)).toBe(clip.firstCode + frameIndex);
    }
  });
});

test("at least 500 seeks and 500 steps were read back", () => {
  expect(total.seeks).toBeGreaterThanOrEqual(500);
  expect(total.steps).toBeGreaterThanOrEqual(500);
});
