import type { ImageCovariance } from "../field/uncertainty.ts";
import type { DepthAnchor, StationRule, WidthAnchor } from "../mechanics/book.ts";
import type { Measured, StationMeasure, Verdict } from "./finding.ts";

/** The sentences of station findings: what a person would say, with the measured number and its interval. */

const one = (yards: number) => (Math.round(Math.abs(yards) * 10) / 10).toFixed(1);

const depthAnchorWords: Record<DepthAnchor, string> = {
  "neutral-zone": "the neutral zone",
  "deepest-back": "the deepest back",
  "deepest-defender": "the deepest defender",
  "line-to-gain": "the line to gain",
  "goal-line": "the goal line",
  "end-line": "the end line",
  ball: "the ball",
  passer: "the passer",
  "deepest-eligible": "the receiver furthest downfield",
  "own-goal-line": "A’s own goal line",
  "own-end-line": "A’s own end line",
};

const widthAnchorWords: Record<WidthAnchor, { outward: string; inward: string; on: string }> = {
  "own-sideline": { outward: "outside the sideline", inward: "inside the sideline", on: "at the sideline" },
  "own-hash": { outward: "outside the hash", inward: "inside the hash", on: "on the hash" },
  "other-hash": {
    outward: "toward their own side of the far hash",
    inward: "beyond the far hash",
    on: "on the far hash",
  },
  ball: { outward: "wide of the ball", inward: "past the ball to the other side", on: "in line with the ball" },
  "deepest-back": {
    outward: "wide of the deepest back",
    inward: "past the deepest back to the other side",
    on: "straight behind the deepest back",
  },
  "widest-receiver": {
    outward: "outside the widest receiver",
    inward: "inside the widest receiver",
    on: "level with the widest receiver",
  },
  "end-of-line": {
    outward: "outside the end of the line",
    inward: "inside the end of the line",
    on: "level with the end of the line",
  },
  middle: { outward: "off the middle", inward: "past the middle to the other side", on: "in the middle" },
};

function depthPhrase(anchor: DepthAnchor, depth: Measured): string {
  const interval = `(${range(depth)})`;
  if (Math.abs(depth.value) < 0.05) return `level with ${depthAnchorWords[anchor]} ${interval}`;
  const way = depth.value > 0 ? "downfield of" : "behind";
  return `${one(depth.value)} yd ${interval} ${way} ${depthAnchorWords[anchor]}`;
}

function widthPhrase(anchor: WidthAnchor, width: Measured): string {
  const words = widthAnchorWords[anchor];
  if (Math.abs(width.value) < 0.05) return `${words.on} (${range(width)})`;
  return `${one(width.value)} yd (${range(width)}) ${width.value > 0 ? words.outward : words.inward}`;
}

/** An interval in the sense its value is spoken in: "6.2–7.0", or with signs when it spans zero. */
function range({ value, low, high }: Measured): string {
  if (low < 0 && high > 0) return `${signed(low)} to ${signed(high)}`;
  const ends = value < 0 ? [one(high), one(low)] : [one(low), one(high)];
  return `${ends[0]}–${ends[1]}`;
}

function signed(yards: number): string {
  const size = one(yards);
  return size === "0.0" ? size : `${yards < 0 ? "−" : "+"}${size}`;
}

function faultPhrase(measure: StationMeasure): string {
  const parts: string[] = [];
  const { depthErrorYards: depth, widthErrorYards: width } = measure;
  if (Math.abs(depth) >= 0.05) parts.push(`${one(depth)} yd too far ${depth > 0 ? "downfield" : "upfield"}`);
  if (Math.abs(width) >= 0.05) parts.push(`${one(width)} yd too ${width > 0 ? "wide" : "far inside"}`);
  return parts.length > 0 ? parts.join(" and ") : "inside the target";
}

export function stationSentence(rule: StationRule, measure: StationMeasure, verdict: Verdict): string {
  const where = `${rule.position} stood ${depthPhrase(rule.depth.anchor, measure.depthYards)} and ${widthPhrase(rule.width.anchor, measure.widthYards)}`;
  const close = `within ${rule.toleranceYards} yd of the target`;
  switch (verdict) {
    case "met":
      return measure.outsideYards.value < 0.05 ? `${where}: in place.` : `${where}: in place, ${close}.`;
    case "missed":
      return `${where}: ${faultPhrase(measure)}.`;
    case "cannot tell":
    case "not applicable":
      return `${where}: the error of the measurement reaches across the limit, ${faultPhrase(measure)} as it reads.`;
  }
}

/** What would narrow the mark's error most: the survey, or the click itself. */
export function stationHelp(total: ImageCovariance, clickSigmaPx: number): string {
  const clickShare = (2 * clickSigmaPx ** 2) / (total.uu + total.vv);
  return clickShare < 0.5
    ? "Most of the error comes from the survey: add stakes near this official, on both sides of them."
    : "Most of the error comes from the click: zoom in, click between the feet, or choose a frame in which they are larger.";
}
