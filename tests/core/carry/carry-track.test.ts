import { describe, expect, it } from "vitest";
import { type CarriedFrame, anchorFrame, mapOf, referencePoints } from "#core/carry/carried-frame";
import { carryStop } from "#core/carry/carry-stop";
import { changeBetween, cutGreyOf, findCuts } from "#core/carry/cuts";
import type { GreyImage } from "#core/carry/grey-image";
import { packFrames, unpackFrames } from "#core/carry/pack";
import { seededRandom } from "#core/field/random";
import { carryOver, demo, exactSurvey, film720, workingGreys } from "./carried-truth.ts";

// Every play of the demo film is framed anew by the operator: the film cuts where a play ends.
const cutAt = demo.scene.plays[1]!.firstFrame;
const from = cutAt - 30;
const greys = workingGreys(demo, from, 60);

describe("cuts", () => {
  it("are found where one play ends and the next begins, and nowhere else, over the whole join", () => {
    expect(findCuts(greys.map(cutGreyOf))).toEqual([30]);
  });

  it("are found between any two plays of the film", () => {
    const others = demo.scene.plays.slice(2, 5).map(({ firstFrame }) => workingGreys(demo, firstFrame + 100, 20));
    const joined = others.flat().map(cutGreyOf);
    expect(findCuts(joined)).toEqual([20, 40]);
  });

  it("are not seen in a fast pan, which changes every frame alike, nor in a still", () => {
    const [still] = greys;
    const panned = Array.from({ length: 40 }, (_, i): GreyImage => {
      const data = still!.data.map((_grey, at) => {
        const [row, column] = [Math.floor(at / 640), at % 640];
        return still!.data[row * 640 + ((column + 12 * i) % 640)]!;
      });
      return cutGreyOf({ ...still!, data });
    });
    expect(changeBetween(panned[0]!, panned[1]!)).toBeGreaterThan(2);
    expect(findCuts(panned)).toEqual([]);
    expect(findCuts(Array.from({ length: 30 }, () => panned[0]!))).toEqual([]);
  });
});

describe("a carry that cannot go on", () => {
  const anchor = exactSurvey(demo, cutAt - 1);
  const isCut = (frameIndex: number): boolean => frameIndex === cutAt;

  it("stops before a cut in both directions", () => {
    const onward = carryOver(anchor, cutAt - 3, cutAt + 20, greys, from, { isCut });
    expect(onward.stop).toMatchObject({ reason: "scene-cut", lastFrameIndex: cutAt - 1 });
    expect(onward.frames.map(({ frameIndex }) => frameIndex)).toEqual([cutAt - 2, cutAt - 1]);
    const back = carryOver(anchor, cutAt + 2, cutAt - 20, greys, from, { isCut });
    expect(back.stop).toMatchObject({ reason: "scene-cut", lastFrameIndex: cutAt });
    expect(back.frames.map(({ frameIndex }) => frameIndex)).toEqual([cutAt + 1, cutAt]);
  });

  it("stops when something stands before the lens, and is not taken in by any of twelve pictures of nothing", () => {
    for (let seed = 1; seed <= 12; seed++) {
      const random = seededRandom(seed);
      const covered = greys.slice(0, 18).map((grey, i): GreyImage => {
        if (i < 15) return grey;
        return { ...grey, data: grey.data.map(() => 40 + random.below(160)) };
      });
      const { stop, frames } = carryOver(anchor, from + 12, from + 17, covered, from);
      expect(stop).toMatchObject({ reason: "no-fit", lastFrameIndex: from + 14 });
      expect(frames).toHaveLength(2);
    }
  });

  it("stops when hardly anything of the anchor is in the picture any more, after new anchors on the way", () => {
    const wide = greys[0]!;
    const window = (left: number): GreyImage => {
      const data = new Uint8Array(320 * 180);
      for (let row = 0; row < 180; row++) {
        data.set(wide.data.subarray((row + 100) * 640 + left, (row + 100) * 640 + left + 320), row * 320);
      }
      return { widthPx: 320, heightPx: 180, data };
    };
    const slid = Array.from({ length: 40 }, (_, i) => window(8 * i));
    const { stop, frames } = carryOver(anchor, 0, 39, slid, 0, {
      groundEdge: null,
      scale: { film: { widthPx: 640, heightPx: 360 }, filmPerWorkingU: 2, filmPerWorkingV: 2 },
    });
    // 320 px less 8 px a frame: an eighth is left after 35 frames.
    expect(stop.reason).toBe("little-in-common");
    expect(stop.lastFrameIndex).toBeGreaterThanOrEqual(33);
    expect(stop.lastFrameIndex).toBeLessThanOrEqual(36);
    for (const frame of frames) {
      expect(frame.visibleShare).toBeCloseTo(1 - frame.frameIndex / 40, 1);
      expect(Math.abs(frame.corners[0]! - (160 - 16 * frame.frameIndex))).toBeLessThan(0.5);
    }
    // Behind a new anchor the error of the old one comes along.
    expect(frames.at(-1)!.covariance[0]!).toBeGreaterThan(frames[3]!.covariance[0]!);
  });

  it("has a sentence for every reason", () => {
    const reasons = ["scene-cut", "little-in-common", "no-fit", "end-of-play"] as const;
    const sentences = reasons.map((reason) => carryStop(reason, 7).message);
    for (const sentence of sentences) expect(sentence).toMatch(/^[A-Z].{20,}\.$/);
    expect(new Set(sentences).size).toBe(4);
  });
});

