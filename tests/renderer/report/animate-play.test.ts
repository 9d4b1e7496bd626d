/** The moving picture of a demo play, made in a real browser and read back from its own pixels. */
import { ALL_FORMATS, BufferSource, Input, VideoSampleSink } from "mediabunny";
import { afterEach, describe, expect, test, vi } from "vitest";
import type { MarkSubject } from "#core/game/records";
import { playAnimation } from "#core/report/play-animation";
import { animatePlay, AnimationRefused } from "../../../src-renderer/stage/report/animate-play.ts";
import { picturePng } from "../../../src-renderer/stage/report/picture-png.ts";
import { demoTaught } from "./demo-taught.ts";
import { findLetters, greyOf, lettersOf } from "./letters.ts";

const { play, judged, course, layout } = demoTaught(13);
const framesPerSecond = 25;
const options = () => ({ signal: new AbortController().signal, onProgress: () => undefined });
const plain = playAnimation(course, layout, play.situation, { framesPerSecond });

/** The rusher in a colour that nothing else in the picture has, over everybody, so that their letter can be measured. */
const isRusher = (subject: MarkSubject) =>
  subject.kind === "player" && subject.side === "B" && subject.role === "rusher";
const rusher = course.tracks.find(({ subject }) => isRusher(subject))!;
const animation = {
  ...plain,
  frames: plain.frames.map((shapes, index) => {
    const sec = Math.min(lastSec(), Math.max(firstSec(), firstSec() + (index - 15) / framesPerSecond));
    const { at } = course.standings(sec).find(({ track }) => track === rusher)!;
    const own = shapes.find(
      (shape) =>
        shape.kind === "label" &&
        shape.ink === "defence" &&
        Math.hypot(shape.at[0] - at.xYards, shape.at[1] - (layout.widthYards - at.yYards)) < 1e-9,
    );
    if (own?.kind !== "label") throw new Error("the rusher is not drawn");
    return [...shapes.filter((shape) => shape !== own), { ...own, ink: "ghost-next" as const }];
  }),
};

/** Marks of a subject in each moment, on the ground, and when: seconds after the snap. */
function marksOf(isTheirs: (subject: MarkSubject) => boolean) {
  return judged.moments.map(({ moment, judged: { placed } }) => {
    const own = placed.filter(({ subject }) => isTheirs(subject));
    if (own.length !== 1) throw new Error(`marked ${own.length} times at ${moment.timeSec} s`);
    return { sec: moment.timeSec - play.snapSec!, ...own[0]!.measured.position };
  });
}
function firstSec(): number {
  return judged.moments[0]!.moment.timeSec - play.snapSec!;
}
function lastSec(): number {
  return judged.moments.at(-1)!.moment.timeSec - play.snapSec!;
}

/** Where two marks put somebody at an instant between them, pixels of the picture: 110 yd across 1280, from 11 yd above the field. */
function truthPx(isTheirs: (subject: MarkSubject) => boolean, sec: number) {
  const marks = marksOf(isTheirs);
  const next = marks.findIndex((mark) => mark.sec >= sec);
  const [a, b] = [marks[next - 1]!, marks[next]!];
  const share = (sec - a.sec) / (b.sec - a.sec);
  const xYards = a.xYards * (1 - share) + b.xYards * share;
  const yYards = a.yYards * (1 - share) + b.yYards * share;
  return { xPx: (xYards + 5) * pxAYard, yPx: (40 - yYards + 11) * pxAYard };
}
const pxAYard = 1280 / 110;

async function decoded(bytes: Uint8Array<ArrayBuffer>, frames: readonly number[]): Promise<ImageData[]> {
  const input = new Input({ formats: ALL_FORMATS, source: new BufferSource(bytes) });
  const track = (await input.getPrimaryVideoTrack())!;
  const sink = new VideoSampleSink(track);
  const pictures: ImageData[] = [];
  for (const frame of frames) {
    const sample = (await sink.getSample((frame + 0.5) / framesPerSecond))!;
    const context = new OffscreenCanvas(sample.displayWidth, sample.displayHeight).getContext("2d")!;
    sample.draw(context, 0, 0);
    sample.close();
    pictures.push(context.getImageData(0, 0, context.canvas.width, context.canvas.height));
  }
  input.dispose();
  return pictures;
}

