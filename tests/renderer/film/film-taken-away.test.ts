/** A film whose disk is pulled out while it is open, and put in again. */
import { afterEach, beforeEach, expect, test } from "vitest";
import { commands } from "vitest/browser";
import { createFilmPlayer, type FilmPlayer } from "../../../src-renderer/stage/film/film-player.ts";
import { codeOn, openClip } from "./code-on-canvas.ts";
import { until } from "./until.ts";

const lentFrameCount = 900;
const gone = "The film's file is no longer where it was. Say where it is now.";

let player: FilmPlayer;
let canvas: HTMLCanvasElement;
let video: HTMLVideoElement;
let close: () => void;

beforeEach(async () => {
  await commands.lendFilm();
  // Room for ten frames of 320 × 180, so that what is asked for later was not decoded before.
  const film = await openClip("lent", 10 * 86_400);
  expect(film.frameCount).toBe(lentFrameCount);
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

test("a seek says that the film is gone, shows no other frame for it, and works again when the film is back", async () => {
  expect(player.getState()).toMatchObject({ shownIndex: 0, error: null });
  await commands.takeFilmAway();
  await player.seek(700);
  // The picture is still that of frame 0, and the state says so.
  expect(player.getState()).toMatchObject({ mode: "paused", frameIndex: 700, shownIndex: 0, error: gone });
  expect(codeOn(canvas)).toBe(0);
  await player.step(1);
  expect(player.getState()).toMatchObject({ frameIndex: 701, shownIndex: 0, error: gone });
  await commands.lendFilm();
  await player.step(1);
  expect(player.getState()).toMatchObject({ frameIndex: 702, shownIndex: 702, error: null });
  expect(codeOn(canvas)).toBe(702);
});

test("playing stops and says so, and never claims a picture that is not there", async () => {
  expect(player.getState().canPlayNatively).toBe(true);
  await player.play();
  await until(player, (state) => state.frameIndex > 5);
  await commands.takeFilmAway();
  // What the browser has in its memory plays on, to the film's end if that is all of it; then nothing more comes.
  const stopped = await until(player, (state) => state.mode === "paused" && state.error !== null);
  expect(stopped).toMatchObject({ error: gone, shownIndex: null });
  await commands.lendFilm();
  await player.seek(800);
  expect(player.getState()).toMatchObject({ shownIndex: 800, error: null });
  expect(codeOn(canvas)).toBe(800);
  await player.play();
  await until(player, (state) => state.frameIndex > 805);
  await player.pause();
  expect(player.getState()).toMatchObject({ error: null, shownIndex: player.getState().frameIndex });
  expect(codeOn(canvas)).toBe(player.getState().frameIndex);
}, 60_000);

test("playing as decoded frames stops and says so, and a film that is gone when play is pressed does not play", async () => {
  // From here on decoded frames are played, as for a film that the browser refuses.
  video.dispatchEvent(new Event("error"));
  expect(player.getState().canPlayNatively).toBe(false);
  await player.play();
  await until(player, (state) => state.frameIndex > 5);
  await commands.takeFilmAway();
  const stopped = await until(player, (state) => state.mode === "paused");
  expect(stopped.error).toBe(gone);
  expect(codeOn(canvas)).toBe(stopped.frameIndex);
  await player.seek(700);
  await player.play();
  expect(player.getState()).toMatchObject({ mode: "paused", frameIndex: 700, error: gone });
  await commands.lendFilm();
  await player.play();
  await until(player, (state) => state.frameIndex > 705);
  await player.pause();
  expect(player.getState()).toMatchObject({ error: null, shownIndex: player.getState().frameIndex });
  expect(codeOn(canvas)).toBe(player.getState().frameIndex);
});
