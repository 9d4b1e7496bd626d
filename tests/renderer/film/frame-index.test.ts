import { expect, test } from "vitest";
import { createFrameIndex, type FrameIndex, type PacketTime } from "../../../src-renderer/stage/film/frame-index.ts";
import { seededRandom } from "./code-on-canvas.ts";

function indexOf(timestamps: readonly number[], duration = 0.04, keys: readonly number[] = []): FrameIndex {
  const packets = timestamps.map((timestamp): PacketTime => {
    return { timestamp, duration, type: keys.includes(timestamp) ? "key" : "delta" };
  });
  const index = createFrameIndex(packets);
  if (index === null) throw new Error("no index");
  return index;
}

test("packets in decoding order become frames in the order of showing", () => {
  // I P B B as an encoder with B-frames sends them.
  const index = indexOf([0, 0.12, 0.04, 0.08]);
  expect([0, 1, 2, 3].map((frameIndex) => index.timeOf(frameIndex))).toEqual([0, 0.04, 0.08, 0.12]);
  expect(index.durationSec).toBeCloseTo(0.16, 12);
});

test("frames hidden before an edit list's cut are none, two packets at one time are one", () => {
  const index = indexOf([-0.08, -0.04, 0, 0.04, 0.04, 0.08]);
  expect(index.frameCount).toBe(3);
  expect(index.timeOf(0)).toBe(0);
});

test("no frame left is no index", () => {
  expect(createFrameIndex([])).toBeNull();
  expect(createFrameIndex([{ timestamp: -1, duration: 0.5, type: "key" }])).toBeNull();
  expect(createFrameIndex([{ timestamp: NaN, duration: 0.5, type: "key" }])).toBeNull();
});

test("the frame at a time is the last that started, held to the film's ends", () => {
  const index = indexOf([1.5, 1.54, 1.6]);
  expect([0, 1.5, 1.5399, 1.54, 1.59, 1.6, 99].map((timeSec) => index.frameAt(timeSec))).toEqual([0, 0, 0, 1, 1, 2, 2]);
});

test("every frame is at its own time, also after a rounding to whole microseconds", () => {
  const random = seededRandom(20_261);
  let timeSec = 0;
  // Uneven intervals of 4 to 104 ms on the clock of 1/90000 s that transport streams and phones use.
  const times = Array.from({ length: 5_000 }, () => {
    timeSec += Math.round((0.004 + random() * 0.1) * 90_000) / 90_000;
    return timeSec;
  });
  const index = indexOf(times);
  const wrong = times.filter((time, i) => {
    const rounded = Math.round(time * 1e6) / 1e6;
    return (
      index.frameAt(time) !== i ||
      index.frameAt(rounded) !== i ||
      index.frameAt(index.timeOf(i) - 2e-6) !== Math.max(0, i - 1)
    );
  });
  expect(wrong).toEqual([]);
});

test("the key frame a frame is decoded from", () => {
  const index = indexOf([0, 0.12, 0.04, 0.08, 0.16, 0.2], 0.04, [0, 0.12]);
  expect([0, 1, 2, 3, 4, 5].map((frameIndex) => index.keyBefore(frameIndex))).toEqual([0, 0, 0, 3, 3, 3]);
  expect(indexOf([0, 1, 2]).keyBefore(2)).toBe(0);
});

test("an index outside the film is a mistake of ours", () => {
  const index = indexOf([0, 0.04]);
  expect(() => index.timeOf(2)).toThrow(/no frame 2/);
  expect(() => index.timeOf(-1)).toThrow(RangeError);
});