/** The middle of all that is of the rusher’s colour: from its first column and row to its last. */
function middleOfColour({ width, height, data }: ImageData) {
  let [left, right, top, bottom] = [width, -1, height, -1];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = 4 * (y * width + x);
      // #c26a12, and nothing else, is this much redder than it is blue.
      if (data[i]! - data[i + 2]! < 88) continue;
      [left, right] = [Math.min(left, x), Math.max(right, x)];
      [top, bottom] = [Math.min(top, y), Math.max(bottom, y)];
    }
  }
  return { xPx: (left + right + 1) / 2, yPx: (top + bottom + 1) / 2, isFound: right >= 0, widthPx: right - left };
}

/** Halved colours blur an edge by a pixel, and letters stand on whole ones in part: a tenth of a yard is 1.2 px. */
const tolerance = { officialYards: 0.12, playerYards: 0.15 };

afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

describe("the moving picture of a play", () => {
  test("shows the crew and a player where the marks put them, at five instants of its own pixels", async () => {
    const progress: [number, number][] = [];
    const bytes = await animatePlay(animation, {
      ...options(),
      onProgress: (done, total) => progress.push([done, total]),
    });
    const count = animation.frames.length;
    expect(progress).toEqual(Array.from({ length: count }, (_, i) => [i + 1, count]));

    // Fifteen frames of the first moment stand before the play moves; none of these is at a moment.
    const frames = [24, 36, 51, 66, 82];
    const pictures = await decoded(bytes, frames);
    const off: { who: string; frame: number; yards: number }[] = [];
    for (const [i, picture] of pictures.entries()) {
      expect([picture.width, picture.height]).toEqual([1280, 652]);
      const sec = firstSec() + (frames[i]! - 15) / framesPerSecond;
      const grey = greyOf(picture);
      for (const position of ["R", "LJ", "FJ", "BJ"]) {
        const truth = truthPx((subject) => subject.kind === "official" && subject.position === position, sec);
        const found = findLetters(grey, lettersOf(position, 32));
        expect(found.likeness).toBeGreaterThan(0.8);
        const yards = Math.hypot(found.xPx - truth.xPx, found.yPx - truth.yPx) / pxAYard;
        off.push({ who: position, frame: frames[i]!, yards });
      }
      const truth = truthPx(isRusher, sec);
      const found = middleOfColour(picture);
      expect(found.isFound).toBe(true);
      // One letter and no more: an X is under two yards wide.
      expect(found.widthPx).toBeLessThan(2 * pxAYard);
      const yards = Math.hypot(found.xPx - truth.xPx, found.yPx - truth.yPx) / pxAYard;
      off.push({ who: "rusher", frame: frames[i]!, yards });
    }
    const worst = (isTheirs: (who: string) => boolean) =>
      Math.max(...off.filter(({ who }) => isTheirs(who)).map(({ yards }) => yards));
    const officials = worst((who) => who !== "rusher");
    const player = worst((who) => who === "rusher");
    console.log(
      `farthest off in the pixels: officials ${officials.toFixed(3)} yd, player ${player.toFixed(3)} yd; ` +
        `${count} frames, ${(bytes.length / 1024).toFixed(0)} kB`,
    );
    expect(officials).toBeLessThan(tolerance.officialYards);
    expect(player).toBeLessThan(tolerance.playerYards);
    // They were not measured standing still.
    const moved = (isTheirs: (subject: MarkSubject) => boolean) => {
      const [from, to] = [truthPx(isTheirs, firstSec() + 0.36), truthPx(isTheirs, firstSec() + 2.68)];
      return Math.hypot(to.xPx - from.xPx, to.yPx - from.yPx) / pxAYard;
    };
    expect(moved(isRusher)).toBeGreaterThan(5);
    expect(moved((subject) => subject.kind === "official" && subject.position === "LJ")).toBeGreaterThan(1);
  }, 60_000);

  test("keeps nothing of the frames before: late in the play it is the picture of that instant alone", async () => {
    const frame = 82;
    const [picture] = await decoded(await animatePlay(plain, options()), [frame]);
    const shapes = [...plain.base, ...plain.frames[frame]!];
    const png = await picturePng({ ...plain, shapes, stillKey: null }, null);
    const bitmap = await createImageBitmap(new Blob([png], { type: "image/png" }));
    const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext("2d")!;
    context.drawImage(bitmap, 0, 0);
    bitmap.close();
    const [one, other] = [greyOf(picture!), greyOf(context.getImageData(0, 0, 1280, 652))];
    // Coded edges are off by a few shades; ink where there is paper, by a hundred.
    const otherwise = one.data.filter((grey, i) => Math.abs(grey - other.data[i]!) > 60).length;
    expect(otherwise).toBeLessThan(one.data.length / 10_000);
  }, 60_000);

  test("lasts as long as the play and its two holds, and leaves no worker", async () => {
    const ended = vi.spyOn(Worker.prototype, "terminate");
    const bytes = await animatePlay(plain, { ...options(), widthPx: 320 });
    expect(ended).toHaveBeenCalledTimes(1);
    const input = new Input({ formats: ALL_FORMATS, source: new BufferSource(bytes) });
    expect((await input.getFormat()).mimeType).toBe("video/webm");
    // 0.6 s, the play, the last frame's own time and 0.6 s.
    const expected = 0.6 + Math.ceil((lastSec() - firstSec()) * 25 - 1e-6) / 25 + 0.04 + 0.6;
    expect(await input.computeDuration()).toBeCloseTo(expected, 2);
    input.dispose();
  }, 60_000);

  test("given up half-way ends at once, and nothing of it goes on", async () => {
    const ended = vi.spyOn(Worker.prototype, "terminate");
    const giving = new AbortController();
    let calls = 0;
    const made = animatePlay(plain, {
      signal: giving.signal,
      onProgress: () => {
        calls++;
        if (calls === 12) giving.abort();
      },
    });
    await expect(made).rejects.toMatchObject({ name: "AbortError" });
    expect(calls).toBe(12);
    expect(ended).toHaveBeenCalledTimes(1);
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(calls).toBe(12);
  }, 60_000);

  test("given up before it begins makes nothing", async () => {
    const begun = vi.spyOn(Worker.prototype, "postMessage");
    const made = animatePlay(plain, { ...options(), signal: AbortSignal.abort() });
    await expect(made).rejects.toMatchObject({ name: "AbortError" });
    expect(begun).not.toHaveBeenCalled();
  });

  test("is refused with a sentence where the browser writes no such picture", async () => {
    vi.stubGlobal("VideoEncoder", undefined);
    const made = animatePlay(plain, { ...options(), widthPx: 1266 });
    await expect(made).rejects.toBeInstanceOf(AnimationRefused);
    await expect(made).rejects.toMatchObject({
      reason: "no-encoder",
      message: expect.stringMatching(/^[A-Z].* cannot write a moving picture as WebM\. .*\.$/u),
    });
  });

  test("says that it failed where a picture cannot be written, and leaves no worker", async () => {
    const ended = vi.spyOn(Worker.prototype, "terminate");
    // A frame that is no list of shapes at all.
    const broken = { ...plain, frames: [...plain.frames.slice(0, 3), null as unknown as []] };
    await expect(animatePlay(broken, options())).rejects.toMatchObject({
      name: "AnimationRefused",
      reason: "failed",
      message: expect.stringMatching(/^The moving picture could not be made\. \(.+\)$/u),
    });
    expect(ended).toHaveBeenCalledTimes(1);
  });

  test("is refused where there is nothing to show, or too much", async () => {
    const empty = animatePlay({ ...plain, frames: [] }, options());
    await expect(empty).rejects.toMatchObject({ reason: "empty", message: expect.stringMatching(/^[A-Z].{20,}\.$/u) });
    const long = animatePlay({ ...plain, frames: Array.from({ length: 3001 }, () => []) }, options());
    await expect(long).rejects.toMatchObject({ reason: "too-long", message: expect.stringContaining("120 s") });
  });
});
