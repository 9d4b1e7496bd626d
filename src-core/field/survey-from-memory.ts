import type { ImageSize } from "./camera.ts";
import type { CameraMemory } from "./camera-memory.ts";
import {
  type CameraPrior,
  type PoseFit,
  mapOfFit,
  poseWithout,
  solvePose,
  stakeErrorPx,
  zoomSd,
} from "./camera-solve.ts";
import { cameraWords } from "./camera-words.ts";
import { informationOf } from "./centre-fit.ts";
import { type Homography, invertHomography, projectToImage } from "./homography.ts";
import { type NamedStakes, nameStakes, pointSighting } from "./named-stakes.ts";
import type { Sighting } from "./observations.ts";
import { estimateOfPose, mapOfPose } from "./pinhole-pose.ts";
import type { Stake } from "./stake.ts";
import type { StakeReport, SurveyResult } from "./survey.ts";
import { type SurveyRefusal, type SurveyWarning, listed, rounded } from "./survey-notices.ts";
import { bowWarnings, crossRatioWarnings, lowCameraWarnings } from "./survey-warnings.ts";
import type { FieldLayout, Landmark } from "./template.ts";
import { type ImagePoint, imageDistancePx, imagePoint } from "./units.ts";
import { horizonOf, visibleField } from "./visible-field.ts";
import { chiSquareLimit } from "./wrong-names.ts";

/** Pan, tilt, zoom and roll: what the stakes themselves must tell, two equations a stake. */
const neededEquations = 4;
/** Standard deviation of the zoom, as a share, past which the stakes are said not to tell it. */
const openZoom = 0.2;
/** The clicks' widest distance, as a share of the picture's width, below which it is their closeness that is to blame. */
const closeShare = 0.15;
/** A few clicks' χ² tells little of their true noise: the stated sigmas count as much as so many clicks' would. */
const statedWeight = 8;

/**
 * Surveys a frame of a film whose camera place is remembered: two stakes are enough, points or lines.
 *
 * The likeliest pan, tilt, roll and zoom by clicks and memory together, and the place itself moves within its own error;
 * so the covariance holds what the memory does not know as well. Residuals and leave-one-out errors are those of this
 * fit. `dof` is that of the clicks alone once the place is known (residuals less four): 0 for two stakes, which no
 * wrong name can betray but by the lean of the picture.
 */
export function surveyFromMemory(
  layout: FieldLayout,
  stakes: readonly Stake[],
  image: ImageSize,
  memory: CameraMemory,
): SurveyResult {
  const looked = nameStakes(layout, stakes);
  if (!looked.ok) return looked;
  const { named } = looked;
  const tooFew = tooFewStakes(named);
  if (tooFew !== null) return { ok: false, refusal: tooFew };
  const prior = priorOf(memory);
  const solved = solvePose(named.sightings, image, prior);
  if (!solved.ok) {
    const refusal = solved.failure === "behind" ? behindCamera(named) : notThisCamera(named, memory);
    return { ok: false, refusal: wrongName(named, image, prior) ?? refusal };
  }
  const { fit } = solved;
  const logFocalSd = zoomSd(fit.covariance);
  if (!(logFocalSd <= openZoom)) return { ok: false, refusal: openOf(named, image) };
  if (fit.chiSquare > chiSquareLimit(fit.dof)) {
    return { ok: false, refusal: wrongName(named, image, prior) ?? notThisCamera(named, memory) };
  }

  const variance = Math.max(1, (fit.chiSquare + statedWeight) / (fit.dof + statedWeight));
  const { homography, covariance } = mapOfFit(fit, image, variance);
  const inverse = invertHomography(homography);
  const field = { lengthYards: layout.totalLengthYards, widthYards: layout.widthYards };
  const visible = visibleField(homography, field, image);
  const camera = estimateOfPose(fit.pose, logFocalSd * Math.sqrt(variance));
  const reports = stakeReports(named, fit, homography, image, prior);
  let squares = 0;
  let clicks = 0;
  reports.forEach(({ residualPx }, i) => {
    const own = clicksOf(named.sightings[i]!).length;
    squares += own * residualPx ** 2;
    clicks += own;
  });
  return {
    ok: true,
    survey: {
      homography,
      inverse,
      covariance,
      dof: fit.dof + 3 - neededEquations,
      residualRmsPx: Math.sqrt(squares / clicks),
      sigmaScale: Math.sqrt(variance),
      stakes: reports,
      visible,
      horizon: horizonOf(inverse),
      camera,
      warnings: [
        ...(equationsOf(named) === neededEquations ? [noCheck] : []),
        ...crossRatioWarnings(named),
        ...bowWarnings(named),
        ...lowCameraWarnings({ homography, inverse }, visible, camera),
      ],
      field,
      image,
    },
  };
}

