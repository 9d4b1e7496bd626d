import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { projectToImage } from "#core/field/homography";
import { seededRandom } from "#core/field/random";
import type { Stake } from "#core/field/stake";
import { surveyFrame } from "#core/field/survey";
import { visibleField } from "#core/field/visible-field";
import { imagePoint } from "#core/field/units";
import { aimedCamera, clicked, inFrame, ncaa, noisy, phone, pressBox, see, testCameras } from "./cameras.ts";
import { soundPlan } from "./trials.ts";
import {
  landmarkOf,
  stakesAt,
  refusal,
  survey,
  codes,
  corners,
  eight,
  swapDepth,
  swapSides,
  rename,
  nearSideCamera,
} from "./staked.ts";

describe("a survey", () => {
  test("draws its own landmarks back onto its clicks, and knows what it sees", () => {
    const found = survey(stakesAt(pressBox, eight));
    for (const stake of found.stakes) {
      expect(stake.residualPx).toBeLessThan(1e-9);
      expect(stake.leaveOneOutPx).toBeLessThan(1e-8);
    }
    expect(found.dof).toBe(8);
  });

  test("knows which part of the field is in the frame, from any side and turned aside", () => {
    const field = { lengthYards: ncaa.totalLengthYards, widthYards: ncaa.widthYards };
    const panned = aimedCamera("panned", [75, -12, 3], [45, 30, 0], 1000, phone.image, 0.05);
    const endZone = aimedCamera("end zone", [-15, 27, 8], [40, 27, 0], 900, phone.image);
    for (const camera of [...testCameras, panned, endZone]) {
      const visible = visibleField(camera.h, field, camera.image);
      for (const landmark of ncaa.landmarks) {
        const inside = visible.every((corner, i) => {
          const next = visible[(i + 1) % visible.length]!;
          const [ex, ey] = [next.xYards - corner.xYards, next.yYards - corner.yYards];
          return ex * (landmark.at.yYards - corner.yYards) - ey * (landmark.at.xYards - corner.xYards) > -1e-6;
        });
        expect(inside).toBe(inFrame(camera, landmark.at));
      }
      for (const corner of visible) {
        const { uPx, vPx } = see(camera, corner);
        expect(Math.max(-uPx, -vPx, uPx - camera.image.widthPx, vPx - camera.image.heightPx)).toBeLessThan(1e-6);
        expect(Math.max(-corner.xYards, -corner.yYards, corner.xYards - 120, corner.yYards - 160 / 3)).toBeLessThan(
          1e-9,
        );
      }
    }
  });

  test("has its horizon level and above the field, where the camera's own level line falls", () => {
    // The lens axis dips by atan(12 / 51.667) below level, so the horizon is f · 12 / 51.667 above the middle.
    const { horizon } = survey(stakesAt(pressBox, eight));
    expect(horizon!.a).toBeCloseTo(0, 9);
    expect(horizon!.b).toBeCloseTo(1, 9);
    expect(-horizon!.c).toBeCloseTo(540 - (1500 * 12) / (25 + 80 / 3), 6);
  });

  test("sees nothing of a field that lies outside the frame", () => {
    const field = { lengthYards: ncaa.totalLengthYards, widthYards: ncaa.widthYards };
    const away = aimedCamera("away", [60, -25, 12], [60, -400, 0], 1500, pressBox.image);
    expect(visibleField(away.h, field, away.image)).toEqual([]);
    const all = aimedCamera("all", [60, -90, 60], [60, 27, 0], 900, pressBox.image);
    expect(visibleField(all.h, field, all.image)).toHaveLength(4);
  });

  test("takes lines alone", () => {
    const random = seededRandom(3);
    for (const camera of testCameras) {
      const found = survey(clicked(random, soundPlan(random, camera, 0, 8, 1.5), 1.5), camera);
      const at = landmarkOf(ncaa, "near-hash/mid").at;
      const truth = see(camera, at);
      const image = projectToImage(found.homography, at)!;
      expect(Math.hypot(image.uPx - truth.uPx, image.vPx - truth.vPx)).toBeLessThan(8);
      expect(found.stakes.every((stake) => stake.residual === null)).toBe(true);
    }
  });
});

