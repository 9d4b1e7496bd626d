import { directionSign } from "../field/frames.ts";
import { type MeasuredMark, sampleMark } from "../field/mark.ts";
import { normalPairs, seededRandom } from "../field/random.ts";
import type { MarkSubject, Phase } from "../game/records.ts";
import type { Book, BookPosition, StationRule } from "../mechanics/book.ts";
import { type Anchor, outwardSign, type StationScene } from "../mechanics/anchors.ts";
import {
  allowedDepths,
  missingFor,
  ownSide,
  placings,
  type Placing,
  stationRuleFor,
  targetCorners,
} from "../mechanics/target.ts";
import { type Finding, measuredFrom, verdictOf } from "./finding.ts";
import { stationHelp, stationSentence } from "./station-words.ts";

/** A mark read in field yards. */
export type PlacedMark = {
  readonly markId: string;
  readonly subject: MarkSubject;
  readonly sigmaPx: number;
  readonly measured: MeasuredMark;
  readonly facing: MeasuredMark | null;
  /** Why a facing that was clicked could not be measured; null when it was, or none was clicked. */
  readonly facingFault: string | null;
};

/** A mark that has no place on the ground, and why. */
export type UnplacedMark = { readonly markId: string; readonly subject: MarkSubject; readonly message: string };

/**
 * Samples a mark. More would not change a printed digit: the error of a probability is at most 1.3 %, of an interval's
 * end under a twentieth of its width.
 */
const sampleCount = 1500;

const streams: Float64Array[] = [];
/** The same normals for the same use every time, so that the same inputs give the same bytes. */
function stream(number: number): Float64Array {
  return (streams[number] ??= normalPairs(seededRandom(0x5eed + number), sampleCount));
}

/** Hands out samples of marks for one finding: one stream a mark, numbered by first use. */
export function sampler(marks: readonly PlacedMark[]) {
  const taken = new Map<string, Float64Array>();
  return (markId: string): Float64Array => {
    let samples = taken.get(markId);
    if (!samples) {
      const mark = marks.find((candidate) => candidate.markId === markId);
      if (!mark) throw new Error(`no such mark: ${markId}`);
      samples = sampleMark(mark.measured, stream(taken.size));
      taken.set(markId, samples);
    }
    return samples;
  };
}

/** Half a cosine from 1 at the target's edge to 0 at the grace distance. */
export function credit(outsideYards: number, graceYards: number): number {
  if (outsideYards <= 0) return 1;
  return outsideYards >= graceYards ? 0 : 0.5 * (1 + Math.cos((Math.PI * outsideYards) / graceYards));
}

/** Signed distance of a value outside a range, 0 within it. */
export function outsideRange(value: number, range: { from: number; to: number }): number {
  if (value < range.from) return value - range.from;
  return value > range.to ? value - range.to : 0;
}

/** The marks of one moment: those read in yards, and those that have no place on the ground. */
export type MomentMarks = { readonly placed: readonly PlacedMark[]; readonly unplaced: readonly UnplacedMark[] };

/** Every position of the book at this phase, in the book's order: where each stood against where the book asks. */
export function stationFindings(phase: Phase, scene: StationScene, marks: MomentMarks, book: Book): Finding[] {
  return book.positions.flatMap((position) => {
    const rule = stationRuleFor(book, position.id, phase, scene);
    return rule ? [stationFinding(rule, position, scene, marks, book)] : [];
  });
}

/** Why there is nothing to measure of an official: not marked, or marked where no place on the ground is seen. */
export function absence(
  { unplaced }: MomentMarks,
  positionId: string,
): { readonly sentence: string; readonly help: string; readonly markIds: readonly string[] } {
  const lost = unplaced.find((mark) => mark.subject.kind === "official" && mark.subject.position === positionId);
  return lost
    ? {
        sentence: `${positionId} is marked, but not at a place on the ground.`,
        help: lost.message,
        markIds: [lost.markId],
      }
    : { sentence: `${positionId} is not marked.`, help: `Mark ${positionId} in this frame.`, markIds: [] };
}

function unmeasured(
  rule: StationRule,
  help: string,
  sentence: string,
  target: Finding["target"],
  markIds: readonly string[],
): Finding {
  return {
    ruleId: rule.id,
    position: rule.position,
    phase: rule.phase,
    verdict: "cannot tell",
    sentence,
    asks: rule.sentence,
    help,
    score: null,
    measure: null,
    target,
    markIds,
  };
}

export function officialMark(marks: readonly PlacedMark[], positionId: string): PlacedMark | null {
  return marks.find((mark) => mark.subject.kind === "official" && mark.subject.position === positionId) ?? null;
}

