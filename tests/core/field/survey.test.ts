import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { projectToImage } from "#core/field/homography";
import { seededRandom } from "#core/field/random";
import type { PointStake, Stake } from "#core/field/stake";
import { type Survey, type SurveyRefusal, surveyFrame } from "#core/field/survey";
import { crossRatio } from "#core/field/survey-warnings";
import { type FieldLayout, layOut, templateById } from "#core/field/template";
import { visibleField } from "#core/field/visible-field";
import { chiSquareLimit } from "#core/field/wrong-names";
import { imagePoint } from "#core/field/units";
import {
  type TestCamera,
  aimedCamera,
  clicked,
  inFrame,
  ncaa,
  noisy,
  phone,
  pressBox,
  see,
  testCameras,
  tripod,
} from "./cameras.ts";
import { soundPlan } from "./trials.ts";

function landmarkOf(layout: FieldLayout, id: string) {
  const landmark = layout.landmarks.find((candidate) => candidate.id === id);
  if (landmark === undefined) throw new Error(`no landmark ${id}`);
  return landmark;
}

/** Stakes clicked where the camera sees `seenAs`, under the names in `ids`; exact unless a sigma is given. */
function stakesAt(camera: TestCamera, ids: readonly string[], seenAs = ids, noisePx = 0, seed = 1): PointStake[] {
  const random = seededRandom(seed);
  return ids.map((landmarkId, i) => ({
    kind: "point",
    id: `stake ${i + 1}`,
    landmarkId,
    click: noisy(random, see(camera, landmarkOf(ncaa, seenAs[i]!).at), noisePx),
    sigmaPx: 1.5,
  }));
}

function refusal(stakes: readonly Stake[], camera = pressBox): SurveyRefusal {
  const result = surveyFrame(ncaa, stakes, camera.image);
  if (result.ok) throw new Error("surveyed");
  return result.refusal;
}

function survey(stakes: readonly Stake[], camera = pressBox, layout = ncaa): Survey {
  const result = surveyFrame(layout, stakes, camera.image);
  if (!result.ok) throw new Error(result.refusal.message);
  return result.survey;
}

const codes = (from: Survey): string[] => from.warnings.map(({ code }) => code);

const corners = ["near-sideline/L35", "near-sideline/R35", "far-sideline/L35", "far-sideline/R35"];
const eight = [...corners, "near-hash/L40", "near-hash/R40", "far-hash/L40", "far-hash/R40"];
const swapDepth = (id: string) => (id.startsWith("near") ? id.replace("near", "far") : id.replace("far", "near"));
const swapSides = (id: string) =>
  id.includes("/L") ? id.replace("/L", "/R") : id.includes("/R") ? id.replace("/R", "/L") : id;

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

