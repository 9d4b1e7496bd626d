import type { NamedStakes } from "./named-stakes.ts";
import { principalAxes } from "./small-linear-algebra.ts";
import { type SurveyRefusal, listed, rounded } from "./survey-notices.ts";
import { type FieldPoint, type ImagePoint, imageDistancePx } from "./units.ts";

/** Refusals that can be told from where the stakes lie, before anything is solved. */

const neededEquations = 8;
/** Two landmarks clicked within this many sigmas of each other say nothing against each other. */
const samePlaceSigmas = 2;
/** Spread of all clicks across their narrow direction, in sigmas, below which they fix no perspective. */
const narrowSigmas = 4;
/** Field points this near to a line count as on it. */
const onLineYards = 0.05;

export function checkStakeLayout(named: NamedStakes): SurveyRefusal | null {
  return tooFew(named) ?? onOneLine(named) ?? tooClose(named);
}

function tooFew({ stakes, sightings }: NamedStakes): SurveyRefusal | null {
  let equations = 0;
  for (const sighting of sightings) equations += sighting.kind === "point" ? 2 : Math.min(2, sighting.clicks.length);
  if (equations >= neededEquations) return null;
  const missing = Math.ceil((neededEquations - equations) / 2);
  const have = Math.floor(equations / 2);
  return {
    code: "too-few-stakes",
    message:
      `Four stakes are needed (a line with one click is half a stake); this frame has ${have === 0 ? "none" : have}. ` +
      `Place ${missing} more, well spread over the frame.`,
    stakeIds: stakes.map((stake) => stake.id),
  };
}

function offLineYards(a: FieldPoint, b: FieldPoint, p: FieldPoint): number {
  const dx = b.xYards - a.xYards;
  const dy = b.yYards - a.yYards;
  return Math.abs(dx * (p.yYards - a.yYards) - dy * (p.xYards - a.xYards)) / Math.hypot(dx, dy);
}

/**
 * All points but one on one line leave the map open, however many there are. If so, the line goes through two of any
 * three of the points, so only those three pairs are tried. Frames with line stakes are left to the solver's own test.
 */
function onOneLine({ stakes, sightings, names }: NamedStakes): SurveyRefusal | null {
  const points: FieldPoint[] = [];
  for (const sighting of sightings) {
    if (sighting.kind === "line") return null;
    points.push(sighting.at);
  }
  for (const [i, j] of [
    [0, 1],
    [0, 2],
    [1, 2],
  ] as const) {
    const on: number[] = [];
    for (let k = 0; k < points.length; k++) {
      if (k === i || k === j || offLineYards(points[i]!, points[j]!, points[k]!) <= onLineYards) on.push(k);
    }
    if (on.length < points.length - 1) continue;
    const many = on.length === 3 ? "Three" : String(on.length);
    return {
      code: "on-one-line",
      message:
        `${many} of the ${points.length === 4 ? "four" : points.length} stakes lie on one line of the field ` +
        `(${listed(on.map((k) => names[k]!))}). Add a stake off that line, so that two lie on each side of the frame.`,
      stakeIds: on.map((k) => stakes[k]!.id),
    };
  }
  return null;
}

function tooClose({ stakes, sightings, names }: NamedStakes): SurveyRefusal | null {
  const clicks: ImagePoint[] = [];
  let sigmaPx = 0;
  for (let i = 0; i < sightings.length; i++) {
    const a = sightings[i]!;
    sigmaPx = Math.max(sigmaPx, a.sigmaPx);
    if (a.kind === "line") {
      clicks.push(...a.clicks);
      continue;
    }
    clicks.push(a.click);
    for (let j = 0; j < i; j++) {
      const b = sightings[j]!;
      if (b.kind === "line") continue;
      const apart = imageDistancePx(a.click, b.click);
      if (apart >= samePlaceSigmas * Math.max(a.sigmaPx, b.sigmaPx)) continue;
      return {
        code: "too-close-together",
        message:
          `The clicks for "${names[j]}" and "${names[i]}" are only ${rounded(apart)} px apart. ` +
          "Move one to its own place, or take it away.",
        stakeIds: [stakes[j]!.id, stakes[i]!.id],
      };
    }
  }
  const across = Math.sqrt(narrowVariance(clicks));
  if (across >= narrowSigmas * sigmaPx) return null;
  return {
    code: "too-close-together",
    message:
      `All clicks lie in a strip about ${rounded(4 * across)} px wide, which the error of a click can fill. ` +
      "Spread the stakes: some near the camera, some far, some left, some right.",
    stakeIds: stakes.map((stake) => stake.id),
  };
}

function narrowVariance(clicks: readonly ImagePoint[]): number {
  let u = 0;
  let v = 0;
  for (const click of clicks) {
    u += click.uPx;
    v += click.vPx;
  }
  u /= clicks.length;
  v /= clicks.length;
  let uu = 0;
  let uv = 0;
  let vv = 0;
  for (const click of clicks) {
    uu += (click.uPx - u) ** 2;
    uv += (click.uPx - u) * (click.vPx - v);
    vv += (click.vPx - v) ** 2;
  }
  return principalAxes(uu, uv, vv).minor / clicks.length;
}
