import { describe, expect, onTestFinished, test } from "vitest";
import { openFilm } from "../../../src-renderer/stage/film/film-reader.ts";
import { codeOn, openClip } from "./code-on-canvas.ts";

describe("a film that cannot be shown says why", () => {
  // Software decoding in the browser has no HEVC, ProRes or Motion JPEG, and the container library no AVI.
  test.each([
    ["hevc", "codec", "HEVC (H.265)"],
    ["prores", "codec", "Apple ProRes"],
    ["motion-jpeg", "codec", "Motion JPEG"],
    ["avi", "unreadable", null],
    ["not-a-film", "unreadable", null],
    ["sound-only", "no-video", null],
    ["nowhere", "unreachable", null],
  ])("%s: %s", async (name, reason, codec) => {
    const opened = await openFilm(`/film/${name}`);
    expect(opened).toMatchObject({ ok: false, reason, codec });
    expect(opened).toHaveProperty("message", expect.stringMatching(/^[A-Z].{15,}\.$/));
  });

  test("given up half-way", async () => {
    const giving = new AbortController();
    const opening = openFilm("/film/constant-30", { signal: giving.signal });
    giving.abort();
    expect(await opening).toMatchObject({ ok: false, reason: "aborted" });
  });
});

describe("a film that was cut off", () => {
  test("a download that stopped: what is there is exact, and what is not says so", async () => {
    const film = await openClip("cut-short", 40 * 86_400);
    const canvas = document.createElement("canvas");
    // Six tenths of the bytes of 300 frames, one group of pictures a second.
    for (const frameIndex of [100, 3, 120]) {
      expect(await film.show(frameIndex, canvas)).toEqual({ kind: "shown", frameIndex });
      expect(codeOn(canvas)).toBe(frameIndex);
    }
    expect(await film.show(280, canvas)).toMatchObject({
      kind: "failed",
      frameIndex: 280,
      of: "frame",
      message: "This frame cannot be decoded.",
    });
    expect(codeOn(canvas)).toBe(120);
    expect(await film.show(60, canvas)).toEqual({ kind: "shown", frameIndex: 60 });
    expect(codeOn(canvas)).toBe(60);
    film.dispose();
  }, 30_000);

  test("a recording that broke off has the frames that were written, to the last", async () => {
    const film = await openClip("broken-off", 40 * 86_400);
    const canvas = document.createElement("canvas");
    // Six tenths of ten seconds, and what was written of the cluster that was being written.
    expect(film.frameCount).toBeGreaterThan(90);
    expect(film.frameCount).toBeLessThan(240);
    for (const frameIndex of [0, film.frameCount - 1, 45]) {
      expect(await film.show(frameIndex, canvas)).toEqual({ kind: "shown", frameIndex });
      expect(codeOn(canvas)).toBe(frameIndex);
    }
    film.dispose();
  }, 30_000);
});