describe("refuses, saying what to do", () => {
  test("fewer than four", () => {
    expect(refusal([]).code).toBe("too-few-stakes");
    const three = refusal(stakesAt(pressBox, corners.slice(0, 3)));
    expect(three.code).toBe("too-few-stakes");
    expect(three.message).toMatch(/has 3\. Place 1 more/u);
  });

  test("three of four on one line of the field", () => {
    const on = ["near-hash/L40", "near-hash/mid", "near-hash/R40"];
    const three = refusal(stakesAt(pressBox, [...on, "far-sideline/mid"]));
    expect(three.code).toBe("on-one-line");
    expect(three.stakeIds).toEqual(["stake 1", "stake 2", "stake 3"]);
    expect(three.message).toContain("Three of the four stakes lie on one line");
    const five = [...on, "near-hash/L45", "far-sideline/mid"];
    expect(refusal(stakesAt(pressBox, five)).code).toBe("on-one-line");
  });

  test("any three on a row with any fourth off it, clicked with noise", () => {
    const rows = ["near-sideline", "near-hash", "far-hash", "far-sideline"];
    fc.assert(
      fc.property(
        fc.shuffledSubarray(rows, { minLength: 2, maxLength: 2 }),
        fc.shuffledSubarray(["L40", "L45", "mid", "R45", "R40"], { minLength: 3, maxLength: 3 }),
        fc.integer(),
        ([row, other], columns, seed) => {
          const ids = [...columns.map((column) => `${row}/${column}`), `${other}/mid`];
          expect(refusal(stakesAt(pressBox, ids, ids, 1.5, seed)).code).toBe("on-one-line");
        },
      ),
      { numRuns: 60, seed: 4 },
    );
  });

  test("lines that leave the frame open although they are four", () => {
    const stakes = ["near-sideline", "near-hash", "far-hash", "far-sideline"].map((lineId): Stake => {
      const line = ncaa.lines.find(({ id }) => id === lineId)!;
      const at = (x: number) => see(pressBox, { xYards: x, yYards: line.from.yYards });
      return { kind: "line", id: lineId, lineId, clicks: [at(50), at(60), at(70)], sigmaPx: 1.5 };
    });
    expect(refusal(stakes).code).toBe("not-fixed");
    // Noise hides the open direction from the rank of the equations; the refusal must not depend on it.
    const random = seededRandom(8);
    const noise = stakes.map((stake) =>
      stake.kind === "line" ? { ...stake, clicks: stake.clicks.map((click) => noisy(random, click, 1.5)) } : stake,
    );
    expect(["not-fixed", "behind-camera"]).toContain(refusal(noise).code);
  });

  test("one place clicked for two landmarks", () => {
    const stakes = stakesAt(pressBox, [...corners, "near-hash/L40", "near-hash/R40"]);
    stakes[5] = { ...stakes[5]!, click: imagePoint(stakes[4]!.click.uPx + 1, stakes[4]!.click.vPx) };
    const found = refusal(stakes);
    expect(found.code).toBe("too-close-together");
    expect(found.stakeIds).toEqual(["stake 5", "stake 6"]);
  });

  test("stakes in a strip that a click's error can fill", () => {
    const far = aimedCamera("far", [60, -400, 12], [60, 80 / 3, 0], 1500, pressBox.image);
    expect(refusal(stakesAt(far, corners), far).code).toBe("too-close-together");
  });

  test("near and far swapped, from any camera on the near side", () => {
    fc.assert(
      fc.property(nearSideCamera(), fc.integer(), (camera, seed) => {
        const random = seededRandom(seed);
        const stakes = clicked(random, soundPlan(random, camera, 6, 0, 1.5), 1.5);
        fc.pre(surveyFrame(ncaa, stakes, camera.image).ok);
        expect(refusal(rename(stakes, swapDepth), camera).code).toBe("mirrored-near-far");
      }),
      { numRuns: 100, seed: 5 },
    );
  });

  test("left and right swapped, from any camera on the near side", () => {
    fc.assert(
      fc.property(nearSideCamera(), fc.integer(), (camera, seed) => {
        const random = seededRandom(seed);
        const stakes = clicked(random, soundPlan(random, camera, 6, 0, 1.5), 1.5);
        fc.pre(surveyFrame(ncaa, stakes, camera.image).ok);
        const found = refusal(rename(stakes, swapSides), camera);
        expect(found.code).toBe("mirrored-left-right");
        expect(found.stakeIds).toHaveLength(6);
      }),
      { numRuns: 100, seed: 6 },
    );
  });

  test("both swapped is a half-turn, which only another camera can tell: not refused", () => {
    const turned = survey(rename(stakesAt(pressBox, eight), (id) => swapSides(swapDepth(id))));
    expect(turned.camera!.yYards).toBeCloseTo(160 / 3 + 25, 6);
  });

  test("two names exchanged, and says which", () => {
    const names = [corners[0]!, corners[1]!, corners[3]!, corners[2]!];
    const found = refusal(stakesAt(pressBox, names, corners));
    expect(found.code).toBe("behind-camera");
    expect(found.message).toMatch(/wrong name|look swapped/u);
    const six = [...eight.slice(0, 4), eight[5]!, eight[4]!, eight[6]!, eight[7]!];
    const exchanged = surveyFrame(ncaa, stakesAt(pressBox, six, eight), pressBox.image);
    // Eight stakes outvote the two: the frame is solved or not, but never without a word about it.
    expect(exchanged.ok ? codes(exchanged.survey) : [exchanged.refusal.code]).not.toEqual([]);
  });

  test("a name used twice, and a name the field does not have", () => {
    const twice = refusal(stakesAt(pressBox, [...corners, corners[1]!]));
    expect(twice.code).toBe("same-landmark-twice");
    expect(twice.stakeIds).toEqual(["stake 2", "stake 5"]);
    const [first, ...rest] = stakesAt(pressBox, corners);
    const unknown = refusal([{ ...first!, landmarkId: "near-sideline/L37" }, ...rest]);
    expect(unknown.code).toBe("unknown-landmark");
    expect(unknown.stakeIds).toEqual(["stake 1"]);
  });

  test("numbers that are none are a bug, not a refusal", () => {
    const [first, ...rest] = stakesAt(pressBox, corners);
    expect(() => surveyFrame(ncaa, [{ ...first!, sigmaPx: 0 }, ...rest], pressBox.image)).toThrow(/sigma/u);
    expect(() => surveyFrame(ncaa, [{ ...first!, click: imagePoint(Number.NaN, 1) }, ...rest], pressBox.image)).toThrow(
      /no number/u,
    );
  });
});
