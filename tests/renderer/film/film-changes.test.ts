/** A film whose file is written over, or cut, while it is open: no frame of another content is ever shown as one of its own. */
import { afterEach, beforeEach, expect, test } from "vitest";
import { commands } from "vitest/browser";
import { createFilmPlayer, type FilmPlayer } from "../../../src-renderer/stage/film/film-player.ts";
import { openFilm } from "../../../src-renderer/stage/film/film-reader.ts";
import { codeOn, codeOnVideo, openClip } from "./code-on-canvas.ts";
import { until } from "./until.ts";

const another = "The film's file has another content now than when it was attached. Find the film itself again.";

let player: FilmPlayer;
let canvas: HTMLCanvasElement;
let video: HTMLVideoElement;
let close: () => void;

beforeEach(async () => {
  await commands.lendFilm();
  // Room for ten frames of 320 × 180, so that what is asked for later was not decoded before.
  const film = await openClip("lent", 10 * 86_400);
  canvas = document.createElement("canvas");
  video = document.createElement("video");
  document.body.append(canvas, video);
  player = createFilmPlayer({ film, canvas, video });
  close = () => {
    player.dispose();
    film.dispose();
    canvas.remove();
    video.remove();
  };
  await until(player, (state) => state.canPlayNatively !== null);
});
afterEach(async () => {
  close();
  await commands.takeFilmAway();
});

test.each([
  ["written over by another film", () => commands.putOtherFilm()],
  ["cut short", () => commands.cutFilmShort()],
])(
  "%s: a seek says so and shows no other frame, opening it says so too, and it works again when it is back",
  async (_, spoil) => {
    expect(codeOn(canvas)).toBe(0);
    await spoil();
    await player.seek(700);
    expect(player.getState()).toMatchObject({ mode: "paused", frameIndex: 700, shownIndex: 0, error: another });
    expect(codeOn(canvas)).toBe(0);
    expect(await openFilm("/film/lent")).toMatchObject({ ok: false, reason: "changed", message: another });
    await commands.lendFilm();
    await player.step(1);
    expect(player.getState()).toMatchObject({ frameIndex: 701, shownIndex: 701, error: null });
    expect(codeOn(canvas)).toBe(701);
  },
);

test("written over while it plays: it stops and says so, and every picture until then was the film's own", async () => {
  expect(player.getState().canPlayNatively).toBe(true);
  const wrong: { frameIndex: number; code: number | null }[] = [];
  let looked = 0;
  let latest = 0;
  player.subscribe(() => {
    const { mode, frameIndex } = player.getState();
    // Only what the browser has just put on screen: an element that failed gives no picture out.
    if (mode !== "playing" || video.style.visibility !== "visible" || frameIndex === latest) return;
    latest = frameIndex;
    let code: number | null;
    try {
      code = codeOnVideo(video);
    } catch (error) {
      // A reader whose last request was refused gives its pictures to the screen alone, shortly before it fails.
      if (error instanceof DOMException && error.name === "SecurityError") return;
      throw error;
    }
    looked++;
    // A busy machine may have swapped the next picture in before this is read.
    if (code === null || code - frameIndex < 0 || code - frameIndex > 2) wrong.push({ frameIndex, code });
  });
  await player.play();
  await until(player, (state) => state.frameIndex > 5);
  await commands.putOtherFilm();
  looked = 0;
  // What the browser has in its memory plays on; then nothing more comes.
  const stopped = await until(player, (state) => state.mode === "paused" && state.error !== null);
  expect(stopped).toMatchObject({ error: another, shownIndex: null });
  expect(looked).toBeGreaterThan(0);
  expect(wrong).toEqual([]);
}, 60_000);

test("written over while decoded frames are played: the same", async () => {
  video.dispatchEvent(new Event("error"));
  expect(player.getState().canPlayNatively).toBe(false);
  await player.play();
  await until(player, (state) => state.frameIndex > 5);
  await commands.putOtherFilm();
  const stopped = await until(player, (state) => state.mode === "paused");
  expect(stopped.error).toBe(another);
  expect(codeOn(canvas)).toBe(stopped.frameIndex);
}, 60_000);