describe("warns", () => {
  test("that four stakes prove nothing", () => {
    const found = survey(stakesAt(pressBox, corners));
    expect(codes(found)).toEqual(["no-check"]);
    // Source: reference note, section 2: with four clicks the fit is exact, and zero residual says nothing.
    expect(found.residualRmsPx).toBeLessThan(1e-9);
    expect(found.stakes.every((stake) => stake.leaveOneOutPx === null)).toBe(true);
  });

  test("of nothing, on clean surveys from a press box", () => {
    const random = seededRandom(51);
    let alarms = 0;
    for (let round = 0; round < 500; round++) {
      const stakes = clicked(random, soundPlan(random, pressBox, 6 + (round % 8), round % 3, 1.5), 1.5);
      if (survey(stakes).warnings.length > 0) alarms++;
    }
    // The limits are set at once in a thousand for the fit and once in a thousand for each bowed line.
    expect(alarms).toBeLessThanOrEqual(5);
  });

  test("which stake carries a wrong name, and the right one", () => {
    const wrong = stakesAt(
      pressBox,
      eight.map((id) => (id === "near-hash/R40" ? "near-hash/R45" : id)),
      eight,
      1.5,
    );
    const found = survey(wrong);
    const warning = found.warnings.find(({ code }) => code === "wrong-name")!;
    expect(warning.stakeIds).toEqual(["stake 6"]);
    expect(warning.suggestion).toEqual({
      stakeId: "stake 6",
      landmarkId: "near-hash/R40",
      landmarkName: "near hash at right 40, inbounds end",
    });
    expect(warning.message).toContain("near hash at right 40, inbounds end");
  });

  test("of a name one column off: found nearly always with eight stakes, and hardly ever misplaced with six", () => {
    const tally = (stakeCount: number, rounds: number) => {
      const random = seededRandom(stakeCount);
      const got = { found: 0, misplaced: 0, silent: 0 };
      for (let round = 0; round < rounds;) {
        const camera = testCameras[round % 3]!;
        const stakes = clicked(random, soundPlan(random, camera, stakeCount, 0, 1.5), 1.5);
        const at = random.below(stakeCount);
        const stake = stakes[at] as PointStake;
        const truth = landmarkOf(ncaa, stake.landmarkId);
        const moved = ncaa.landmarks.find(
          ({ at: { xYards, yYards } }) =>
            yYards === truth.at.yYards && Math.abs(xYards - truth.at.xYards - 5 * (random.below(2) * 2 - 1)) < 1e-6,
        );
        if (moved === undefined) continue;
        if (stakes.some((other) => other.kind === "point" && other.landmarkId === moved.id)) continue;
        round++;
        const wrong = stakes.map((other, i) => (i === at ? { ...stake, landmarkId: moved.id } : other));
        const result = surveyFrame(ncaa, wrong, camera.image);
        const notice = result.ok
          ? result.survey.warnings.find(({ code }) => code === "wrong-name")
          : result.refusal.suggestion === undefined
            ? undefined
            : result.refusal;
        if (notice !== undefined) {
          const { stakeId, landmarkId } = notice.suggestion!;
          if (stakeId === stake.id && landmarkId === truth.id) got.found++;
          else got.misplaced++;
        } else if (result.ok && codes(result.survey).every((code) => code === "low-camera")) got.silent++;
      }
      return got;
    };
    const eightStakes = tally(8, 150);
    expect(eightStakes.found).toBeGreaterThanOrEqual(140);
    expect(eightStakes.misplaced).toBe(0);
    expect(eightStakes.silent).toBe(0);
    const sixStakes = tally(6, 150);
    expect(sixStakes.found).toBeGreaterThanOrEqual(120);
    expect(sixStakes.misplaced).toBeLessThanOrEqual(2);
    expect(sixStakes.silent).toBeLessThanOrEqual(8);
    // Five stakes leave two residuals: fewer are found, but a name is only offered when the next best is far worse.
    const fiveStakes = tally(5, 450);
    expect(fiveStakes.found).toBeGreaterThanOrEqual(220);
    expect(fiveStakes.misplaced).toBeLessThanOrEqual(14);
  });

  test("of a click far off its landmark", () => {
    const stakes = stakesAt(pressBox, eight, eight, 1);
    stakes[4] = { ...stakes[4]!, click: imagePoint(stakes[4]!.click.uPx + 18, stakes[4]!.click.vPx + 18) };
    const warning = survey(stakes).warnings.find(({ code }) => code === "stake-off")!;
    expect(warning.stakeIds).toEqual(["stake 5"]);
  });

  test("when high-school hashes are taken for college ones", () => {
    // Source: reference note, section 6 (6): the hash rows differ by 20 − 17.78 = 2.22 yd, which must show as residual.
    const nfhs = layOut(templateById("nfhs")!);
    expect(ncaa.hashYYards!.near - nfhs.hashYYards!.near).toBeCloseTo(2.22, 2);
    const stakes = eight.map((landmarkId, i): Stake => ({
      kind: "point",
      id: `stake ${i + 1}`,
      landmarkId,
      click: see(pressBox, landmarkOf(nfhs, landmarkId).at),
      sigmaPx: 1.5,
    }));
    const found = survey(stakes);
    expect(codes(found)).toContain("poor-fit");
    expect(found.residualRmsPx).toBeGreaterThan(5);
    expect(codes(survey(stakes, pressBox, nfhs))).toEqual([]);
  });

  test("when four stakes fit but no camera sees them so", () => {
    const names = ["near-sideline/L35", "near-sideline/R40", "far-sideline/L35", "far-sideline/R35"];
    expect(codes(survey(stakesAt(pressBox, names, corners)))).toContain("odd-camera");
  });

  test("when only a lens of no real focal length would see them so", () => {
    // Stretched six times upright, the press box's picture asks for a negative 1/f²: depth counts more than breadth.
    const stretched = stakesAt(pressBox, corners).map((stake) => ({
      ...stake,
      click: imagePoint(stake.click.uPx, 540 + 6 * (stake.click.vPx - 540)),
    }));
    const found = survey(stretched);
    expect(found.camera).toBeNull();
    expect(codes(found)).toContain("odd-camera");
  });

  test("that the camera is low, with the yards a click costs there", () => {
    const stakes = (camera: TestCamera) => {
      const random = seededRandom(2);
      return clicked(random, soundPlan(random, camera, 8, 0, 1.5), 1.5);
    };
    expect(codes(survey(stakes(pressBox)))).toEqual([]);
    for (const camera of [tripod, phone]) {
      const found = survey(stakes(camera), camera);
      const warning = found.warnings.find(({ code }) => code === "low-camera")!;
      expect(warning.message).toContain("yd up");
      // One pixel in depth at the far corners seen: distance² / (height · focal length), exact for a level camera.
      const far = Math.max(...found.visible.map((p) => p.yYards)) - camera.at[1];
      const least = (2 * far * far) / (camera.at[2] * camera.focalPx);
      expect(Number(/puts a mark ([\d.]+) yd off/u.exec(warning.message)![1])).toBeGreaterThan(0.8 * least);
    }
  });

  test("of a bowed line, once three clicks are on it", () => {
    const line = ncaa.lines.find(({ id }) => id === "near-hash")!;
    const bowed = [45, 52, 60, 68, 75].map((x) => {
      const image = see(pressBox, { xYards: x, yYards: line.from.yYards });
      return imagePoint(image.uPx, image.vPx + 9 - ((x - 60) / 15) ** 2 * 9);
    });
    const stake: Stake = { kind: "line", id: "bow", lineId: "near-hash", clicks: bowed, sigmaPx: 1.5 };
    const warning = survey([...stakesAt(pressBox, corners), stake]).warnings.find(({ code }) => code === "bowed-line")!;
    expect(warning.stakeIds).toEqual(["bow"]);
    const straight = { ...stake, clicks: [bowed[0]!, bowed[4]!] };
    expect(codes(survey([...stakesAt(pressBox, corners), straight]))).not.toContain("bowed-line");
  });
});

