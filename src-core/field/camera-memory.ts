import { type CentreFit, type MeasuredMap, fitCentre, informationOf, measuredMap } from "./centre-fit.ts";
import type { Survey } from "./survey.ts";
import { type SurveyWarning, rounded } from "./survey-notices.ts";
import { chiSquareLimit } from "./wrong-names.ts";

/**
 * Where a film's camera stands: a tripod does not move, so the surveys of one film share its place.
 *
 * Yards of the field frame, radians. The roll differs a little from frame to frame (a tripod that leans rolls as it
 * pans), so it is kept as a mean and a spread.
 */
export type CameraMemory = {
  readonly kind: "memory";
  readonly xYards: number;
  readonly yYards: number;
  readonly heightYards: number;
  /** Of (x, y, height): 3 × 3, row by row, square yards. First order at the joint minimum. */
  readonly covariance: readonly number[];
  readonly roll: { readonly meanRadians: number; readonly spreadRadians: number };
  readonly surveyCount: number;
  /** χ² of "one place, square pixels, a centred axis", and its degrees of freedom. */
  readonly chiSquare: number;
  readonly dof: number;
};

/** The surveys do not share one place. */
export type CameraContradiction = {
  readonly kind: "contradiction";
  /** Places in the given list: the one that does not go with the others; all, when that cannot be told. */
  readonly surveys: readonly number[];
  /** How far the named surveys put the camera from the others', or from each other. */
  readonly apartYards: number;
  readonly message: string;
};

/** Roll of a well set tripod, radians (0.6°), and for how many surveys this expectation counts. */
const usualRollSpread = 0.01;
const usualRollWeight = 2;

/**
 * One fixed camera place from two or more surveys of one film, with square pixels and the axis in the middle of the
 * picture; null when there are fewer than two to learn from, or none of them tells a camera.
 *
 * Each survey counts by its own covariance, in a joint least squares over the place and every survey's pan, tilt, roll
 * and focal length. Give only surveys solved from their own stakes: one made from a memory, or carried from another
 * frame, would count the same clicks twice.
 */
export function rememberCamera(surveys: readonly Survey[]): CameraMemory | CameraContradiction | null {
  const kept: { readonly map: MeasuredMap; readonly index: number }[] = [];
  const variances = pooledVariances(surveys);
  surveys.forEach((survey, index) => {
    const map = measuredMap(survey, variances[index]);
    if (map !== null) kept.push({ map, index });
  });
  if (kept.length < 2) return null;
  const fit = fitCentre(
    kept.map(({ map }) => map),
    null,
  );
  if (fit === null) return null;
  if (fit.chiSquare > chiSquareLimit(fit.dof)) return contradictionOf(kept);
  return {
    kind: "memory",
    xYards: fit.place[0]!,
    yYards: fit.place[1]!,
    heightYards: fit.place[2]!,
    covariance: Array.from(fit.covariance),
    roll: rollOf(fit),
    surveyCount: kept.length,
    chiSquare: fit.chiSquare,
    dof: fit.dof,
  };
}

/**
 * By how much to widen each survey's covariance once all of them are seen together.
 *
 * Each was widened by its own max(1, χ²/dof), which alone is prudent but over several is too wide by a fifth: half of
 * all sound surveys have χ² above dof by chance. Over the pool that chance has a known size, dof · E[max(0, χ²/dof − 1)]
 * ≈ √(2 dof) / √(2π), and only what goes beyond it is kept. A survey that is ill by its own test keeps its own widening.
 */
function pooledVariances(surveys: readonly Survey[]): number[] {
  const ill = ({ dof, sigmaScale }: Survey): boolean => dof > 0 && sigmaScale ** 2 * dof > chiSquareLimit(dof);
  let dofs = 0;
  let excess = 0;
  for (const survey of surveys) {
    if (survey.dof === 0 || ill(survey)) continue;
    dofs += survey.dof;
    excess += survey.dof * (survey.sigmaScale ** 2 - 1) - Math.sqrt(survey.dof / Math.PI);
  }
  const pooled = dofs > 0 ? Math.max(1, 1 + excess / dofs) : 1;
  return surveys.map((survey) => (ill(survey) ? 1 : pooled / survey.sigmaScale ** 2));
}

/**
 * Mean of the rolls, weighted by their errors, and the standard deviation to expect of another frame's. The spread that
 * the surveys show beyond their errors is drawn toward that of a well set tripod, since a few surveys tell little.
 */
function rollOf(fit: CentreFit): CameraMemory["roll"] {
  let weights = 0;
  let sum = 0;
  fit.poses.forEach((pose, i) => {
    const weight = 1 / (fit.rollSds[i]! ** 2 + usualRollSpread ** 2);
    weights += weight;
    sum += weight * pose[5]!;
  });
  const meanRadians = sum / weights;
  let squares = usualRollWeight * usualRollSpread ** 2;
  fit.poses.forEach((pose, i) => {
    squares += Math.max(0, (pose[5]! - meanRadians) ** 2 - fit.rollSds[i]! ** 2);
  });
  const spread = squares / (usualRollWeight + fit.poses.length - 1);
  return { meanRadians, spreadRadians: Math.sqrt(spread + 1 / weights) };
}

const whatHappened = "The camera was moved, or the film of one was cropped";

