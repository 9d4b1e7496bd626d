import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { layOut, templateById } from "../../src-core/field/template.ts";
import type { DemoClicks } from "../../src-main/demo/demo-clicks.ts";
import { paintBackdrop } from "../scene/backdrop.ts";
import { demoFilm } from "../scene/films.ts";
import { clicksOn, decodeGrey, paintAlong } from "../scene/make-demo-clicks.ts";
import { groundUnder, project, type View, viewOf } from "../scene/pinhole.ts";
import { renderFrame } from "../scene/render-frame.ts";
import { sceneOf } from "../scene/scene.ts";

const filmPath = fileURLToPath(new URL("../../src-main/demo/film.mp4", import.meta.url));
const clicks = JSON.parse(
  readFileSync(new URL("../../src-main/demo/clicks.json", import.meta.url), "utf8"),
) as DemoClicks;
const scene = sceneOf(demoFilm);
const { widthPx, heightPx } = demoFilm;

type Grey = ReturnType<typeof decodeGrey>;

/** How far the paint's middle lies from where the camera puts it, across the line, pixels; null when not seen. */
function paintError(grey: Grey, view: View, at: readonly [number, number], along: readonly [number, number]) {
  const here = project(view, [at[0], at[1], 0]);
  const ahead = project(view, [at[0] + along[0], at[1] + along[1], 0]);
  if (!here || !ahead) return null;
  const inside = here.uPx > 12 && here.uPx < widthPx - 12 && here.vPx > 12 && here.vPx < heightPx - 12;
  if (!inside) return null;
  const length = Math.hypot(ahead.uPx - here.uPx, ahead.vPx - here.vPx);
  const normal = { u: -(ahead.vPx - here.vPx) / length, v: (ahead.uPx - here.uPx) / length };
  return paintAlong(grey, { u: here.uPx, v: here.vPx }, normal, 6);
}

describe("the demo film", () => {
  it("is the file its clicks were made on, with the scene's frames, size and rate", () => {
    expect(createHash("sha256").update(readFileSync(filmPath)).digest("hex")).toBe(clicks.filmSha256);
    // ffprobe counts by decoding, apart from anything here.
    const said = execFileSync(
      "ffprobe",
      ["-v", "error", "-count_frames", "-select_streams", "v", "-show_entries"].concat(
        "stream=codec_name,pix_fmt,width,height,r_frame_rate,has_b_frames,nb_read_frames",
        "-of",
        "json",
        filmPath,
      ),
      { encoding: "utf8" },
    );
    const stream = (JSON.parse(said) as { streams: Record<string, unknown>[] }).streams[0]!;
    expect(stream).toMatchObject({
      codec_name: "h264",
      pix_fmt: "yuv420p",
      width: widthPx,
      height: heightPx,
      r_frame_rate: "30/1",
      nb_read_frames: String(scene.frameCount),
    });
    expect(stream["has_b_frames"]).toBeGreaterThan(0);
  }, 60_000);

  it("shows field paint within a pixel of where the camera puts it, at snaps and in the middle of pans", () => {
    const frames = [scene.plays[0]!.snapFrame - 6, scene.plays[3]!.snapFrame + 60, scene.plays[6]!.snapFrame + 80];
    const errors: number[] = [];
    for (const frame of frames) {
      const grey = decodeGrey(filmPath, frame, widthPx, heightPx);
      const view = viewOf(scene.truthAt(frame).camera);
      for (const x of [30, 50, 70]) {
        for (const y of [1.5, 4, 11, 16, 24, 29]) {
          const error = paintError(grey, view, [x, y], [0, 1]);
          if (error !== null) errors.push(Math.abs(error));
        }
      }
      // A boundary line lies outside its inside edge: its middle is 2 in beyond y = 0 (NCAA rules 1-2-2).
      for (const x of [22, 33, 43, 47.5, 53, 57, 63, 67.5, 77]) {
        const error = paintError(grey, view, [x, -2 / 36], [1, 0]);
        if (error !== null) errors.push(Math.abs(error));
      }
    }
    expect(errors.length).toBeGreaterThan(35);
    const sorted = errors.toSorted((a, b) => a - b);
    // A player stands on one of the lines looked at; paint seen whole is far inside a pixel.
    expect(sorted[Math.floor(sorted.length / 2)]).toBeLessThan(0.1);
    expect(sorted.filter((error) => error > 1).length).toBeLessThanOrEqual(1);
  }, 60_000);

  it("is what the scene draws today, and cuts where the plays do", () => {
    const backdrop = paintBackdrop(scene.cameras);
    const play = scene.plays[5]!;
    const late = scene.plays.at(-1)!;
    for (const frame of [play.snapFrame - 6, play.snapFrame + 50, late.moments.at(-1)!.frameIndex]) {
      const film = decodeGrey(filmPath, frame, widthPx, heightPx);
      const { rgb } = renderFrame(scene, backdrop, frame);
      let squares = 0;
      // Luma of ITU-R BT.709, the matrix the film is tagged with.
      for (let i = 0; i < film.levels.length; i++) {
        const luma = 0.2126 * rgb[3 * i]! + 0.7152 * rgb[3 * i + 1]! + 0.0722 * rgb[3 * i + 2]!;
        squares += (luma - film.levels[i]!) ** 2;
      }
      // Coding at this size leaves a few grey levels; a frame early or late while panning leaves 15 or more.
      expect(Math.sqrt(squares / film.levels.length), `frame ${frame}`).toBeLessThan(4.5);
    }
    const [before, after] = [-1, 0].map((step) => decodeGrey(filmPath, play.firstFrame + step, widthPx, heightPx)) as [
      Grey,
      Grey,
    ];
    let change = 0;
    for (let i = 0; i < before.levels.length; i++) change += Math.abs(before.levels[i]! - after.levels[i]!);
    expect(change / before.levels.length).toBeGreaterThan(5);
  }, 120_000);
});