describe("cross-ratio", () => {
  // Source: reference note, section 3.
  test("published values", () => {
    expect(crossRatio(0, 5, 10, 15)).toBeCloseTo(4 / 3, 12);
    expect(crossRatio(0, 2, 3, 6)).toBeCloseTo(2, 12);
    expect(crossRatio(0, 5, 10, 20)).toBeCloseTo(1.5, 12);
    const along = (u: number, v: number) => Math.hypot(u - 100, v - 100);
    expect(crossRatio(0, along(200, 150), along(400, 250), along(700, 400))).toBeCloseTo(1.25, 12);
  });

  test("four equally spaced points keep 4/3 in any camera", () => {
    for (const camera of testCameras) {
      const columns = ["L45", "mid", "R45", "R40"].map((c) => see(camera, landmarkOf(ncaa, `far-sideline/${c}`).at));
      const t = columns.map((p) => Math.hypot(p.uPx - columns[0]!.uPx, p.vPx - columns[0]!.vPx));
      expect(crossRatio(t[0]!, t[1]!, t[2]!, t[3]!)).toBeCloseTo(4 / 3, 9);
    }
  });

  test("four stakes on a sideline, one of them a line too far, are said to be uneven", () => {
    const row = ["far-sideline/L40", "far-sideline/L35", "far-sideline/L30", "far-sideline/L25"];
    const seen = ["far-sideline/L40", "far-sideline/L35", "far-sideline/L30", "far-sideline/L20"];
    const others = ["near-sideline/L40", "near-sideline/R40"];
    const wide = aimedCamera("wide", [60, -25, 12], [50, 30, 0], 1100, pressBox.image);
    const off = survey(stakesAt(wide, [...others, ...row], [...others, ...seen], 1), wide);
    const warning = off.warnings.find(({ code }) => code === "cross-ratio")!;
    expect(warning.message).toContain("instead of 1.333");
    expect(warning.stakeIds).toEqual(["stake 6", "stake 5", "stake 4", "stake 3"]);
    expect(codes(survey(stakesAt(wide, [...others, ...row], [...others, ...row], 1), wide))).not.toContain(
      "cross-ratio",
    );
  });
});

test.each([
  // Source: tables of the χ² distribution, upper 0.001 points.
  [1, 10.828],
  [2, 13.816],
  [4, 18.467],
  [8, 26.124],
  [30, 59.703],
])("χ² limit for %i degrees of freedom is near %f", (dof, published) => {
  // Wilson and Hilferty's cube root is good to a few per cent at one degree, far better beyond.
  expect(Math.abs(chiSquareLimit(dof) / published - 1)).toBeLessThan(dof === 1 ? 0.05 : 0.025);
});

function rename(stakes: readonly Stake[], by: (id: string) => string): Stake[] {
  return stakes.map((stake) => (stake.kind === "point" ? { ...stake, landmarkId: by(stake.landmarkId) } : stake));
}

function nearSideCamera() {
  return fc
    .record({
      x: fc.double({ min: 45, max: 75, noNaN: true }),
      y: fc.double({ min: -30, max: -8, noNaN: true }),
      height: fc.double({ min: 1.8, max: 14, noNaN: true }),
      aimX: fc.double({ min: 50, max: 70, noNaN: true }),
      roll: fc.double({ min: -0.05, max: 0.05, noNaN: true }),
    })
    .map(({ x, y, height, aimX, roll }) =>
      aimedCamera("any", [x, y, height], [aimX, 80 / 3, 0], 1000, { widthPx: 1280, heightPx: 720 }, roll),
    );
}
