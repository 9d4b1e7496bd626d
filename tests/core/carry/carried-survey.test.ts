import { describe, expect, it } from "vitest";
import { type CarriedFrame, anchorFrame, mapOf, referencePoints } from "#core/carry/carried-frame";
import { blendSurveys, carriedSurvey } from "#core/carry/carried-survey";
import { type Homography, multiplyHomographies, projectToImage } from "#core/field/homography";
import { seededRandom } from "#core/field/random";
import { type Survey, surveyFrame } from "#core/field/survey";
import { projectionCovariance } from "#core/field/uncertainty";
import { fieldPoint } from "#core/field/units";
import { clicked, ncaa, planStakes, tripod } from "../field/cameras.ts";

const random = seededRandom(21);
const planned = planStakes(random, tripod, ncaa, 8, 0, 1.5);
const surveyed = surveyFrame(ncaa, clicked(random, planned, 1.5), tripod.image);
if (!surveyed.ok) throw new Error("the test's survey was refused");
const anchor: Survey = surveyed.survey;

/** A frame panned and zoomed, whose eight corners are known to 0.4 px with neighbours in common. */
const root = Array.from({ length: 64 }, (_, i) => (i % 9 === 0 ? 0.4 : 0.12 * Math.sin(i)));
const covariance = Array.from({ length: 64 }, (_, at) => {
  let sum = 0;
  for (let k = 0; k < 8; k++) sum += root[8 * Math.floor(at / 8) + k]! * root[8 * (at % 8) + k]!;
  return sum;
});
const frame: CarriedFrame = {
  frameIndex: 40,
  corners: referencePoints(tripod.image).map(
    (at, i) => (i % 2 === 0 ? 1.07 * at - 90 : 1.06 * at + 12) + 0.01 * i * at ** 0.5,
  ),
  covariance,
  visibleShare: 0.85,
  residualGrey: 6,
};

const points = [fieldPoint(45, 10), fieldPoint(60, 25), fieldPoint(70, 45), fieldPoint(52, 5)];

describe("a carried survey", () => {
  it("is the anchor's map followed by the carry's, with no stakes of its own", () => {
    const survey = carriedSurvey(anchor, frame)!;
    const map = multiplyHomographies(mapOf(frame, tripod.image), anchor.homography);
    for (const point of points) {
      const [a, b] = [projectToImage(survey.homography, point)!, projectToImage(map, point)!];
      expect(Math.hypot(a.uPx - b.uPx, a.vPx - b.vPx)).toBeLessThan(1e-9);
    }
    expect(survey.stakes).toEqual([]);
    expect(survey.warnings).toEqual([]);
    expect(survey.image).toEqual(anchor.image);
    expect(survey.visible.length).toBeGreaterThan(2);
  });

  it("of the anchor itself is the anchor's own, with its error", () => {
    const survey = carriedSurvey(anchor, anchorFrame(0, tripod.image))!;
    for (const point of points) {
      const [a, b] = [survey, anchor].map((one) => projectionCovariance(one.homography, one.covariance, point));
      expect(a!.uu / b!.uu).toBeCloseTo(1, 9);
      expect(a!.vv / b!.vv).toBeCloseTo(1, 9);
    }
  });

  it("states the scatter that drawing both errors at random shows", () => {
    const survey = carriedSurvey(anchor, frame)!;
    const draws = 4000;
    const lower = cholesky(anchor.covariance.matrix);
    const seen = points.map(() => ({ u: [] as number[], v: [] as number[] }));
    for (let round = 0; round < draws; round++) {
      const z = Array.from({ length: 8 }, () => random.normal());
      const delta = z.map((_, i) => z.slice(0, i + 1).reduce((sum, one, k) => sum + one * lower[8 * i + k]!, 0));
      const h = anchor.homography.map(
        (entry, i) => entry + delta.reduce((sum, one, k) => sum + one * anchor.covariance.basis[8 * i + k]!, 0),
      ) as unknown as Homography;
      const y = Array.from({ length: 8 }, () => random.normal());
      const corners = frame.corners.map((at, i) => at + y.reduce((sum, one, k) => sum + one * root[8 * i + k]!, 0));
      const map = multiplyHomographies(mapOf({ ...frame, corners }, tripod.image), h);
      points.forEach((point, i) => {
        const at = projectToImage(map, point)!;
        seen[i]!.u.push(at.uPx);
        seen[i]!.v.push(at.vPx);
      });
    }
    for (const [i, point] of points.entries()) {
      const stated = projectionCovariance(survey.homography, survey.covariance, point);
      // The variance of 4,000 draws is within 9 % of the true one at four standard deviations.
      expect(variance(seen[i]!.u) / stated.uu).toBeGreaterThan(0.9);
      expect(variance(seen[i]!.u) / stated.uu).toBeLessThan(1.1);
      expect(variance(seen[i]!.v) / stated.vv).toBeGreaterThan(0.9);
      expect(variance(seen[i]!.v) / stated.vv).toBeLessThan(1.1);
    }
  });
});

