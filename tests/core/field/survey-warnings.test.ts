import { describe, expect, test } from "vitest";
import { seededRandom } from "#core/field/random";
import type { PointStake, Stake } from "#core/field/stake";
import { surveyFrame } from "#core/field/survey";
import { crossRatio } from "#core/field/survey-warnings";
import { layOut, templateById } from "#core/field/template";
import { chiSquareLimit } from "#core/field/wrong-names";
import { fieldPoint, imagePoint } from "#core/field/units";
import {
  type TestCamera,
  aimedCamera,
  clicked,
  ncaa,
  noisy,
  phone,
  pressBox,
  see,
  testCameras,
  tripod,
} from "./cameras.ts";
import { soundPlan } from "./trials.ts";
import { landmarkOf, stakesAt, survey, codes, corners, eight } from "./staked.ts";

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

  test("which line carries a wrong name, and the right one, with lines alone", () => {
    const lines = ["L40", "mid", "R35", "near-sideline", "near-hash", "far-hash"];
    const along = (id: string, seenAs = id): Stake => {
      const line = ncaa.lines.find((one) => one.id === seenAs)!;
      // Two or three clicks on the piece of the line that the frame shows: between x 45 and 75, or y 4 and 40.
      const ends =
        line.kind === "yard-line"
          ? [4, 22, 40].map((y) => [line.from.xYards, y])
          : [47, 60, 74].map((x) => [x, line.from.yYards]);
      const random = seededRandom(7 + lines.indexOf(id));
      const clicks = ends.map(([x, y]) => noisy(random, see(pressBox, fieldPoint(x!, y!)), 1));
      return { kind: "line", id, lineId: id, clicks, sigmaPx: 1.5 };
    };
    const sound = survey(lines.map((id) => along(id)));
    expect(codes(sound)).toEqual([]);
    const wrong = lines.map((id) => (id === "R35" ? { ...along("R35"), id: "odd", lineId: "R30" } : along(id)));
    const warning = survey(wrong).warnings.find(({ code }) => code === "wrong-name")!;
    expect(warning.suggestion).toEqual({ stakeId: "odd", landmarkId: "R35", landmarkName: "right 35" });
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
