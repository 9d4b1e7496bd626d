/** The window of decoded frames over a decoder made of numbers, which counts what is decoded, held and closed. */
import type { VideoSample } from "mediabunny";
import { describe, expect, test } from "vitest";
import { frameWindow, planFill, type Travel } from "../../../src-renderer/stage/film/fill-plan.ts";
import { createFrameCache, type FrameCache } from "../../../src-renderer/stage/film/frame-cache.ts";
import { createFrameIndex, type PacketTime } from "../../../src-renderer/stage/film/frame-index.ts";
import type { FrameSource } from "../../../src-renderer/stage/film/frame-source.ts";
import { seededRandom } from "./code-on-canvas.ts";

const frameBytes = 1_000;

type Decoder = {
  readonly source: FrameSource;
  /** Frames decoded, those between a key frame and the first one wanted included. */
  decoded: number;
  open: number;
  running: number;
  closedTwice: number;
};

function setUp(frameCount: number, gop: number, heldFrames: number, missing: readonly number[] = []) {
  const index = createFrameIndex(
    Array.from({ length: frameCount }, (_, i): PacketTime => {
      return { timestamp: i / 30, duration: 1 / 30, type: i % gop === 0 ? "key" : "delta" };
    }),
  );
  if (index === null) throw new Error("no index");
  const decoder: Decoder = {
    decoded: 0,
    open: 0,
    running: 0,
    closedTwice: 0,
    source: {
      heldFramesLimit: Infinity,
      run(firstIndex) {
        decoder.running++;
        let next = firstIndex;
        let stopped = false;
        let isFirst = true;
        const end = (): void => {
          if (!stopped) decoder.running--;
          stopped = true;
        };
        return {
          firstIndex,
          async next() {
            await new Promise((resolve) => setTimeout(resolve));
            decoder.decoded += isFirst ? (firstIndex % gop) + 1 : 1;
            isFirst = false;
            while (missing.includes(next)) next++;
            if (stopped || next >= frameCount) {
              end();
              return null;
            }
            return { frameIndex: next, sample: sampleOf(next++, decoder) };
          },
          stop: end,
        };
      },
    },
  };
  return { decoder, cache: createFrameCache(decoder.source, index, heldFrames * frameBytes) };
}

function sampleOf(frameIndex: number, decoder: Decoder): VideoSample {
  let isOpen = true;
  decoder.open++;
  const sample = {
    timestamp: frameIndex,
    format: "I420",
    allocationSize: () => frameBytes,
    close() {
      if (!isOpen) decoder.closedTwice++;
      else decoder.open--;
      isOpen = false;
    },
  };
  // Only what the cache uses of a sample.
  return sample as unknown as VideoSample;
}

async function settled(decoder: Decoder): Promise<void> {
  for (let before = -1; before !== decoder.decoded;) {
    before = decoder.decoded;
    await new Promise((resolve) => setTimeout(resolve, 30));
  }
}

async function show(cache: FrameCache, frameIndex: number, travel: Travel): Promise<number | string> {
  const result = await cache.moveTo(frameIndex, travel);
  return result.kind === "held" ? result.sample.timestamp : result.kind;
}