describe("requests that overtake each other", () => {
  test("of many jumps at once only the last is drawn", async () => {
    const film = await openClip("long-gop");
    const canvas = document.createElement("canvas");
    const wanted = [500, 20, 310, 77, 450, 123];
    const results = await Promise.all(wanted.map((frameIndex) => film.show(frameIndex, canvas)));
    expect(results.slice(0, -1)).toEqual(wanted.slice(0, -1).map(() => ({ kind: "superseded" })));
    expect(results.at(-1)).toEqual({ kind: "shown", frameIndex: 123 });
    expect(codeOn(canvas)).toBe(123);
    film.dispose();
  });

  test("scrubbing faster than the decoder still shows pictures on the way, and ends on the last", async () => {
    const film = await openClip("long-gop");
    const canvas = document.createElement("canvas");
    const shown: number[] = [];
    const requests: Promise<unknown>[] = [];
    const endMs = performance.now() + 2_000;
    let frameIndex = 0;
    while (performance.now() < endMs) {
      // Hops over a group of pictures, so that each would have to be decoded from a key frame.
      frameIndex = (frameIndex + 263) % 600;
      requests.push(
        film.show(frameIndex, canvas).then((result) => {
          if (result.kind === "shown") shown.push(result.frameIndex);
        }),
      );
      await new Promise((resolve) => setTimeout(resolve, 2));
    }
    await Promise.all(requests);
    expect(shown.length).toBeGreaterThan(3);
    expect(shown.at(-1)).toBe(frameIndex);
    expect(codeOn(canvas)).toBe(frameIndex);
    film.dispose();
  });

  test("held-down steps are shown one by one, and a pile of them is not worked off after the key is up", async () => {
    const film = await openClip("long-gop");
    const canvas = document.createElement("canvas");
    await film.show(400, canvas);
    const frames: number[] = [];
    const codes: (number | null)[] = [];
    await Promise.all(
      Array.from({ length: 40 }, async () => {
        const result = await film.step(-1, canvas);
        if (result.kind !== "shown") return;
        frames.push(result.frameIndex);
        codes.push(codeOn(canvas));
      }),
    );
    expect(frames).toEqual(frames.map((_, i) => 399 - i));
    expect(codes).toEqual(frames);
    expect(frames.length).toBe(3);
    film.dispose();
  });

  test("a jump clears the steps that wait", async () => {
    const film = await openClip("long-gop");
    const canvas = document.createElement("canvas");
    await film.show(300, canvas);
    const steps = [film.step(1, canvas), film.step(1, canvas), film.step(1, canvas)];
    await film.show(50, canvas);
    await Promise.all(steps);
    expect(codeOn(canvas)).toBe(50);
    expect(await film.step(1, canvas)).toEqual({ kind: "shown", frameIndex: 51 });
    film.dispose();
  });
});

test("the window keeps to its budget of bytes, and every frame in it is right", async () => {
  // 320 × 180 in 4:2:0 is 86,400 bytes: room for 20 frames.
  const film = await openClip("long-gop", 20 * 86_400);
  const canvas = document.createElement("canvas");
  await film.show(200, canvas);
  for (let step = 0; step < 60; step++) {
    const result = await film.step(-1, canvas);
    expect(result).toEqual({ kind: "shown", frameIndex: 199 - step });
    expect(codeOn(canvas)).toBe(199 - step);
    expect(film.stats().heldBytes).toBeLessThanOrEqual(20 * 86_400);
  }
  film.dispose();
  expect(film.stats().heldFrames).toBe(0);
  expect(await film.show(3, canvas)).toEqual({ kind: "superseded" });
});

test("dispose frees every decoder and every decoded frame, also those that were on their way", async () => {
  const decoders: VideoDecoder[] = [];
  const frames: VideoFrame[] = [];
  const { VideoDecoder: decoderClass } = globalThis;
  const { clone } = VideoFrame.prototype;
  onTestFinished(() => {
    globalThis.VideoDecoder = decoderClass;
    VideoFrame.prototype.clone = clone;
  });
  globalThis.VideoDecoder = class extends decoderClass {
    constructor({ output, error }: VideoDecoderInit) {
      super({ error, output: (frame) => (frames.push(frame), output(frame)) });
      decoders.push(this);
    }
  };
  VideoFrame.prototype.clone = function cloneAndKeep() {
    const copy = clone.call(this);
    frames.push(copy);
    return copy;
  };
  const film = await openClip("ntsc-b-frames", 40 * 86_400);
  const canvas = document.createElement("canvas");
  for (const frameIndex of [200, 30, 290, 31, 32]) await film.show(frameIndex, canvas);
  // A closed frame has no size any more (WebCodecs, "Close VideoFrame").
  const open = (): number => frames.filter(({ codedWidth }) => codedWidth > 0).length;
  expect(open()).toBeGreaterThan(0);
  // More than there is room for, so that some were let go on the way; how many more is the machine's own.
  expect(frames.length).toBeGreaterThan(40);
  const onItsWay = film.show(120, canvas);
  film.dispose();
  expect(await onItsWay).toEqual({ kind: "superseded" });
  await expect.poll(() => [open(), decoders.filter(({ state }) => state !== "closed").length]).toEqual([0, 0]);
});
