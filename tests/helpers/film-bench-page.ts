/** The part of the film benchmark that runs inside the browser. Each function gives latencies in milliseconds. */
import { createFilmPlayer } from "../../src-renderer/stage/film/film-player.ts";
import { openFilm, type FilmReader } from "../../src-renderer/stage/film/film-reader.ts";
import { middleOf } from "../../src-renderer/stage/film/native-playback.ts";
import type { FrameIndex } from "../../src-renderer/stage/film/frame-index.ts";

const holdMs = 4000;
/** Systems repeat a held key some thirty times a second. */
const repeatMs = 33;

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

async function open(filmId: string): Promise<FilmReader> {
  const opened = await openFilm(`/film/${filmId}`);
  if (!opened.ok) throw new Error(opened.message);
  return opened.film;
}

function canvasInPage(): HTMLCanvasElement {
  const canvas = document.createElement("canvas");
  canvas.style.width = "960px";
  document.body.replaceChildren(canvas);
  return canvas;
}

/** The picture is on the canvas only when its drawing is done, which reading a pixel waits for. */
function finishDrawing(canvas: HTMLCanvasElement): void {
  canvas.getContext("2d")?.getImageData(0, 0, 1, 1);
}

export type StepRun = {
  readonly fromIndex: number;
  readonly frames: 1 | -1;
  readonly count: number;
  readonly paceMs: number;
};

/** Steps of the product: from the request until the exact frame is drawn. */
export async function stepFilm(filmId: string, { fromIndex, frames, count, paceMs }: StepRun): Promise<number[]> {
  const film = await open(filmId);
  const canvas = canvasInPage();
  await film.show(fromIndex, canvas);
  // A person looks at the frame before stepping.
  await pause(500);
  const latencies: number[] = [];
  for (let step = 0; step < count; step++) {
    const startMs = performance.now();
    const result = await film.step(frames, canvas);
    finishDrawing(canvas);
    const tookMs = performance.now() - startMs;
    if (result.kind !== "shown") throw new Error(`step ${step}: ${result.kind}`);
    latencies.push(tookMs);
    await pause(Math.max(0, paceMs - tookMs));
  }
  film.dispose();
  return latencies;
}

/** A key held down, which repeats faster than frames are wanted: frames that came on screen in a second. */
export async function holdStep(filmId: string, { fromIndex, frames }: StepRun): Promise<number> {
  const film = await open(filmId);
  const canvas = canvasInPage();
  const video = document.createElement("video");
  const player = createFilmPlayer({ film, canvas, video, startIndex: fromIndex });
  await player.seek(fromIndex);
  await pause(500);
  const shown = new Set<number>();
  player.subscribe(() => {
    const { shownIndex } = player.getState();
    if (shownIndex !== null) shown.add(shownIndex);
  });
  const startMs = performance.now();
  while (performance.now() - startMs < holdMs) {
    void player.step(frames);
    await pause(repeatMs);
  }
  const perSecond = (1000 * shown.size) / (performance.now() - startMs);
  finishDrawing(canvas);
  player.dispose();
  film.dispose();
  return perSecond;
}

/** Jumps of the product to frames whose neighbourhood was never decoded. */
export async function jumpFilm(filmId: string, indices: readonly number[]): Promise<number[]> {
  const film = await open(filmId);
  const canvas = canvasInPage();
  const latencies: number[] = [];
  for (const frameIndex of indices) {
    await film.show(0, canvas);
    film.rest();
    await pause(100);
    const startMs = performance.now();
    const result = await film.show(frameIndex, canvas);
    finishDrawing(canvas);
    latencies.push(performance.now() - startMs);
    if (result.kind !== "shown") throw new Error(`jump to ${frameIndex}: ${result.kind}`);
  }
  film.dispose();
  return latencies;
}

export type VideoRun = { readonly indices: readonly number[]; readonly startIndex: number; readonly paceMs: number };

/** Bare seeks of a video element: to the middle of the frame's interval, until the frame is presented. */
export async function seekVideo(filmId: string, { indices, startIndex, paceMs }: VideoRun): Promise<number[]> {
  const film = await open(filmId);
  const index: FrameIndex = film;
  const video = document.createElement("video");
  video.muted = true;
  video.preload = "auto";
  video.style.width = "960px";
  video.src = `/film/${filmId}`;
  document.body.replaceChildren(video);
  await new Promise((resolve) => video.addEventListener("loadeddata", resolve, { once: true }));
  const seek = async (frameIndex: number): Promise<number> => {
    const startMs = performance.now();
    const presented = new Promise((resolve) => video.requestVideoFrameCallback(resolve));
    video.currentTime = middleOf(index, frameIndex);
    await presented;
    return performance.now() - startMs;
  };
  await seek(startIndex);
  await pause(500);
  const latencies: number[] = [];
  for (const frameIndex of indices) {
    const tookMs = await seek(frameIndex);
    latencies.push(tookMs);
    await pause(Math.max(0, paceMs - tookMs));
  }
  video.removeAttribute("src");
  video.load();
  film.dispose();
  return latencies;
}

/** Opening: from the address to the index and the proof of one decoded frame. */
export async function timeOpening(filmId: string): Promise<{ readonly openMs: number; readonly frameCount: number }> {
  const startMs = performance.now();
  const film = await open(filmId);
  const openMs = performance.now() - startMs;
  const { frameCount } = film;
  film.dispose();
  return { openMs, frameCount };
}