describe("the window", () => {
  test("holds more of what is travelled to, and moves inwards at the film's ends", () => {
    expect(frameWindow(500, 1, 101, 1_000)).toEqual({ first: 470, last: 570, ahead: 70, behind: 30 });
    expect(frameWindow(500, -1, 101, 1_000)).toEqual({ first: 430, last: 530, ahead: 30, behind: 70 });
    expect(frameWindow(500, 0, 101, 1_000)).toEqual({ first: 450, last: 550, ahead: 50, behind: 50 });
    expect(frameWindow(0, -1, 101, 1_000)).toMatchObject({ first: 0, last: 100 });
    expect(frameWindow(999, 1, 101, 1_000)).toMatchObject({ first: 899, last: 999 });
    expect(frameWindow(3, 0, 101, 10)).toMatchObject({ first: 0, last: 9 });
  });

  test("the playhead's own frame comes first, then the side travelled to, a group of pictures at a time behind", () => {
    const window = frameWindow(500, -1, 101, 1_000);
    const held = (first: number, last: number) => ({
      has: (i: number) => i >= first && i <= last,
      keyBefore: (i: number) => i - (i % 30),
    });
    const nothing = held(1, 0);
    expect(planFill(500, 1, window, nothing)).toEqual({ first: 500, last: 530, urgent: true });
    expect(planFill(500, -1, window, nothing)).toEqual({ first: 480, last: 500, urgent: true });
    expect(planFill(500, -1, window, held(500, 530))).toEqual({ first: 480, last: 499, urgent: true });
    expect(planFill(500, -1, window, held(480, 530))).toEqual({ first: 450, last: 479, urgent: false });
    // The window ends inside a group.
    expect(planFill(470, -1, frameWindow(470, -1, 41, 1_000), held(450, 600))).toBeNull();
    expect(planFill(470, -1, frameWindow(470, -1, 41, 1_000), held(460, 600))).toMatchObject({ first: 450, last: 459 });
    expect(planFill(500, -1, window, held(440, 530))).toBeNull();
    expect(planFill(500, 1, frameWindow(500, 1, 101, 1_000), held(470, 510))).toMatchObject({ first: 511 });
    // After a jump: a little ahead, a group behind, then the rest.
    const around = frameWindow(500, 0, 101, 1_000);
    expect(planFill(500, 0, around, held(500, 500))).toMatchObject({ first: 501, last: 515 });
    expect(planFill(500, 0, around, held(500, 515))).toMatchObject({ first: 480, last: 499 });
    expect(planFill(500, 0, around, held(480, 515))).toMatchObject({ first: 516, last: 550 });
    expect(planFill(500, 0, around, held(480, 550))).toMatchObject({ first: 450, last: 479 });
  });
});