describe("carried frames as text", () => {
  const random = seededRandom(4);
  const frames = Array.from({ length: 20 }, (_, i): CarriedFrame => {
    const root = Array.from({ length: 64 }, () => random.normal());
    const covariance = Array.from({ length: 64 }, (_entry, at) => {
      let sum = 0;
      for (let k = 0; k < 8; k++) sum += root[8 * Math.floor(at / 8) + k]! * root[8 * (at % 8) + k]!;
      return sum;
    });
    const corners = referencePoints(film720).map((at) => at + 50 * random.normal());
    return { frameIndex: 7000 + i, corners, covariance, visibleShare: random.uniform(), residualGrey: 9 };
  });
  const text = packFrames(frames);

  it("come back as they were, to a float's digits, and are plain base64", () => {
    // Node's own decoder reads the same bytes.
    expect(Buffer.from(text, "base64").toString("base64")).toBe(text);
    const back = unpackFrames(text)!;
    expect(back).toHaveLength(frames.length);
    for (const [i, frame] of frames.entries()) {
      expect(back[i]!.frameIndex).toBe(frame.frameIndex);
      expect(back[i]!.visibleShare).toBe(Math.fround(frame.visibleShare));
      expect(back[i]!.corners).toEqual(frame.corners.map(Math.fround));
      expect(back[i]!.covariance).toEqual(frame.covariance.map(Math.fround));
    }
    expect(unpackFrames(packFrames([]))).toEqual([]);
    expect(unpackFrames(packFrames([anchorFrame(3, film720)]))).toHaveLength(1);
  });

  it("are refused when damaged", () => {
    expect(unpackFrames("")).toBeNull();
    expect(unpackFrames("no carry at all")).toBeNull();
    expect(unpackFrames(text.slice(0, -4))).toBeNull();
    expect(unpackFrames(`${text.slice(0, 100)}*${text.slice(101)}`)).toBeNull();
    expect(unpackFrames(text + text)).toBeNull();
    const bytes = Buffer.from(text, "base64");
    const changed = (at: number, value: number): string => {
      const copy = Buffer.from(bytes);
      copy.writeFloatLE(value, at);
      return copy.toString("base64");
    };
    expect(unpackFrames(changed(12, 7000.5))).toBeNull();
    expect(unpackFrames(changed(16, Number.NaN))).toBeNull();
    // A variance below zero, and a share above one.
    expect(unpackFrames(changed(12 + 4 * 9, -1))).toBeNull();
    expect(unpackFrames(changed(12 + 4 * 45, 1.5))).toBeNull();
    expect(unpackFrames(changed(12 + 4 * 45, 0.5))).not.toBeNull();
  });
});

it("maps the anchor to itself by the anchor's own frame", () => {
  const map = mapOf(anchorFrame(0, film720), film720);
  for (const [i, entry] of map.entries()) expect(entry / map[8]).toBeCloseTo(i % 4 === 0 ? 1 : 0, 12);
});