function stationFinding(
  rule: StationRule,
  position: BookPosition,
  scene: StationScene,
  marks: MomentMarks,
  book: Book,
): Finding {
  const { direction } = scene.situation;
  const official = officialMark(marks.placed, position.id);
  const placing = nearestPlacing(rule, placings(rule, ownSide(position, scene.lineJudgeSide), scene), official, scene);
  const { depth: depthAnchor, width: widthAnchor } = placing;
  const target = targetCorners(rule, placing, direction);
  if (!official) {
    const { help, sentence, markIds } = absence(marks, position.id);
    return unmeasured(rule, help, sentence, target, markIds);
  }
  const missing = missingFor(placing);
  if (missing !== null) {
    const sentence = `${position.id} cannot be placed without ${missing}.`;
    return unmeasured(rule, `Add ${missing}.`, sentence, null, [official.markId]);
  }

  const samplesOf = sampler(marks.placed);
  const own = samplesOf(official.markId);
  const anchorX = axisSamples(depthAnchor, samplesOf, 0);
  const anchorY = axisSamples(widthAnchor, samplesOf, 1);
  const leastX = placing.atLeast ? axisSamples(placing.atLeast, samplesOf, 0) : null;
  const mostX = placing.atMost ? axisSamples(placing.atMost, samplesOf, 0) : null;
  const along = directionSign(direction);
  const outward = outwardSign(placing.side);
  const count = own.length / 2;
  const depths = new Float64Array(count);
  const widths = new Float64Array(count);
  const outsides = new Float64Array(count);
  let inside = 0;
  let met = 0;
  let credits = 0;
  for (let i = 0; i < count; i++) {
    const x = anchorX(i);
    const depth = along * ((own[2 * i] ?? 0) - x);
    const width = outward * ((own[2 * i + 1] ?? 0) - anchorY(i));
    const allowed = allowedDepths(rule.depth, x, leastX?.(i) ?? null, mostX?.(i) ?? null, direction);
    const outside = Math.hypot(outsideRange(depth, allowed), outsideRange(width, rule.width.yards));
    depths[i] = depth;
    widths[i] = width;
    outsides[i] = outside;
    if (outside === 0) inside++;
    if (outside <= rule.toleranceYards) met++;
    credits += credit(outside, book.grading.graceYards);
  }
  const probabilityMet = met / count;
  const verdict = verdictOf(probabilityMet, book.grading);
  const depthYards = measuredFrom(depths);
  const widthYards = measuredFrom(widths);
  // The middle of the stated position, not of the samples: a low camera's samples are lopsided.
  const at = official.measured.position;
  const depthHere = along * (at.xYards - knownYards(depthAnchor));
  const widthHere = outward * (at.yYards - knownYards(widthAnchor));
  const allowedHere = allowedDepths(
    rule.depth,
    knownYards(depthAnchor),
    placing.atLeast && knownYards(placing.atLeast),
    placing.atMost && knownYards(placing.atMost),
    direction,
  );
  const depthErrorYards = outsideRange(depthHere, allowedHere);
  const widthErrorYards = outsideRange(widthHere, rule.width.yards);
  const measure = {
    kind: "station" as const,
    depthYards: { ...depthYards, value: depthHere },
    widthYards: { ...widthYards, value: widthHere },
    depthErrorYards,
    widthErrorYards,
    outsideYards: {
      ...measuredFrom(outsides),
      value: Math.hypot(depthErrorYards, widthErrorYards),
    },
    probabilityInside: inside / count,
    probabilityMet,
  };
  const markIds = [official.markId, ...anchorMarks(placing)];
  return {
    ruleId: rule.id,
    position: position.id,
    phase: rule.phase,
    verdict,
    sentence: stationSentence(rule, measure, verdict),
    asks: rule.sentence,
    help: verdict === "cannot tell" ? stationHelp(official.measured.imageCovariance, official.sigmaPx) : null,
    score: (100 * credits) / count,
    measure,
    target,
    markIds,
  };
}

function knownYards(anchor: Anchor): number {
  return anchor.kind === "absent" ? Number.NaN : anchor.yards;
}

function anchorMarks({ depth, width, atLeast, atMost }: Placing): string[] {
  const ids = [depth, width, atLeast, atMost].flatMap((anchor) => (anchor?.kind === "mark" ? [anchor.markId] : []));
  return [...new Set(ids)];
}

/** Of the places that a rule leaves open to the official, the one nearest to where the official stood. */
function nearestPlacing(
  rule: StationRule,
  open: readonly Placing[],
  official: PlacedMark | null,
  scene: StationScene,
): Placing {
  const outside = ({ width, side }: Placing) => {
    if (!official || width.kind === "absent") return 0;
    const here = outwardSign(side) * (official.measured.position.yYards - width.yards);
    return Math.abs(outsideRange(here, rule.width.yards));
  };
  const [first, second] = open;
  if (!first) throw new Error(`${rule.id} has no place at all`);
  if (!second) return first;
  const by = outside(second) - outside(first);
  if (by !== 0) return by < 0 ? second : first;
  // Inside both: the side of the ball on which the official stood.
  const isFar = (official?.measured.position.yYards ?? 0) > scene.situation.ballYYards;
  return [first, second].find(({ side }) => side === (isFar ? "far" : "near")) ?? first;
}

function axisSamples(anchor: Anchor, samplesOf: (markId: string) => Float64Array, axis: 0 | 1): (i: number) => number {
  if (anchor.kind !== "mark") {
    const known = knownYards(anchor);
    return () => known;
  }
  const samples = samplesOf(anchor.markId);
  return (i) => samples[2 * i + axis] ?? 0;
}