function contradictionOf(kept: readonly { readonly map: MeasuredMap; readonly index: number }[]): CameraContradiction {
  const all = kept.map(({ index }) => index);
  let odd = -1;
  let rest: CentreFit | null = null;
  let second = Infinity;
  if (kept.length > 2) {
    kept.forEach((_, i) => {
      const without = fitCentre(
        kept.filter((__, k) => k !== i).map(({ map }) => map),
        null,
      );
      if (without === null) return;
      if (rest === null || without.chiSquare < rest.chiSquare) {
        second = rest?.chiSquare ?? Infinity;
        rest = without;
        odd = i;
      } else second = Math.min(second, without.chiSquare);
    });
  }
  const others = rest as CentreFit | null;
  if (others !== null && others.chiSquare <= chiSquareLimit(others.dof) && second > chiSquareLimit(others.dof)) {
    const apartYards = shiftYards(kept[odd]!.map, others);
    return {
      kind: "contradiction",
      surveys: [all[odd]!],
      apartYards,
      message:
        `This survey puts the camera ${rounded(apartYards)} yd from where the others do. The camera was moved, or this ` +
        "part of the film was cropped. Leave it out of the camera memory.",
    };
  }
  if (kept.length === 2) {
    const first = fitCentre([kept[0]!.map], null);
    const apartYards = first === null ? 0 : shiftYards(kept[1]!.map, first);
    return {
      kind: "contradiction",
      surveys: all,
      apartYards,
      message:
        `These two surveys put the camera ${rounded(apartYards)} yd apart. ${whatHappened}. ` +
        "A third survey will tell which of the two goes with the rest of the film.",
    };
  }
  const joint = fitCentre(
    kept.map(({ map }) => map),
    null,
  );
  const apartYards = joint === null ? 0 : Math.max(...kept.map(({ map }) => shiftYards(map, joint)));
  return {
    kind: "contradiction",
    surveys: all,
    apartYards,
    message:
      `These surveys do not share one camera: they put it up to ${rounded(apartYards)} yd apart, and no single one is ` +
      `to blame. ${whatHappened}. Remember the camera from the frames of one tripod place only.`,
  };
}

/** A camera that was moved was moved by about this much, yards; it keeps an ill-known direction out of the distance. */
const usualMoveYards = 10;

type Place = { readonly place: Float64Array; readonly covariance: ArrayLike<number> };

/**
 * How far the survey moves the camera from a place, yards: its most likely place when moves of about 10 yd any way are
 * expected. A narrow view alone would say "30 yd farther off" of a camera that it cannot tell along the line of sight.
 */
function shiftYards(map: MeasuredMap, from: Place): number {
  const wide = Array.from(from.covariance, (entry, i) => entry + (i % 4 === 0 ? usualMoveYards ** 2 : 0));
  const information = informationOf(wide)!;
  const fit = fitCentre([map], { place: from.place, information });
  return fit === null
    ? 0
    : Math.hypot(fit.place[0]! - from.place[0]!, fit.place[1]! - from.place[1]!, fit.place[2]! - from.place[2]!);
}

export type Agreement = {
  readonly agrees: boolean;
  /** χ² of the remembered place against the survey's own, and its degrees of freedom. */
  readonly chiSquare: number;
  readonly dof: number;
  readonly apartYards: number;
  /** Null when they agree. */
  readonly warning: SurveyWarning | null;
};

/**
 * Whether a survey from its own stakes goes with a remembered camera place; the memory must not have been learnt from
 * this survey, or the test is too lenient. A survey that tells nothing of a place agrees.
 */
export function agreesWithMemory(survey: Survey, memory: CameraMemory): Agreement {
  const agreed: Agreement = { agrees: true, chiSquare: 0, dof: 0, apartYards: 0, warning: null };
  const map = measuredMap(survey);
  const information = informationOf(memory.covariance);
  if (map === null || information === null) return agreed;
  const place = Float64Array.of(memory.xYards, memory.yYards, memory.heightYards);
  const together = fitCentre([map], { place, information });
  if (together === null) return agreed;
  // What no place explains (a cropped or stretched picture) is left to the survey's own warnings.
  const alone = fitCentre([map], null);
  const chiSquare = Math.max(0, together.chiSquare - (alone?.chiSquare ?? 0));
  const dof = alone === null ? together.dof : 3;
  const agrees = chiSquare <= chiSquareLimit(dof);
  const apartYards = shiftYards(map, { place, covariance: memory.covariance });
  const warning: SurveyWarning | null = agrees
    ? null
    : {
        code: "camera-elsewhere",
        message:
          `This survey puts the camera ${rounded(apartYards)} yd from where the film's other surveys do. One of its ` +
          "stakes may carry the wrong name; or the camera was moved, or the picture cropped, here.",
        stakeIds: [],
      };
  return { agrees, chiSquare, dof, apartYards, warning };
}

/** Where one survey by itself puts the camera, with the 3 × 3 covariance of (x, y, height), square yards. */
export function cameraPlace(survey: Survey): {
  readonly xYards: number;
  readonly yYards: number;
  readonly heightYards: number;
  readonly covariance: readonly number[];
} | null {
  const map = measuredMap(survey);
  const fit = map === null ? null : fitCentre([map], null);
  if (fit === null) return null;
  return {
    xYards: fit.place[0]!,
    yYards: fit.place[1]!,
    heightYards: fit.place[2]!,
    covariance: Array.from(fit.covariance),
  };
}
