import type { CameraEstimate, ImageSize } from "./camera.ts";
import { fieldPerImage, projectToImage } from "./homography.ts";
import { defaultMarkSigmaPx } from "./mark.ts";
import type { NamedStakes } from "./named-stakes.ts";
import { principalAxes } from "./small-linear-algebra.ts";
import type { Solution } from "./solve.ts";
import { type SurveyWarning, listed, rounded } from "./survey-notices.ts";
import type { FieldPoint, ImagePoint } from "./units.ts";
import { cameraMisfit, chiSquareLimit, findWrongName } from "./wrong-names.ts";

/** Yards of ground under one pixel above which a camera counts as low. A press box has a third of a yard at the far side. */
const lowCameraYardsPerPx = 0.5;
/** χ² of "a camera could have seen this" that a sound survey does not reach: 4.5 standard deviations, or 22° of lean. */
const oddCamera = 20;
/** A cross-ratio this many standard deviations off is no click error. */
const crossRatioSigmas = 4;

export function warnAbout(
  named: NamedStakes,
  solution: Solution,
  image: ImageSize,
  visible: readonly FieldPoint[],
  camera: CameraEstimate | null,
): SurveyWarning[] {
  const fit = fitWarnings(named, solution, image);
  const sound = fit.every(({ code }) => code === "no-check");
  return [
    ...fit,
    ...crossRatioWarnings(named),
    ...bowWarnings(named),
    // A bent fit puts the camera anywhere; what it says about the far side would only distract from the wrong stake.
    ...(sound ? lowCameraWarnings(solution, visible, camera) : []),
  ];
}

function fitWarnings(named: NamedStakes, solution: Solution, image: ImageSize): SurveyWarning[] {
  const { stakes, names } = named;
  const { dof, chiSquare } = solution;
  const noCheck: SurveyWarning = {
    code: "no-check",
    message:
      "Four stakes fit any frame exactly, so a wrong one cannot show. Add a fifth, better a sixth: their error will.",
    stakeIds: [],
  };
  const disagree = dof > 0 && chiSquare > chiSquareLimit(dof);
  const odd = cameraMisfit(solution, image) > oddCamera;
  if (!disagree && !odd) return dof === 0 ? [noCheck] : [];

  const wrong = dof > 0 ? findWrongName(named, image) : null;
  if (wrong !== null) {
    const stakeId = stakes[wrong.stake]!.id;
    const { id: landmarkId, name: landmarkName } = wrong.landmark;
    const off = solution.stakes[wrong.stake]!.leaveOneOutPx;
    const by = off === null ? "" : ` lies ${rounded(off)} px from where the others put it and`;
    return [
      {
        code: "wrong-name",
        message: `The stake "${names[wrong.stake]}"${by} may carry the wrong name: "${landmarkName}" would fit.`,
        stakeIds: [stakeId],
        suggestion: { stakeId, landmarkId, landmarkName },
      },
    ];
  }
  if (!disagree) {
    const message =
      "The stakes agree, but no level camera with its axis in the middle of the picture sees a field so. One of them " +
      "may carry the wrong name: check them, or add a stake. (A picture cut out of a larger one can look so too.)";
    const warning: SurveyWarning = { code: "odd-camera", message, stakeIds: [] };
    return dof === 0 ? [warning, noCheck] : [warning];
  }
  const off = stakeThatIsOff(solution);
  if (off !== null) {
    const px = rounded(solution.stakes[off]!.leaveOneOutPx!);
    const message = `The stake "${names[off]}" lies ${px} px from where the others put it. Check its click and its name, or take it away.`;
    return [{ code: "stake-off", message, stakeIds: [stakes[off]!.id] }];
  }
  const message =
    `The stakes disagree by ${rounded(solution.residualRmsPx)} px, more than clicking explains, and no single one is to ` +
    "blame. Check the names, the hash marks chosen for this field, and whether its lines look straight in the film.";
  return [{ code: "poor-fit", message, stakeIds: [] }];
}

/** The one stake without which the rest agree; null when none is, or when the rest could not disagree anyway. */
function stakeThatIsOff(solution: Solution): number | null {
  const dof = solution.dof - 2;
  if (dof < 1) return null;
  let best = -1;
  let least = Infinity;
  let second = Infinity;
  solution.stakes.forEach(({ chiSquareWithout }, i) => {
    if (chiSquareWithout === null) return;
    if (chiSquareWithout < least) {
      second = least;
      least = chiSquareWithout;
      best = i;
    } else second = Math.min(second, chiSquareWithout);
  });
  return best >= 0 && least <= chiSquareLimit(dof) && second > 2 * least ? best : null;
}

type OnLine = {
  readonly stake: number;
  readonly alongYards: number;
  readonly click: ImagePoint;
  readonly sigmaPx: number;
};