const noCheck: SurveyWarning = {
  code: "no-check",
  message:
    "Two stakes fit any pan and zoom of a known camera exactly, so a wrong name hardly shows. Add a third: its error will.",
  stakeIds: [],
};

function priorOf(memory: CameraMemory): CameraPrior {
  const information = informationOf(memory.covariance);
  if (information === null) throw new Error("a camera memory without a covariance reached a survey");
  const place = Float64Array.of(memory.xYards, memory.yYards, memory.heightYards);
  return { place: { place, information }, roll: memory.roll };
}

function clicksOf(sighting: Sighting): readonly ImagePoint[] {
  return sighting.kind === "point" ? [sighting.click] : sighting.clicks;
}

function equationsOfOne(sighting: Sighting): number {
  return sighting.kind === "point" ? 2 : Math.min(2, sighting.clicks.length);
}

function equationsOf({ sightings }: NamedStakes): number {
  return sightings.reduce((sum, sighting) => sum + equationsOfOne(sighting), 0);
}

function stakeReports(
  named: NamedStakes,
  fit: PoseFit,
  homography: Homography,
  image: ImageSize,
  prior: CameraPrior,
): StakeReport[] {
  const equations = equationsOf(named);
  return named.stakes.map((stake, i) => {
    const sighting = named.sightings[i]!;
    const { sigmaPx } = sighting;
    let residual: ImagePoint | null = null;
    if (sighting.kind === "point") {
      const at = projectToImage(homography, sighting.at)!;
      residual = imagePoint(sighting.click.uPx - at.uPx, sighting.click.vPx - at.vPx);
    }
    const without = equations - equationsOfOne(sighting) >= neededEquations ? poseWithout(fit, image, prior, i) : null;
    const rest = without !== null && zoomSd(without.covariance) <= openZoom ? without : null;
    return {
      id: stake.id,
      residualPx: stakeErrorPx(fit, fit.pose, image, i, sigmaPx),
      residual,
      leaveOneOutPx: rest === null ? null : stakeErrorPx(fit, rest.pose, image, i, sigmaPx),
    };
  });
}

function tooFewStakes(named: NamedStakes): SurveyRefusal | null {
  const { stakes, sightings, names } = named;
  const stakeIds = stakes.map((stake) => stake.id);
  const equations = equationsOf(named);
  if (equations < neededEquations) {
    const have = ["none", "half of one", "one", "one and a half"][equations]!;
    return {
      code: "too-few-stakes",
      message:
        "Two stakes are needed where the camera's place is known (a line with one click is half a stake); this frame " +
        `has ${have}. Place another, far from it in the picture.`,
      stakeIds,
    };
  }
  for (let i = 0; i < sightings.length; i++) {
    for (let j = 0; j < i; j++) {
      const a = sightings[i]!;
      const b = sightings[j]!;
      if (a.kind === "line" || b.kind === "line") continue;
      const apart = imageDistancePx(a.click, b.click);
      if (apart >= 2 * Math.max(a.sigmaPx, b.sigmaPx)) continue;
      return {
        code: "too-close-together",
        message:
          `The clicks for "${names[j]}" and "${names[i]}" are only ${rounded(apart)} px apart. ` +
          "Move one to its own place, or take it away.",
        stakeIds: [stakes[j]!.id, stakes[i]!.id],
      };
    }
  }
  return null;
}

/** Why the zoom is open: the clicks lie in one spot, or they run along one line of sight. */
function openOf(named: NamedStakes, image: ImageSize): SurveyRefusal {
  const clicks = named.sightings.flatMap(clicksOf);
  let widest = 0;
  for (const a of clicks) for (const b of clicks) widest = Math.max(widest, imageDistancePx(a, b));
  if (widest >= closeShare * image.widthPx) return notFixed(named);
  return {
    code: "too-close-together",
    message:
      `All clicks lie within ${rounded(widest)} px, too close together to tell the zoom. ` +
      "Place one stake on each side of the picture.",
    stakeIds: named.stakes.map((stake) => stake.id),
  };
}

