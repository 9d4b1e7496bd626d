import { type ImageSize, centred, focalOf } from "./focal-length.ts";
import { type Homography, projectToImage } from "./homography.ts";
import { lineSighting, type NamedStakes, pointSighting } from "./named-stakes.ts";
import type { Sighting } from "./observations.ts";
import { type Solution, solveHomography } from "./solve.ts";
import type { LineStake, PointStake } from "./stake.ts";
import { type FieldLine, type Landmark, runsAcross } from "./template.ts";
import { type FieldPoint, imageDistancePx } from "./units.ts";

/**
 * Finding the stake that carries another landmark's name, and the name it should carry.
 *
 * A wrong name bends the whole fit, so the largest residual is a poor guide. Each stake is instead left out in turn, the
 * rest solved, and the landmark nearest to its click taken as its name; for a line the nearest ones are tried, or every
 * line that runs its way where the rest alone leave the frame open. The renaming that makes the whole fit best is the answer, if it makes it good.
 */

/** Upper point of χ² that a sound survey passes once in a thousand. Wilson and Hilferty's cube-root approximation. */
export function chiSquareLimit(dof: number): number {
  const spread = 2 / (9 * dof);
  return dof * (1 - spread + 3.09 * Math.sqrt(spread)) ** 3;
}

export function possible(solution: Solution): boolean {
  return !solution.behind && !solution.mirrored;
}

/** People hold a camera level to about this, radians (5°). */
const levelRadians = 0.087;

/**
 * How ill a survey goes with any camera a person would film with: χ² of square pixels and a centred axis, plus that of a
 * level picture. It judges names where the stakes themselves leave little or no residual.
 */
export function cameraMisfit(solution: Solution, image: ImageSize): number {
  const focal = focalOf(centred(solution.homography, image), image, solution.covariance);
  const roll = Math.atan2(solution.inverse[6], solution.inverse[7]) / levelRadians;
  return (focal?.misfit ?? 0) + roll * roll;
}

/** `landmark` is the point, or for a line stake the line, whose name the stake should carry. */
export type Renaming = { readonly stake: number; readonly landmark: { readonly id: string; readonly name: string } };

/** A landmark this many pixels from the click, as the others see it, is worth a try. */
const reachPx = 60;
/** The next best renaming must be worse by this much in χ²: about twenty to one. */
const clearlyWorse = 6;

type Candidate = { readonly landmark: Renaming["landmark"]; readonly sighting: Sighting };

export function findWrongName(named: NamedStakes, image: ImageSize): Renaming | null {
  const { stakes, sightings } = named;
  let best: Renaming | null = null;
  let least = Infinity;
  let second = Infinity;
  for (let i = 0; i < stakes.length; i++) {
    for (const { landmark, sighting } of candidatesFor(named, i)) {
      const renamed = solveHomography(sightings.map((s, k) => (k === i ? sighting : s)));
      if (!renamed.ok || !possible(renamed.solution)) continue;
      const { chiSquare, dof } = renamed.solution;
      const score = chiSquare + cameraMisfit(renamed.solution, image);
      if (score > chiSquareLimit(dof + 2)) continue;
      if (score < least) {
        second = least;
        least = score;
        best = { stake: i, landmark };
      } else second = Math.min(second, score);
    }
  }
  return second - least >= clearlyWorse ? best : null;
}

function candidatesFor(named: NamedStakes, i: number): readonly Candidate[] {
  const stake = named.stakes[i]!;
  if (stake.kind === "line") {
    return likelyLines(named, i, stake).map((line) => ({ landmark: line, sighting: lineSighting(stake, line) }));
  }
  const near = nearestLandmark(named, i, stake);
  return near === null ? [] : [{ landmark: near, sighting: pointSighting(stake, near) }];
}

/** Unused lines that a line stake may be: the nearest two in the survey of the others, or all that run its way. */
function likelyLines({ layout, stakes, sightings }: NamedStakes, i: number, stake: LineStake): FieldLine[] {
  const used = new Set(stakes.map((other) => (other.kind === "line" ? other.lineId : null)));
  const free = layout.lines.filter((line) => !used.has(line.id));
  const rest = solveHomography(sightings.filter((_, k) => k !== i));
  if (!rest.ok) {
    const own = layout.lines.find((line) => line.id === stake.lineId);
    return own ? free.filter((line) => runsAcross(line) === runsAcross(own)) : [];
  }
  if (!possible(rest.solution)) return [];
  const { homography } = rest.solution;
  return free
    .map((line) => ({ line, px: offLinePx(homography, line, stake) }))
    .filter(({ px }) => px < reachPx)
    .toSorted((a, b) => a.px - b.px)
    .slice(0, 2)
    .map(({ line }) => line);
}

/** The farthest of the clicks from where the map has the line, px. */
function offLinePx(h: Homography, { from, to }: FieldLine, stake: LineStake): number {
  const homogeneous = ({ xYards: x, yYards: y }: FieldPoint): readonly [number, number, number] => [
    h[0] * x + h[1] * y + h[2],
    h[3] * x + h[4] * y + h[5],
    h[6] * x + h[7] * y + h[8],
  ];
  const [p, q] = [homogeneous(from), homogeneous(to)];
  const a = p[1] * q[2] - p[2] * q[1];
  const b = p[2] * q[0] - p[0] * q[2];
  const c = p[0] * q[1] - p[1] * q[0];
  const length = Math.hypot(a, b);
  return Math.max(...stake.clicks.map(({ uPx, vPx }) => Math.abs(a * uPx + b * vPx + c) / length));
}

/** The unused landmark nearest to a click in the survey of the other stakes; null when none is within reach. */
function nearestLandmark({ layout, stakes, sightings }: NamedStakes, i: number, stake: PointStake): Landmark | null {
  const used = new Set(stakes.map((other) => (other.kind === "point" ? other.landmarkId : null)));
  const rest = solveHomography(sightings.filter((_, k) => k !== i));
  if (!rest.ok || !possible(rest.solution)) return null;
  let near: Landmark | null = null;
  let nearPx = reachPx;
  for (const landmark of layout.landmarks) {
    if (used.has(landmark.id)) continue;
    const seen = projectToImage(rest.solution.homography, landmark.at);
    if (seen === null) continue;
    const px = imageDistancePx(seen, stake.click);
    if (px < nearPx) {
      near = landmark;
      nearPx = px;
    }
  }
  return near;
}

/** The only two stakes whose names, exchanged, make a frame that a camera can see; null when no or several pairs do. */
export function findSwappedPair(named: NamedStakes): readonly [number, number] | null {
  const { sightings } = named;
  let found: readonly [number, number] | null = null;
  for (let i = 0; i < sightings.length; i++) {
    for (let j = 0; j < i; j++) {
      const a = sightings[i]!;
      const b = sightings[j]!;
      if (a.kind !== "point" || b.kind !== "point") continue;
      const swapped = sightings.map((s, k): Sighting => {
        if (k === i) return { ...a, at: b.at };
        return k === j ? { ...b, at: a.at } : s;
      });
      const solved = solveHomography(swapped);
      if (!solved.ok || !possible(solved.solution)) continue;
      if (solved.solution.dof > 0 && solved.solution.chiSquare > chiSquareLimit(solved.solution.dof)) continue;
      if (found !== null) return null;
      found = [j, i];
    }
  }
  return found;
}
