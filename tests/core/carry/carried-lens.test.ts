import { expect, it } from "vitest";
import { type CarriedFrame, referencePoints } from "#core/carry/carried-frame";
import { carriedSurvey } from "#core/carry/carried-survey";
import { bend, type Lens, straighten } from "#core/field/lens";
import { imageOf } from "#core/field/seen-through";
import type { PointStake } from "#core/field/stake";
import { surveyFrame } from "#core/field/survey";
import { fieldPoint, imagePoint } from "#core/field/units";
import { invertHomography, multiplyHomographies } from "#core/field/homography";
import { aimedCamera, ncaa, see } from "../field/cameras.ts";
import { landmarkOf } from "../field/staked.ts";

/** One tripod that pans by some yards at midfield, its pictures through one lens: two pinholes of the test's own. */
const image = { widthPx: 1280, heightPx: 720 };
const before = aimedCamera("before", [60, -25, 12], [56, 26, 0], 1000, image);
const after = aimedCamera("after", [60, -25, 12], [64, 27, 0], 1100, image);
const lens: Lens = { radial: -0.06 };
const ids = [
  "near-sideline/L40",
  "near-sideline/R40",
  "far-sideline/L35",
  "far-sideline/R40",
  "near-hash/L40",
  "far-hash/R45",
];

it("carries a survey through a lens as exactly as its points are known", () => {
  const stakes = ids.map((id): PointStake => {
    const click = bend(lens, image, see(before, landmarkOf(ncaa, id).at))!;
    return { kind: "point", id, landmarkId: id, click, sigmaPx: 1.5 };
  });
  const anchor = surveyFrame(ncaa, stakes, image, lens);
  if (!anchor.ok) throw new Error(anchor.refusal.message);
  // The ground's own map between the two pictures is that of all they show, since the camera only turns and zooms.
  const turn = multiplyHomographies(after.h, invertHomography(before.h));
  const from = referencePoints(image);
  const corners: number[] = [];
  for (let k = 0; k < 8; k += 2) {
    const { uPx: u, vPx: v } = straighten(lens, image, imagePoint(from[k]!, from[k + 1]!));
    const w = turn[6] * u + turn[7] * v + turn[8];
    const to = imagePoint((turn[0] * u + turn[1] * v + turn[2]) / w, (turn[3] * u + turn[4] * v + turn[5]) / w);
    const { uPx, vPx } = bend(lens, image, to)!;
    corners.push(uPx, vPx);
  }
  const covariance = Array.from({ length: 64 }, (_, i) => (i % 9 === 0 ? 0.01 : 0));
  const frame: CarriedFrame = { frameIndex: 30, corners, covariance, visibleShare: 0.8, residualGrey: 3 };
  const survey = carriedSurvey(anchor.survey, frame)!;
  expect(survey.lens).toEqual(lens);
  for (const [x, y] of [
    [50, 4],
    [75, 8],
    [62, 30],
    [80, 50],
  ] as const) {
    const truth = bend(lens, image, see(after, fieldPoint(x, y)))!;
    const seen = imageOf(survey, fieldPoint(x, y))!;
    expect(Math.hypot(seen.uPx - truth.uPx, seen.vPx - truth.vPx)).toBeLessThan(1e-3);
  }
});