describe("rendering", () => {
  it("gives up with nothing left running when the encoder cannot write", () => {
    const renderer = new URL("../scene/render-film.ts", import.meta.url).href;
    const program = `
      const { renderFilm } = await import(${JSON.stringify(renderer)});
      await renderFilm("other", "/dev/null/film.mp4").catch((failure) => console.log(failure.message));`;
    // The process ends by itself only when no worker and no encoder is left; one that lingers is killed and throws here.
    const said = execFileSync(process.execPath, ["--input-type=module", "--eval", program], {
      encoding: "utf8",
      stdio: ["ignore", "pipe", "ignore"],
      timeout: 45_000,
    });
    expect(said.trim()).toMatch(/^(ffmpeg ended with \d+ before the last frame|write EPIPE)$/u);
  }, 60_000);
});

describe("the demo game's clicks", () => {
  const landmarks = new Map(layOut(templateById("flag-100x40")!).landmarks.map((landmark) => [landmark.id, landmark]));

  it("come from the film's pixels: made again, they are the same", () => {
    const again = clicksOn(filmPath);
    const points = (one: DemoClicks) =>
      one.plays.flatMap((play) =>
        play.moments.flatMap((moment) => [...moment.stakes, ...moment.marks].flatMap(({ uPx, vPx }) => [uPx, vPx])),
      );
    const [now, kept] = [points(again), points(clicks)];
    expect(now).toHaveLength(kept.length);
    // Decoders agree bit for bit on luma; the grey conversion may round otherwise from one version to the next.
    for (const [i, value] of now.entries()) expect(Math.abs(value - kept[i]!)).toBeLessThanOrEqual(0.3);
  }, 120_000);

  it("follow the script's plays and frames", () => {
    expect(clicks.plays.map((play) => play.number)).toEqual(scene.plays.map((play) => play.number));
    for (const [i, play] of clicks.plays.entries()) {
      const planned = scene.plays[i]!;
      expect(play.situation).toEqual(planned.situation);
      expect(play.startSec * 30).toBeCloseTo(planned.firstFrame, 3);
      expect(play.endSec * 30).toBeCloseTo(planned.firstFrame + planned.frameCount, 3);
      expect((play.snapSec ?? 0) * 30).toBeCloseTo(planned.snapFrame, 3);
      expect(play.moments.map(({ frameIndex, phase }) => ({ frameIndex, phase }))).toEqual(planned.moments);
      for (const { frameIndex, phase } of play.moments) {
        expect(frameIndex).toBeGreaterThanOrEqual(planned.firstFrame);
        expect(frameIndex).toBeLessThan(planned.firstFrame + planned.frameCount);
        expect(frameIndex < planned.snapFrame).toBe(phase === "pre-snap");
      }
    }
  });

  it("carry a person's error: close to the truth, never the truth, and spread over the picture", () => {
    const offs: number[] = [];
    for (const play of clicks.plays) {
      for (const { frameIndex, stakes } of play.moments) {
        expect(stakes.length).toBeGreaterThanOrEqual(6);
        expect(stakes.length).toBeLessThanOrEqual(8);
        expect(new Set(stakes.map((stake) => stake.landmarkId)).size).toBe(stakes.length);
        const spread = (values: number[]) => Math.max(...values) - Math.min(...values);
        expect(spread(stakes.map((stake) => stake.uPx))).toBeGreaterThan(0.7 * widthPx);
        expect(spread(stakes.map((stake) => stake.vPx))).toBeGreaterThan(0.25 * heightPx);
        const view = viewOf(scene.truthAt(frameIndex).camera);
        for (const { landmarkId, uPx, vPx } of stakes) {
          const { xYards, yYards } = landmarks.get(landmarkId)!.at;
          const there = project(view, [xYards, yYards, 0])!;
          offs.push(uPx - there.uPx, vPx - there.vPx);
        }
      }
    }
    // The hand is 1.2 px an axis, and settling on the paint adds next to nothing; the worst of some 700 draws stays within four and a half sigma.
    const rms = rootMeanSquare(offs);
    expect(rms).toBeGreaterThan(1);
    expect(rms).toBeLessThan(1.5);
    expect(Math.max(...offs.map(Math.abs))).toBeLessThan(5.4);
  });

  it("mark before the snap the whole crew, the ball and every player, within a few pixels of the feet", () => {
    const offs: number[] = [];
    const turns: number[] = [];
    for (const play of clicks.plays) {
      for (const { frameIndex, marks, phase } of play.moments) {
        if (phase !== "pre-snap") continue;
        const truth = scene.truthAt(frameIndex);
        const players = truth.people.filter((person) => person.kind === "player");
        expect(players.length).toBeGreaterThanOrEqual(14);
        expect(marks.filter((mark) => mark.kind === "player")).toHaveLength(players.length);
        const crew = crewClicks(frameIndex, marks);
        offs.push(...crew.offs);
        turns.push(...crew.turns);
      }
    }
    // The hand is 1.5 px an axis; a shoe's middle is not the foot's, by up to 2 px near the camera.
    const rms = rootMeanSquare(offs);
    expect(rms).toBeGreaterThan(1.2);
    expect(rms).toBeLessThan(2.6);
    expect(Math.max(...offs.map(Math.abs))).toBeLessThan(7);
    // The hand turns by 4.6°; pointing 2 yd ahead, its pixels are more than that again on the far side.
    expect(rootMeanSquare(turns)).toBeGreaterThan(4);
    expect(rootMeanSquare(turns)).toBeLessThan(14);
  });

  it("mark after the snap the crew, the ball and whoever is not hidden, a runner a little less surely", () => {
    const offs: number[] = [];
    const turns: number[] = [];
    let players = 0;
    let seen = 0;
    for (const play of clicks.plays) {
      for (const { frameIndex, marks, phase } of play.moments) {
        if (phase === "pre-snap") continue;
        const truth = scene.truthAt(frameIndex);
        const view = viewOf(truth.camera);
        players += truth.people.filter((person) => person.kind === "player").length;
        for (const mark of marks) {
          if (mark.kind !== "player") continue;
          seen += 1;
          // Nobody is marked who is not there: within 12 px of the ground under one of the team and role.
          const nearest = Math.min(
            ...truth.people
              .filter((one) => one.kind === "player" && one.side === mark.team && one.role === mark.role)
              .map((one) => {
                const feet = project(view, [one.xYards, one.yYards, 0])!;
                return Math.hypot(feet.uPx - mark.uPx, feet.vPx - mark.vPx);
              }),
          );
          expect(nearest, `frame ${frameIndex} ${mark.role}`).toBeLessThan(12);
        }
        const crew = crewClicks(frameIndex, marks);
        offs.push(...crew.offs);
        turns.push(...crew.turns);
      }
    }
    expect(players).toBeGreaterThan(400);
    expect(seen / players).toBeGreaterThan(0.9);
    expect(seen).toBeLessThan(players);
    // The hand is 1.5 px an axis; the worst is a shoe behind a cone, a quarter yard.
    const rms = rootMeanSquare(offs);
    expect(rms).toBeGreaterThan(1.2);
    expect(rms).toBeLessThan(2.9);
    expect(Math.max(...offs.map(Math.abs))).toBeLessThan(11);
    // Pointing 5 yd ahead.
    expect(rootMeanSquare(turns)).toBeGreaterThan(4);
    expect(rootMeanSquare(turns)).toBeLessThan(9);
    expect(Math.max(...turns.map(Math.abs))).toBeLessThan(30);
  });
});