describe("a blend of two carried surveys", () => {
  const wide = frame.covariance.map((entry) => 25 * entry);
  const shifted = (px: number, own: readonly number[]): Survey =>
    carriedSurvey(anchor, { ...frame, corners: frame.corners.map((at) => at + px), covariance: own })!;

  it("of two alike is the same, and no surer than two that share half their error can be", () => {
    const one = carriedSurvey(anchor, frame)!;
    const blend = blendSurveys(one, one);
    for (const point of points) {
      const [a, b] = [projectToImage(blend.homography, point)!, projectToImage(one.homography, point)!];
      expect(Math.hypot(a.uPx - b.uPx, a.vPx - b.vPx)).toBeLessThan(1e-6);
      const [before, after] = [one, blend].map((s) => projectionCovariance(s.homography, s.covariance, point));
      // (1 + 1 + 2 · ½) / 4 of the variance.
      expect(after!.uu / before!.uu).toBeCloseTo(0.75, 3);
      expect(after!.vv / before!.vv).toBeCloseTo(0.75, 3);
    }
  });

  it("leans to the one that knows more, and grows where the two differ by more than they say", () => {
    const exact: Survey = {
      ...anchor,
      covariance: { ...anchor.covariance, matrix: anchor.covariance.matrix.map(() => 0) },
    };
    const at = (px: number, own: readonly number[]): Survey =>
      carriedSurvey(exact, { ...frame, corners: frame.corners.map((one) => one + px), covariance: own })!;
    const [sure, unsure] = [at(0, frame.covariance), at(1, wide)];
    const blend = blendSurveys(sure, unsure);
    const point = points[1]!;
    const [a, b, c] = [sure, unsure, blend].map((s) => projectToImage(s.homography, point)!.uPx);
    expect((c! - a!) / (b! - a!)).toBeGreaterThan(0);
    expect((c! - a!) / (b! - a!)).toBeLessThan(0.1);
    const near = blendSurveys(shifted(0, frame.covariance), shifted(0.2, frame.covariance));
    const far = blendSurveys(at(0, frame.covariance), at(40, frame.covariance));
    const spread = (s: Survey): number => projectionCovariance(s.homography, s.covariance, point).uu;
    expect(spread(far)).toBeGreaterThan(20 * spread(near));
  });
});

function variance(values: readonly number[]): number {
  const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
  return values.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (values.length - 1);
}

function cholesky(matrix: readonly number[]): number[] {
  const l = Array.from({ length: 64 }, () => 0);
  for (let i = 0; i < 8; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[8 * i + j]!;
      for (let k = 0; k < j; k++) sum -= l[8 * i + k]! * l[8 * j + k]!;
      l[8 * i + j] = i === j ? Math.sqrt(sum) : sum / l[9 * j]!;
    }
  }
  return l;
}