/**
 * Two lines alone tell the zoom only by how wide the view is: zooming in on their crossing, or on the point where two
 * parallel ones meet on the horizon, changes neither.
 */
function notFixed({ stakes, sightings }: NamedStakes): SurveyRefusal {
  const lines = sightings.every(({ kind }) => kind === "line");
  return {
    code: "not-fixed",
    message: lines
      ? "These lines leave the zoom open: zooming in on the point where they meet changes none of them. Add a landmark, " +
        "or a line that does not pass through that point."
      : "These stakes leave the zoom open, even from a known camera place. Add a stake on another side of the picture, " +
        "off the lines already used.",
    stakeIds: stakes.map((stake) => stake.id),
  };
}

function behindCamera({ stakes, names }: NamedStakes): SurveyRefusal {
  return {
    code: "behind-camera",
    message:
      "The remembered camera cannot see these stakes so: some would lie behind it or above its horizon. Check the names " +
      `${listed(names)}; they may be swapped.`,
    stakeIds: stakes.map((stake) => stake.id),
  };
}

function notThisCamera({ layout, stakes }: NamedStakes, memory: CameraMemory): SurveyRefusal {
  return {
    code: "not-this-camera",
    message:
      `These stakes do not go with a camera ${cameraWords(memory, layout, memory.covariance)}, where the film's other ` +
      "surveys put it. It may have been moved, or a stake carries the wrong name. Check the names; if they are right, " +
      "place four stakes or more and survey this frame without the camera memory.",
    stakeIds: stakes.map((stake) => stake.id),
  };
}

/** A landmark this many pixels from the click, as the others see it, is worth a try. */
const reachPx = 60;

type Renamed = { readonly stake: number; readonly landmark: Landmark; readonly chiSquare: number };

/**
 * The one stake that carries another landmark's name: the others and the memory agree without it, and their camera sees
 * an unused landmark at its click. Null when that is true of no stake or of several.
 */
function wrongName(named: NamedStakes, image: ImageSize, prior: CameraPrior): SurveyRefusal | null {
  const { layout, stakes, sightings, names } = named;
  const used = new Set(stakes.map((stake) => (stake.kind === "point" ? stake.landmarkId : "")));
  const found: Renamed[] = [];
  stakes.forEach((stake, i) => {
    if (stake.kind !== "point") return;
    const rest = sightings.filter((_, k) => k !== i);
    // With fewer than two stakes left there is nothing to hold the renamed one against.
    if (rest.reduce((sum, sighting) => sum + equationsOfOne(sighting), 0) < neededEquations) return;
    const solved = solvePose(rest, image, prior);
    if (!solved.ok || solved.fit.chiSquare > chiSquareLimit(solved.fit.dof)) return;
    const h = mapOfPose(solved.fit.pose, image);
    for (const landmark of layout.landmarks) {
      if (used.has(landmark.id)) continue;
      const seen = projectToImage(h, landmark.at);
      if (seen === null || imageDistancePx(seen, stake.click) > reachPx) continue;
      const renamed = sightings.map((s, k): Sighting => (k === i ? pointSighting(stake, landmark) : s));
      const again = solvePose(renamed, image, prior);
      if (!again.ok || again.fit.chiSquare > chiSquareLimit(again.fit.dof)) continue;
      found.push({ stake: i, landmark, chiSquare: again.fit.chiSquare });
    }
  });
  found.sort((a, b) => a.chiSquare - b.chiSquare);
  const [best, next] = found;
  if (best === undefined || (next !== undefined && next.chiSquare - best.chiSquare < 6)) return null;
  const stakeId = stakes[best.stake]!.id;
  const { id: landmarkId, name: landmarkName } = best.landmark;
  return {
    code: "wrong-name",
    message:
      `These stakes do not go with the film's camera. "${names[best.stake]}" may carry the wrong name: ` +
      `"${landmarkName}" would fit.`,
    stakeIds: [stakeId],
    suggestion: { stakeId, landmarkId, landmarkName },
  };
}