type Marks = DemoClicks["plays"][number]["moments"][number]["marks"];

/**
 * How far every official's click lies from their feet, pixels of each axis, and how far the way to the click that marks
 * the facing lies from the way faced, degrees; all must be marked, with a facing.
 */
function crewClicks(frameIndex: number, marks: Marks): { readonly offs: number[]; readonly turns: number[] } {
  const truth = scene.truthAt(frameIndex);
  const view = viewOf(truth.camera);
  expect(marks.filter((mark) => mark.kind === "ball")).toHaveLength(1);
  const offs: number[] = [];
  const turns: number[] = [];
  for (const person of truth.people) {
    if (person.kind !== "official") continue;
    const mark = marks.find((one) => one.kind === "official" && one.position === person.position);
    if (mark?.kind !== "official" || !mark.facing)
      throw new Error(`${person.position} has no mark with a facing at frame ${frameIndex}`);
    const feet = project(view, [person.xYards, person.yYards, 0])!;
    offs.push(mark.uPx - feet.uPx, mark.vPx - feet.vPx);
    const [from, to] = [groundUnder(view, mark.uPx, mark.vPx)!, groundUnder(view, mark.facing.uPx, mark.facing.vPx)!];
    const way = Math.atan2(to.yYards - from.yYards, to.xYards - from.xYards) - person.facingRadians;
    turns.push((Math.atan2(Math.sin(way), Math.cos(way)) * 180) / Math.PI);
  }
  return { offs, turns };
}

function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}
