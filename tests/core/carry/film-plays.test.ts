import { spawn } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { createFilmScan } from "#core/carry/film-scan";
import { shrink, workingFactor } from "#core/carry/grey-image";
import { proposePlays } from "#core/carry/play-proposals";
import { continuousPullsSec, continuousSnapsSec } from "../../scene/continuous-play.ts";
import { continuousFilm } from "../../scene/films.ts";
import { sceneOf } from "../../scene/scene.ts";
import { demo, handHeld, type TruthFilm } from "./carried-truth.ts";

/** Plays found in encoded films of the scene, held against the scene's own plays and snaps. */

const continuous: TruthFilm = {
  scene: sceneOf(continuousFilm),
  path: fileURLToPath(new URL("../../fixtures/continuous.mp4", import.meta.url)),
};

/** Decoded by a decoder that is not the product's, one frame in hand at a time. */
async function playsIn({ path, scene }: TruthFilm) {
  const { framesPerSec, widthPx, heightPx } = scene.film;
  const size = widthPx * heightPx;
  const scan = createFilmScan();
  const decoder = spawn("ffmpeg", ["-loglevel", "error", "-i", path, "-f", "rawvideo", "-pix_fmt", "gray", "-"]);
  const plane = new Uint8Array(size);
  let filled = 0;
  let frames = 0;
  for await (const chunk of decoder.stdout as AsyncIterable<Uint8Array>) {
    for (let from = 0; from < chunk.length;) {
      const part = chunk.subarray(from, from + size - filled);
      plane.set(part, filled);
      filled += part.length;
      from += part.length;
      if (filled < size) continue;
      filled = 0;
      scan.add(shrink(plane, widthPx, widthPx, heightPx, workingFactor(widthPx)), frames++ / framesPerSec);
    }
  }
  expect(frames).toBe(scene.frameCount);
  return proposePlays(scan.signals(frames / framesPerSec));
}

const median = (values: readonly number[]) => values.toSorted((a, b) => a - b)[values.length >> 1]!;

describe("plays found in films of the scene", () => {
  it("are the fifteen of the demo film from cut to cut, and no other, with snaps to a seventh of a second", async () => {
    const found = await playsIn(demo);
    const { plays, film } = demo.scene;
    const rate = film.framesPerSec;
    expect(found.map(({ startSec, endSec }) => [Math.round(startSec * rate), Math.round(endSec * rate)])).toEqual(
      plays.map(({ firstFrame, frameCount }) => [firstFrame, firstFrame + frameCount]),
    );
    const off = found.map(({ snap }, i) => Math.abs(snap!.sec - plays[i]!.snapFrame / rate));
    console.log(`snaps of the demo film: median ${median(off).toFixed(3)} s, worst ${Math.max(...off).toFixed(3)} s`);
    expect(median(off)).toBeLessThan(0.14);
    expect(Math.max(...off)).toBeLessThan(0.25);
  }, 120_000);

  it("are the three of a film without a cut, though everybody walks between them", async () => {
    const found = await playsIn(continuous);
    const first = continuous.scene.plays[0]!.snapFrame / continuousFilm.framesPerSec;
    expect(found).toHaveLength(continuousSnapsSec.length);
    const off: number[] = [];
    for (const [i, since] of continuousSnapsSec.entries()) {
      const { startSec, endSec, snap } = found[i]!;
      off.push(Math.abs(snap!.sec - (first + since)));
      expect(startSec).toBeLessThan(first + since - 2);
      expect(endSec).toBeGreaterThan(first + continuousPullsSec[i]!);
      expect(endSec).toBeLessThan(first + continuousPullsSec[i]! + 6);
    }
    console.log(`snaps of the film without cuts: ${off.map((sec) => sec.toFixed(3)).join(", ")} s`);
    expect(Math.max(...off)).toBeLessThan(0.25);
  }, 120_000);

  it("are one in a clip held by hand, whose snap is said less surely than from a tripod", async () => {
    const found = await playsIn(handHeld);
    const [onTripod] = await playsIn(continuous);
    expect(found).toHaveLength(1);
    const { startSec, endSec, snap } = found[0]!;
    expect([startSec, endSec]).toEqual([0, 5]);
    const snapSec = handHeld.scene.plays[0]!.snapFrame / handHeld.scene.film.framesPerSec;
    console.log(`snap of the hand-held film: ${(snap!.sec - snapSec).toFixed(3)} s, ${snap!.confidence.toFixed(2)}`);
    expect(Math.abs(snap!.sec - snapSec)).toBeLessThan(0.4);
    expect(snap!.confidence).toBeLessThan(onTripod!.snap!.confidence);
  }, 120_000);
});
