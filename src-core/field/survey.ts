import { type CameraEstimate, type ImageSize, estimateCamera } from "./camera.ts";
import { type Homography, fieldPerImage, projectThroughInverse, projectToImage } from "./homography.ts";
import { type Lens, straightenStake } from "./lens.ts";
import { type NamedStakes, nameStakes } from "./named-stakes.ts";
import { type Solution, solveHomography } from "./solve.ts";
import type { Stake } from "./stake.ts";
import { checkStakeLayout } from "./stake-layout-checks.ts";
import { type SurveyRefusal, type SurveyWarning, listed } from "./survey-notices.ts";
import { warnAbout } from "./survey-warnings.ts";
import type { FieldLayout } from "./template.ts";
import { type HomographyCovariance, projectionCovariance } from "./uncertainty.ts";
import { type FieldPoint, type ImagePoint, imagePoint } from "./units.ts";
import { type Horizon, horizonOf, visibleField } from "./visible-field.ts";
import { chiSquareLimit, findSwappedPair, findWrongName } from "./wrong-names.ts";

export type { Stake, SurveyRefusal, SurveyWarning };

export type StakeReport = {
  readonly id: string;
  /** Distance of the click to where the survey puts its landmark; for a line, root mean square over its clicks. */
  readonly residualPx: number;
  /** Click less projection, for a point; null for a line. */
  readonly residual: ImagePoint | null;
  /** As `residualPx`, from a solve without this stake; null when the others do not fix the frame. */
  readonly leaveOneOutPx: number | null;
};

/** A solved calibration of one frame. Derived from stakes alone, so it can be thrown away and made again. */
export type Survey = {
  readonly homography: Homography;
  readonly inverse: Homography;
  readonly covariance: HomographyCovariance;
  readonly dof: number;
  readonly residualRmsPx: number;
  /** √max(1, χ²/dof): what the stakes' sigmas were multiplied by to explain their residuals. */
  readonly sigmaScale: number;
  readonly stakes: readonly StakeReport[];
  /** The part of the field in the frame, a convex polygon; empty when none is. */
  readonly visible: readonly FieldPoint[];
  readonly horizon: Horizon | null;
  readonly camera: CameraEstimate | null;
  readonly warnings: readonly SurveyWarning[];
  readonly field: { readonly lengthYards: number; readonly widthYards: number };
  readonly image: ImageSize;
  /** The film's lens. The map is that of straightened pixels; left out where film pixels count as straight. */
  readonly lens?: Lens;
};

export type SurveyResult =
  | { readonly ok: true; readonly survey: Survey }
  | { readonly ok: false; readonly refusal: SurveyRefusal };

/**
 * Surveys a frame: field → image with its error from point and line stakes, or the reason why not. With a lens the
 * clicks are straightened first, and everything in pixels of the answer is of straightened pixels.
 */
export function surveyFrame(
  layout: FieldLayout,
  clicked: readonly Stake[],
  image: ImageSize,
  lens: Lens | null = null,
): SurveyResult {
  const stakes = lens ? clicked.map((stake) => straightenStake(lens, image, stake)) : clicked;
  const looked = nameStakes(layout, stakes);
  if (!looked.ok) return looked;
  const { named } = looked;
  const badLayout = checkStakeLayout(named);
  if (badLayout !== null) return { ok: false, refusal: badLayout };
  const solved = solveHomography(named.sightings);
  if (!solved.ok) return { ok: false, refusal: wrongName(named, image) ?? notFixed(named) };
  const { solution } = solved;
  const refusal = refusalOf(named, solution, image);
  if (refusal !== null) return { ok: false, refusal };

  const { homography, inverse, covariance } = solution;
  const field = { lengthYards: layout.totalLengthYards, widthYards: layout.widthYards };
  const visible = visibleField(homography, field, image);
  const camera = estimateCamera(homography, image, covariance);
  return {
    ok: true,
    survey: {
      homography,
      inverse,
      covariance,
      dof: solution.dof,
      residualRmsPx: solution.residualRmsPx,
      sigmaScale: solution.sigmaScale,
      stakes: stakeReports(named, solution),
      visible,
      horizon: horizonOf(inverse),
      camera,
      warnings: warnAbout(named, solution, image, visible, camera),
      field,
      image,
      ...(lens ? { lens } : {}),
    },
  };
}

function stakeReports(named: NamedStakes, solution: Solution): StakeReport[] {
  return named.stakes.map((stake, i) => {
    const { residualPx, leaveOneOutPx } = solution.stakes[i]!;
    const sighting = named.sightings[i]!;
    let residual: ImagePoint | null = null;
    if (sighting.kind === "point") {
      const image = projectToImage(solution.homography, sighting.at)!;
      residual = imagePoint(sighting.click.uPx - image.uPx, sighting.click.vPx - image.vPx);
    }
    return { id: stake.id, residualPx, residual, leaveOneOutPx };
  });
}