/** Four points on a line keep their cross-ratio in any camera: a check on names that needs no solve. */
export function crossRatioWarnings({ stakes, sightings, names }: NamedStakes): SurveyWarning[] {
  const rows = new Map<string, OnLine[]>();
  sightings.forEach((sighting, stake) => {
    if (sighting.kind === "line") return;
    const { at, click, sigmaPx } = sighting;
    const put = (key: string, alongYards: number): void => {
      const row = rows.get(key) ?? [];
      row.push({ stake, alongYards, click, sigmaPx });
      rows.set(key, row);
    };
    put(`across ${at.xYards.toFixed(3)}`, at.yYards);
    put(`along ${at.yYards.toFixed(3)}`, at.xYards);
  });
  const warnings: SurveyWarning[] = [];
  for (const row of rows.values()) {
    if (row.length < 4) continue;
    row.sort((a, b) => a.alongYards - b.alongYards);
    for (let i = 0; i + 4 <= row.length; i++) {
      const four = row.slice(i, i + 4);
      const off = crossRatioError(four);
      if (off === null) continue;
      const four4 = four.map(({ stake }) => names[stake]!);
      warnings.push({
        code: "cross-ratio",
        message:
          `${listed(four4)} lie on one line, but not at the distances their names say (cross-ratio ` +
          `${off.measured.toFixed(3)} instead of ${off.expected.toFixed(3)}). One of them may carry the wrong name.`,
        stakeIds: four.map(({ stake }) => stakes[stake]!.id),
      });
      break;
    }
  }
  return warnings;
}

/** (AC · BD) / (BC · AD), in order along the line; 4/3 for four equally spaced points. */
export function crossRatio(a: number, b: number, c: number, d: number): number {
  return ((c - a) * (d - b)) / ((c - b) * (d - a));
}

function crossRatioError(four: readonly OnLine[]): { readonly measured: number; readonly expected: number } | null {
  const [a, b, c, d] = four as readonly [OnLine, OnLine, OnLine, OnLine];
  const { angleRadians } = spreadOf(four.map((p) => p.click));
  const along = (p: OnLine): number => p.click.uPx * Math.cos(angleRadians) + p.click.vPx * Math.sin(angleRadians);
  const [ta, tb, tc, td] = [along(a), along(b), along(c), along(d)];
  const expected = crossRatio(a.alongYards, b.alongYards, c.alongYards, d.alongYards);
  const measured = crossRatio(ta, tb, tc, td);
  const inOrder = (tb - ta) * (tc - tb) > 0 && (tc - tb) * (td - tc) > 0;
  if (inOrder) {
    const [ac, bd, bc, ad] = [tc - ta, td - tb, tc - tb, td - ta];
    const variance =
      ((1 / ad - 1 / ac) * a.sigmaPx) ** 2 +
      ((1 / bc - 1 / bd) * b.sigmaPx) ** 2 +
      ((1 / ac - 1 / bc) * c.sigmaPx) ** 2 +
      ((1 / bd - 1 / ad) * d.sigmaPx) ** 2;
    if (Math.abs(Math.log(measured / expected)) <= crossRatioSigmas * Math.sqrt(variance)) return null;
  }
  return { measured, expected };
}

function spreadOf(clicks: readonly ImagePoint[]): {
  readonly minor: number;
  readonly angleRadians: number;
  u: number;
  v: number;
} {
  const n = clicks.length;
  const u = clicks.reduce((sum, click) => sum + click.uPx, 0) / n;
  const v = clicks.reduce((sum, click) => sum + click.vPx, 0) / n;
  let uu = 0;
  let uv = 0;
  let vv = 0;
  for (const click of clicks) {
    uu += (click.uPx - u) ** 2;
    uv += (click.uPx - u) * (click.vPx - v);
    vv += (click.vPx - v) ** 2;
  }
  return { ...principalAxes(uu, uv, vv), u, v };
}

/** Clicks of one line against their own best straight line: no camera bends a line, a lens does. */
export function bowWarnings({ stakes, names }: NamedStakes): SurveyWarning[] {
  const warnings: SurveyWarning[] = [];
  stakes.forEach((stake, i) => {
    if (stake.kind !== "line" || stake.clicks.length < 3) return;
    const { minor, angleRadians, u, v } = spreadOf(stake.clicks);
    if (minor / stake.sigmaPx ** 2 <= chiSquareLimit(stake.clicks.length - 2)) return;
    let largest = 0;
    for (const click of stake.clicks) {
      const off = (click.vPx - v) * Math.cos(angleRadians) - (click.uPx - u) * Math.sin(angleRadians);
      largest = Math.max(largest, Math.abs(off));
    }
    warnings.push({
      code: "bowed-line",
      message:
        `The clicks on the ${names[i]} leave a straight line by up to ${rounded(largest)} px. ` +
        "Check them; if the line itself looks bowed in the film, its lens bends the picture.",
      stakeIds: [stake.id],
    });
  });
  return warnings;
}

export function lowCameraWarnings(
  { homography, inverse }: Pick<Solution, "homography" | "inverse">,
  visible: readonly FieldPoint[],
  camera: CameraEstimate | null,
): SurveyWarning[] {
  let worst = 0;
  for (const corner of visible) {
    const image = projectToImage(homography, corner);
    if (image === null) continue;
    const j = fieldPerImage(inverse, image);
    const { major } = principalAxes(j.xx ** 2 + j.xy ** 2, j.xx * j.yx + j.xy * j.yy, j.yx ** 2 + j.yy ** 2);
    worst = Math.max(worst, Math.sqrt(major));
  }
  if (worst <= lowCameraYardsPerPx) return [];
  const height = camera === null ? "" : ` (about ${rounded(camera.heightYards)} yd up)`;
  return [
    {
      code: "low-camera",
      message:
        `The camera stands low${height}: at the far side of what it shows, a click that is ${defaultMarkSigmaPx} px off ` +
        `puts a mark ${rounded(worst * defaultMarkSigmaPx)} yd off. Trust the near marks; read the far ones by their regions.`,
      stakeIds: [],
    },
  ];
}
