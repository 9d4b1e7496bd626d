import fc from "fast-check";
import { seededRandom } from "#core/field/random";
import type { PointStake, Stake } from "#core/field/stake";
import { type Survey, type SurveyRefusal, surveyFrame } from "#core/field/survey";
import type { FieldLayout } from "#core/field/template";
import { type TestCamera, aimedCamera, ncaa, noisy, pressBox, see } from "./cameras.ts";

/** Stakes on the test cameras, and what a survey says of them. */
export function landmarkOf(layout: FieldLayout, id: string) {
  const landmark = layout.landmarks.find((candidate) => candidate.id === id);
  if (landmark === undefined) throw new Error(`no landmark ${id}`);
  return landmark;
}

/** Stakes clicked where the camera sees `seenAs`, under the names in `ids`; exact unless a sigma is given. */
export function stakesAt(
  camera: TestCamera,
  ids: readonly string[],
  seenAs = ids,
  noisePx = 0,
  seed = 1,
): PointStake[] {
  const random = seededRandom(seed);
  return ids.map((landmarkId, i) => ({
    kind: "point",
    id: `stake ${i + 1}`,
    landmarkId,
    click: noisy(random, see(camera, landmarkOf(ncaa, seenAs[i]!).at), noisePx),
    sigmaPx: 1.5,
  }));
}

export function refusal(stakes: readonly Stake[], camera = pressBox): SurveyRefusal {
  const result = surveyFrame(ncaa, stakes, camera.image);
  if (result.ok) throw new Error("surveyed");
  return result.refusal;
}

export function survey(stakes: readonly Stake[], camera = pressBox, layout = ncaa): Survey {
  const result = surveyFrame(layout, stakes, camera.image);
  if (!result.ok) throw new Error(result.refusal.message);
  return result.survey;
}

export const codes = (from: Survey): string[] => from.warnings.map(({ code }) => code);

export const corners = ["near-sideline/L35", "near-sideline/R35", "far-sideline/L35", "far-sideline/R35"];
export const eight = [...corners, "near-hash/L40", "near-hash/R40", "far-hash/L40", "far-hash/R40"];
export const swapDepth = (id: string) =>
  id.startsWith("near") ? id.replace("near", "far") : id.replace("far", "near");
export const swapSides = (id: string) =>
  id.includes("/L") ? id.replace("/L", "/R") : id.includes("/R") ? id.replace("/R", "/L") : id;

export function rename(stakes: readonly Stake[], by: (id: string) => string): Stake[] {
  return stakes.map((stake) => (stake.kind === "point" ? { ...stake, landmarkId: by(stake.landmarkId) } : stake));
}

export function nearSideCamera() {
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