/** Error of the map between the stakes themselves, in sigmas of a click, past which they are said not to fix it. */
const openSigmas = 20;

/**
 * Stakes that leave the map open still fit their own clicks, and noise hides that from the rank of the equations. It
 * shows between the stakes: the map's error over the rectangle around their clicks grows without bound there.
 */
function openBetweenStakes(named: NamedStakes, solution: Solution): boolean {
  let left = Infinity;
  let right = -Infinity;
  let top = Infinity;
  let bottom = -Infinity;
  let sigmaPx = 0;
  for (const sighting of named.sightings) {
    sigmaPx = Math.max(sigmaPx, sighting.sigmaPx * solution.sigmaScale);
    for (const { uPx, vPx } of sighting.kind === "point" ? [sighting.click] : sighting.clicks) {
      left = Math.min(left, uPx);
      right = Math.max(right, uPx);
      top = Math.min(top, vPx);
      bottom = Math.max(bottom, vPx);
    }
  }
  for (let i = 0; i < 9; i++) {
    const at = imagePoint(left + ((i % 3) / 2) * (right - left), top + (Math.floor(i / 3) / 2) * (bottom - top));
    const ground = projectThroughInverse(solution.inverse, at);
    if (ground === null) continue;
    const { uu, vv } = projectionCovariance(solution.homography, solution.covariance, ground);
    if (!(uu + vv <= 2 * (openSigmas * sigmaPx) ** 2)) return true;
  }
  return false;
}

function refusalOf(named: NamedStakes, solution: Solution, image: ImageSize): SurveyRefusal | null {
  if (solution.behind) return wrongName(named, image) ?? behindCamera(named);
  if (solution.mirrored) {
    // A whole mirror image fits its clicks; when the stakes disagree as well, one wrong name is the likelier reason.
    const disagree = solution.dof > 0 && solution.chiSquare > chiSquareLimit(solution.dof);
    return (disagree ? wrongName(named, image) : null) ?? mirrored(named, solution, image);
  }
  return openBetweenStakes(named, solution) ? (wrongName(named, image) ?? notFixed(named)) : null;
}

function wrongName(named: NamedStakes, image: ImageSize): SurveyRefusal | null {
  const wrong = findWrongName(named, image);
  if (wrong === null) return null;
  const stakeId = named.stakes[wrong.stake]!.id;
  const { id: landmarkId, name: landmarkName } = wrong.landmark;
  return {
    code: "wrong-name",
    message:
      `No camera can see these stakes so. "${named.names[wrong.stake]}" may carry the wrong name: ` +
      `"${landmarkName}" would fit.`,
    stakeIds: [stakeId],
    suggestion: { stakeId, landmarkId, landmarkName },
  };
}

function notFixed({ stakes }: NamedStakes): SurveyRefusal {
  return {
    code: "not-fixed",
    message:
      "These stakes leave the frame open: too many of them lie along one line, or run side by side. Add a stake off that " +
      "line, or a line that crosses the others.",
    stakeIds: stakes.map((stake) => stake.id),
  };
}

function behindCamera(named: NamedStakes): SurveyRefusal {
  const { stakes, names } = named;
  const pair = findSwappedPair(named);
  if (pair !== null) {
    return {
      code: "behind-camera",
      message:
        `No camera can see these stakes so: the names "${names[pair[0]]}" and "${names[pair[1]]}" look swapped. ` +
        "Exchange them.",
      stakeIds: [stakes[pair[0]]!.id, stakes[pair[1]]!.id],
    };
  }
  return {
    code: "behind-camera",
    message:
      "No camera can see these stakes so: some would lie behind it. One or two carry the wrong name; check " +
      `${listed(names)}.`,
    stakeIds: stakes.map((stake) => stake.id),
  };
}

/**
 * A mirror image fits as well with near and far exchanged as with left and right: the two differ by a half-turn of the
 * field. The one that puts the camera on the near side is named, and the other as its alternative.
 */
function mirrored(named: NamedStakes, solution: Solution, image: ImageSize): SurveyRefusal {
  const middle = imagePoint(image.widthPx / 2, image.heightPx * 0.75);
  const up = -fieldPerImage(solution.inverse, middle).yy;
  const stakeIds = named.stakes.map((stake) => stake.id);
  const why = "The names make a mirror image of the field.";
  return up < 0
    ? {
        code: "mirrored-near-far",
        message:
          `${why} Near and far are swapped: give each near stake its far name and each far stake its near name. ` +
          "(If the camera stands on the far side, swap left and right instead.)",
        stakeIds,
      }
    : {
        code: "mirrored-left-right",
        message:
          `${why} Left and right are swapped: give each left stake its right name and each right stake its left name. ` +
          "(If the camera stands on the far side, swap near and far instead.)",
        stakeIds,
      };
}
