/**
 * The frames of a film, in the order they are shown. A frame is known by its index, from 0; its time is the start
 * timestamp that the container gives its packet, in seconds. Nothing is derived from a nominal rate, so variable rate,
 * B-frames, start offsets and edit lists need no case of their own.
 */
export type FrameIndex = {
  readonly frameCount: number;
  /** End of the last frame, in seconds. */
  readonly durationSec: number;
  /** Start of a frame, in seconds. Throws for an index outside the film. */
  timeOf(frameIndex: number): number;
  /** The frame on screen at a time: the last one that started by then, held to the film's first and last frame. */
  frameAt(timeSec: number): number;
  /** The last frame at or before this one that the container calls a key frame; 0 when there is none. */
  keyBefore(frameIndex: number): number;
};

/** What the index needs of a packet; timestamps and durations in seconds. */
export type PacketTime = { readonly timestamp: number; readonly duration: number; readonly type: "key" | "delta" };

/**
 * Added to a time before asking for its frame. Half a clock tick of the finest container clock in use (1/90000 s and
 * coarser) is more than this, and rounding to whole microseconds is less.
 */
export const askAfterSec = 1e-6;

/**
 * Index from packet times in any order (packets come in decoding order). Negative timestamps are dropped, as an edit
 * list hides those frames; packets with one timestamp are one frame. Null when no frame is left.
 */
export function createFrameIndex(packets: Iterable<PacketTime>): FrameIndex | null {
  const starts: number[] = [];
  const keyStarts: number[] = [];
  let endSec = 0;
  for (const { timestamp, duration, type } of packets) {
    if (!(timestamp >= 0)) continue;
    starts.push(timestamp);
    if (type === "key") keyStarts.push(timestamp);
    endSec = Math.max(endSec, timestamp + Math.max(0, duration));
  }
  const sorted = Float64Array.from(starts).sort();
  let frameCount = 0;
  for (const start of sorted) {
    if (frameCount === 0 || start > at(sorted, frameCount - 1)) sorted[frameCount++] = start;
  }
  if (frameCount === 0) return null;
  const times = sorted.slice(0, frameCount);
  const keyTimes = Float64Array.from(keyStarts).sort();
  const frameAt = (timeSec: number): number => Math.max(0, lastAtOrBefore(times, timeSec));
  return {
    frameCount,
    durationSec: endSec,
    timeOf: (frameIndex) => at(times, frameIndex),
    frameAt,
    keyBefore(frameIndex) {
      const key = lastAtOrBefore(keyTimes, at(times, frameIndex));
      return key < 0 ? 0 : frameAt(at(keyTimes, key));
    },
  };
}

/** Position of the last of the sorted times that is not after the given one, or -1. */
function lastAtOrBefore(times: Float64Array, timeSec: number): number {
  const wanted = timeSec + askAfterSec;
  let low = -1;
  let high = times.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (at(times, middle) <= wanted) low = middle;
    else high = middle;
  }
  return low;
}

function at(times: Float64Array, position: number): number {
  const time = times[position];
  if (time === undefined) throw new RangeError(`no frame ${position} in a film of ${times.length} frames`);
  return time;
}
