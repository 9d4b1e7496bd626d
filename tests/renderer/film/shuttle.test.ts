/** The shuttle in a real browser; what stands on screen is known by the number burnt into each frame. */
import { afterEach, expect, inject, test } from "vitest";
import { createFilmPlayer, type FilmPlayer } from "../../../src-renderer/stage/film/film-player.ts";
import { codeOn, openClip } from "./code-on-canvas.ts";
import { until } from "./until.ts";

const clip = inject("clips").find(({ playsNatively }) => playsNatively)!;
const closing: (() => void)[] = [];
afterEach(() => {
  for (const close of closing.splice(0)) close();
});

async function playerAt(startIndex: number): Promise<{ player: FilmPlayer; canvas: HTMLCanvasElement }> {
  const film = await openClip(clip.name);
  const canvas = document.createElement("canvas");
  const video = document.createElement("video");
  document.body.append(canvas, video);
  const player = createFilmPlayer({ film, canvas, video, startIndex });
  closing.push(() => {
    player.dispose();
    film.dispose();
    canvas.remove();
    video.remove();
  });
  await until(player, (state) => state.canPlayNatively !== null);
  return { player, canvas };
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

test("runs forward and backward at about its rate, and stands at once on the frame that it shows", async () => {
  const { player, canvas } = await playerAt(20);
  for (const [rate, way] of [
    [1, 1],
    [-1, -1],
    [0.25, 1],
  ] as const) {
    const from = player.getState();
    const beganMs = performance.now();
    const run = player.shuttle(rate);
    await pause(700);
    await player.shuttle(0);
    await run;
    const passedSec = (performance.now() - beganMs) / 1000;
    const to = player.getState();
    const movedSec = to.timeSec - from.timeSec;
    expect(Math.sign(movedSec)).toBe(way);
    // Never faster than asked for, but for one frame; slower only where the machine cannot decode so fast.
    expect(Math.abs(movedSec)).toBeLessThan(Math.abs(rate) * passedSec + 0.05);
    expect(Math.abs(movedSec)).toBeGreaterThan(0.4 * Math.abs(rate) * 0.7);
    expect(to.mode).toBe("paused");
    expect(codeOn(canvas)).toBe(clip.firstCode + to.frameIndex);
    await pause(120);
    expect(player.getState().frameIndex).toBe(to.frameIndex);
  }
});

test("leaves the film to whoever plays it or goes elsewhere", async () => {
  const { player } = await playerAt(20);
  const run = player.shuttle(-1);
  await pause(100);
  await player.seek(60);
  await run;
  await pause(120);
  expect(player.getState().frameIndex).toBe(60);
  const again = player.shuttle(0.5);
  await pause(100);
  await player.play();
  await again;
  expect(player.getState().mode).toBe("playing");
  await player.pause();
});