describe("the cache", () => {
  test("shows the frame asked for, whatever the order, and never holds more than its budget", async () => {
    const { decoder, cache } = setUp(2_000, 30, 40);
    const random = seededRandom(77);
    let frameIndex = 1_000;
    for (let move = 0; move < 400; move++) {
      const kind = random();
      const travel: Travel = kind < 0.1 ? 0 : kind < 0.55 ? 1 : -1;
      frameIndex = travel === 0 ? Math.floor(random() * 2_000) : Math.max(0, Math.min(1_999, frameIndex + travel));
      expect(await show(cache, frameIndex, travel)).toBe(frameIndex);
      // One more may be between the decoder and the window.
      expect(decoder.open).toBeLessThanOrEqual(42);
      expect(cache.stats().heldBytes).toBeLessThanOrEqual(40 * frameBytes);
    }
    cache.dispose();
    await settled(decoder);
    expect(decoder).toMatchObject({ open: 0, running: 0, closedTwice: 0 });
  });

  test("steps back from a cold place decode each group of pictures once, and not again at every step", async () => {
    const { decoder, cache } = setUp(2_000, 30, 190);
    for (let frameIndex = 315; frameIndex >= 275; frameIndex--) {
      expect(await show(cache, frameIndex, frameIndex === 315 ? 0 : -1)).toBe(frameIndex);
    }
    expect(cache.stats().startedRuns).toBeLessThanOrEqual(8);
    cache.dispose();
    await settled(decoder);
  });

  test("fills both sides after a jump, then rests", async () => {
    const { decoder, cache } = setUp(1_000, 250, 41);
    await show(cache, 600, 0);
    await settled(decoder);
    const missing = Array.from({ length: 41 }, (_, i) => 580 + i).filter((i) => cache.peek(i) === null);
    expect(missing).toEqual([]);
    const { decoded } = decoder;
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect(decoder.decoded).toBe(decoded);
    cache.dispose();
  });

  test("stepping back through a long group decodes each frame a few times, not once a step from its key frame", async () => {
    const { decoder, cache } = setUp(1_000, 250, 80);
    await show(cache, 480, 0);
    await settled(decoder);
    const before = decoder.decoded;
    for (let frameIndex = 479; frameIndex > 280; frameIndex--) {
      expect(await show(cache, frameIndex, -1)).toBe(frameIndex);
      await new Promise((resolve) => setTimeout(resolve, 2));
    }
    // 200 steps; from the key frame each time would be 250 to 30 frames a step, 28,000 in all.
    expect(decoder.decoded - before).toBeLessThan(2_500);
    cache.dispose();
  });

  test("stepping forward decodes every frame once", async () => {
    const { decoder, cache } = setUp(1_000, 250, 80);
    for (let frameIndex = 0; frameIndex < 400; frameIndex++) expect(await show(cache, frameIndex, 1)).toBe(frameIndex);
    await settled(decoder);
    expect(decoder.decoded).toBeLessThan(500);
    expect(cache.stats().startedRuns).toBe(1);
    cache.dispose();
  });

  test("a jump gives up what was being decoded for the place before", async () => {
    const { decoder, cache } = setUp(5_000, 250, 80);
    const first = cache.moveTo(100, 0);
    const second = cache.moveTo(4_000, 0);
    expect(await first).toEqual({ kind: "superseded" });
    expect(await second).toMatchObject({ kind: "held", sample: { timestamp: 4_000 } });
    expect(decoder.running).toBe(1);
    cache.dispose();
  });

  test("frames that are expected to be jumped to are there before they are asked for, and only as many as there is room for", async () => {
    const { decoder, cache } = setUp(5_000, 30, 80);
    await show(cache, 500, 0);
    const expected = [4_000, 1_000, 2_000, 3_000, 100, 200, 300, 400, 600, 700, 800, 900, 1_100];
    cache.expect(expected);
    await settled(decoder);
    // An eighth of what is held.
    expect(expected.filter((frameIndex) => cache.peek(frameIndex) !== null)).toEqual(expected.slice(0, 10));
    expect(decoder.open).toBeLessThanOrEqual(80);
    // Those near are decoded too, and a walk forward lets go of none that is still expected.
    for (let frameIndex = 501; frameIndex < 580; frameIndex++)
      expect(await show(cache, frameIndex, 1)).toBe(frameIndex);
    expect(cache.peek(4_000)).not.toBeNull();
    cache.expect([2_000]);
    const before = decoder.decoded;
    const jumped = cache.moveTo(2_000, 0);
    expect(decoder.decoded).toBe(before);
    expect(await jumped).toMatchObject({ kind: "held", sample: { timestamp: 2_000 } });
    await settled(decoder);
    // What is no longer expected goes with the window, and the window is whole around where one is now.
    expect(cache.peek(4_000)).toBeNull();
    expect([1_981, 1_999, 2_001, 2_019].map((frameIndex) => cache.peek(frameIndex)?.timestamp)).toEqual([
      1_981, 1_999, 2_001, 2_019,
    ]);
    expect(decoder.open).toBeLessThanOrEqual(81);
    cache.expect([]);
    cache.dispose();
    await settled(decoder);
    expect(decoder).toMatchObject({ open: 0, running: 0, closedTwice: 0 });
  });

  test("an expected frame that cannot be decoded is tried once, and what is not of the film is never", async () => {
    const { decoder, cache } = setUp(1_000, 30, 80, [900]);
    await show(cache, 100, 0);
    cache.expect([-1, 1_000, 900, 700]);
    await settled(decoder);
    expect([cache.peek(900), cache.peek(700)?.timestamp]).toEqual([null, 700]);
    const before = decoder.decoded;
    cache.expect([900, 700]);
    await settled(decoder);
    expect(decoder.decoded).toBe(before);
    cache.dispose();
  });

  test("resting stops the decoder and keeps the frames", async () => {
    const { decoder, cache } = setUp(1_000, 30, 80);
    await show(cache, 500, 0);
    cache.rest();
    await settled(decoder);
    expect([decoder.running, cache.peek(500)?.timestamp]).toEqual([0, 500]);
    expect(await show(cache, 501, 1)).toBe(501);
    cache.dispose();
  });

  test("a frame that the decoder leaves out fails, and those beside it do not", async () => {
    const { decoder, cache } = setUp(200, 30, 20, [50, 51, 199]);
    expect([await show(cache, 50, 0), await show(cache, 52, 1), await show(cache, 49, -1)]).toEqual(["failed", 52, 49]);
    expect([await show(cache, 199, 0), await show(cache, 198, -1)]).toEqual(["failed", 198]);
    await settled(decoder);
    cache.dispose();
    await settled(decoder);
    expect(decoder).toMatchObject({ open: 0, running: 0, closedTwice: 0 });
  });

  test("a decoder that breaks fails the frame, and the next request tries again", async () => {
    const { decoder, cache } = setUp(200, 30, 20);
    const whole = { ...decoder.source };
    let breaks = true;
    Object.assign(decoder.source, {
      run: (firstIndex: number) => ({
        ...whole.run(firstIndex),
        ...(breaks ? { next: () => Promise.reject(new Error("torn")) } : {}),
      }),
    });
    expect(await cache.moveTo(10, 0)).toEqual({ kind: "failed", of: "film", message: "torn" });
    breaks = false;
    expect(await show(cache, 11, 1)).toBe(11);
    cache.dispose();
  });
});
