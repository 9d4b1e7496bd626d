/**
 * Playing and pausing in a real browser. What stands on screen is known by the number burnt into each frame, read back
 * from the video element and from the canvas.
 */
import { afterEach, describe, expect, inject, test } from "vitest";
import { createFilmPlayer, type FilmPlayer } from "../../../src-renderer/stage/film/film-player.ts";
import type { FilmReader } from "../../../src-renderer/stage/film/film-reader.ts";
import { codeOn, codeOnVideo, openClip } from "./code-on-canvas.ts";
import { until } from "./until.ts";

const clips = inject("clips");
const closing: (() => void)[] = [];
afterEach(() => {
  for (const close of closing.splice(0)) close();
});

type Bench = { film: FilmReader; player: FilmPlayer; canvas: HTMLCanvasElement; video: HTMLVideoElement };

async function playerOf(name: string, startIndex?: number): Promise<Bench> {
  const film = await openClip(name);
  const canvas = document.createElement("canvas");
  const video = document.createElement("video");
  document.body.append(canvas, video);
  const player = createFilmPlayer({ film, canvas, video, ...(startIndex === undefined ? {} : { startIndex }) });
  closing.push(() => {
    player.dispose();
    film.dispose();
    canvas.remove();
    video.remove();
  });
  await until(player, (state) => state.canPlayNatively !== null);
  return { film, player, canvas, video };
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

describe.each(clips)("$name", (clip) => {
  test("opens on its first frame and finds out whether the browser can play it", async () => {
    const { player, canvas, video } = await playerOf(clip.name);
    expect(player.getState()).toMatchObject({ mode: "paused", frameIndex: 0, shownIndex: 0, ready: true, error: null });
    expect(codeOn(canvas)).toBe(clip.firstCode);
    expect(player.getState().canPlayNatively).toBe(clip.playsNatively);
    // The browser's own player agrees on the displayed size of what it can play.
    const measured = clip.playsNatively ? [video.videoWidth, video.videoHeight] : [canvas.width, canvas.height];
    expect(measured).toEqual([clip.widthPx, clip.heightPx]);
    expect([canvas.style.visibility, video.style.visibility]).toEqual(["visible", "hidden"]);
  });

  test("plays on from its frame, and pausing puts the very frame that stood on screen on the canvas", async () => {
    const { player, canvas, video } = await playerOf(clip.name, 40);
    for (const playMs of [180, 433, 266]) {
      const startedAt = player.getState().frameIndex;
      await player.play();
      await pause(playMs);
      expect(canvas.style.visibility).toBe(clip.playsNatively ? "hidden" : "visible");
      await player.pause();
      const { frameIndex, shownIndex, mode } = player.getState();
      expect(mode).toBe("paused");
      expect(frameIndex).toBeGreaterThan(startedAt);
      expect(shownIndex).toBe(frameIndex);
      expect(codeOn(canvas)).toBe(clip.firstCode + frameIndex);
      // A busy machine may swap one more picture into the element, now hidden, after it has reported its last.
      if (clip.playsNatively) {
        const ahead = (codeOnVideo(video) ?? Number.NaN) - clip.firstCode - frameIndex;
        expect([0, 1]).toContain(ahead);
      }
      expect(canvas.style.visibility).toBe("visible");
    }
  });
});

test("who moves the film while it comes to a stop gets there, from where it stopped", async () => {
  for (const name of ["constant-30", "transport-stream"]) {
    const { player, canvas } = await playerOf(name, 40);
    await player.play();
    await until(player, (state) => state.frameIndex > 45);
    const stopping = player.pause();
    await Promise.all([stopping, player.seek(200)]);
    expect(player.getState()).toMatchObject({ mode: "paused", frameIndex: 200, shownIndex: 200 });
    expect(codeOn(canvas)).toBe(200);
    await player.play();
    await until(player, (state) => state.frameIndex > 205);
    await Promise.all([player.pause(), player.step(10)]);
    const { frameIndex, shownIndex } = player.getState();
    expect(frameIndex).toBeGreaterThan(215);
    expect(shownIndex).toBe(frameIndex);
    expect(codeOn(canvas)).toBe(frameIndex);
    expect(canvas.style.visibility).toBe("visible");
  }
});

test("the end of the film pauses on its last frame, and play starts over", async () => {
  for (const name of ["constant-30", "transport-stream"]) {
    const { film, player, canvas } = await playerOf(name, 285);
    await player.play();
    await until(player, (state) => state.mode === "paused" && state.shownIndex !== null);
    expect(player.getState().frameIndex).toBe(film.frameCount - 1);
    expect(codeOn(canvas)).toBe(film.frameCount - 1);
    await player.play();
    await pause(150);
    expect(player.getState().frameIndex).toBeLessThan(60);
  }
});

test.each(["constant-30", "open-gop"])("%s: a loop plays its stretch over and over and nothing else", async (name) => {
  const { film, player } = await playerOf(name, 10);
  // Frames 60 to 74; the end is exclusive.
  player.setLoop({ startSec: film.timeOf(60), endSec: film.timeOf(75) });
  const seen: number[] = [];
  await player.play();
  player.subscribe(() => seen.push(player.getState().frameIndex));
  await pause(2_500);
  await player.pause();
  // Nothing before the stretch, ever; a loaded machine may leave a playing frame or two at its ends unpresented.
  expect(Math.min(...seen)).toBeGreaterThanOrEqual(60);
  expect(Math.min(...seen)).toBeLessThanOrEqual(62);
  expect(Math.max(...seen)).toBeGreaterThanOrEqual(72);
  // The browser's player reports frames now and then too late to turn back on the frame itself.
  expect(Math.max(...seen)).toBeLessThanOrEqual(76);
  const turns = seen.filter((frameIndex, i) => i > 0 && frameIndex < (seen[i - 1] ?? 0)).length;
  expect(turns).toBeGreaterThanOrEqual(2);
  player.setLoop(null);
  expect(player.getState().loop).toBeNull();
});

test.each(["constant-30", "transport-stream"])("%s: rates", async (name) => {
  const { player } = await playerOf(name);
  const framesIn = async (rate: number, ms: number): Promise<number> => {
    await player.pause();
    await player.seek(0);
    player.setRate(rate);
    await player.play();
    await until(player, (state) => state.frameIndex > 0);
    const before = player.getState().frameIndex;
    await pause(ms);
    return player.getState().frameIndex - before;
  };
  const slow = await framesIn(0.25, 1_600);
  const fast = await framesIn(2, 800);
  // 12 frames of a 30-a-second film in 1.6 s at a quarter, 48 in 0.8 s at double rate; a loaded machine may lag.
  expect(slow).toBeGreaterThanOrEqual(8);
  expect(slow).toBeLessThanOrEqual(14);
  expect(fast).toBeGreaterThanOrEqual(28);
  expect(fast).toBeLessThanOrEqual(54);
});

test("a seek while playing goes on from there", async () => {
  const { player, canvas, video } = await playerOf("ntsc-b-frames");
  await player.play();
  await player.seek(200);
  await until(player, (state) => state.frameIndex > 205);
  await player.pause();
  const { frameIndex } = player.getState();
  expect(frameIndex).toBeLessThan(260);
  expect([codeOn(canvas), codeOnVideo(video)]).toEqual([frameIndex, frameIndex]);
});

test("steps by frames and by time, held to the film's ends", async () => {
  const { film, player, canvas } = await playerOf("variable-rate", 5);
  await player.step(-10);
  expect([player.getState().frameIndex, codeOn(canvas)]).toEqual([0, 0]);
  await player.step(10);
  await player.step(-1);
  expect([player.getState().frameIndex, codeOn(canvas)]).toEqual([9, 9]);
  await player.stepTime(1);
  const { frameIndex, timeSec } = player.getState();
  expect(timeSec).toBe(film.timeOf(frameIndex));
  expect(Math.abs(timeSec - film.timeOf(9) - 1)).toBeLessThan(0.06);
  // Less than a frame is still a frame.
  await player.stepTime(0.001);
  expect(player.getState().frameIndex).toBe(frameIndex + 1);
  await player.seek(99_999);
  expect([player.getState().frameIndex, codeOn(canvas)]).toEqual([film.frameCount - 1, film.frameCount - 1]);
});

test("a film that dies while it plays natively goes on as decoded frames", async () => {
  const { player, video, canvas } = await playerOf("constant-30", 20);
  await player.play();
  // What Chromium does on a damaged stretch: the element's error event, with no way back.
  video.pause();
  video.dispatchEvent(new Event("error"));
  expect(player.getState().canPlayNatively).toBe(false);
  const from = player.getState().frameIndex;
  await until(player, (state) => state.frameIndex > from + 5);
  expect(canvas.style.visibility).toBe("visible");
  await player.pause();
  expect(codeOn(canvas)).toBe(player.getState().frameIndex);
});

test("after dispose nothing is reported any more", async () => {
  const { player } = await playerOf("constant-30");
  await player.play();
  let reports = 0;
  player.subscribe(() => reports++);
  player.dispose();
  await pause(200);
  expect(reports).toBe(0);
});
