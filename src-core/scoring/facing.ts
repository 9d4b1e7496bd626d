import { directionSign, type FieldDirection } from "../field/frames.ts";
import type { Phase } from "../game/records.ts";
import type { Book, FacingRule } from "../mechanics/book.ts";
import { type Finding, measuredFrom, verdictOf } from "./finding.ts";
import { absence, type MomentMarks, officialMark, type PlacedMark, sampler } from "./station.ts";

/** Full credit within the rule's limit, none from twice the limit on. */
function facingCredit(offDegrees: number, limitDegrees: number): number {
  if (offDegrees <= limitDegrees) return 1;
  return Math.max(0, 2 - offDegrees / limitDegrees);
}

function watched(rule: FacingRule, marks: readonly PlacedMark[]): PlacedMark | null {
  const wanted = (mark: PlacedMark) =>
    rule.toward === "ball"
      ? mark.subject.kind === "ball"
      : mark.subject.kind === "player" && mark.subject.role === rule.toward;
  return marks.find(wanted) ?? null;
}

/** Which way each official's body was turned at this phase, against whom the book turns them to. */
export function facingFindings(phase: Phase, marks: MomentMarks, book: Book, direction: FieldDirection): Finding[] {
  return book.facings.filter((rule) => rule.phase === phase).map((rule) => facingFinding(rule, marks, book, direction));
}

function facingFinding(rule: FacingRule, marks: MomentMarks, book: Book, direction: FieldDirection): Finding {
  const base = { ruleId: rule.id, position: rule.position, phase: rule.phase, asks: rule.sentence, target: null };
  const cannot = (sentence: string, help: string, markIds: readonly string[]): Finding => ({
    ...base,
    verdict: "cannot tell",
    sentence,
    help,
    score: null,
    measure: null,
    markIds,
  });
  const official = officialMark(marks.placed, rule.position);
  if (!official) {
    const { sentence, help, markIds } = absence(marks, rule.position);
    return cannot(sentence, help, markIds);
  }
  if (official.facingFault !== null) {
    return cannot(`The facing of ${rule.position} is not at a place on the ground.`, official.facingFault, [
      official.markId,
    ]);
  }
  if (!official.facing) {
    return cannot(
      `The way ${rule.position} faced is not marked.`,
      `Give ${rule.position} a facing: a point on the ground in the direction faced.`,
      [official.markId],
    );
  }
  const isDownfield = rule.toward === "downfield";
  const target = isDownfield ? null : watched(rule, marks.placed);
  if (!isDownfield && !target)
    return cannot(`There is no mark on the ${rule.toward}.`, `Mark the ${rule.toward}.`, [official.markId]);

  const samplesOf = sampler([...marks.placed, { ...official, markId: "facing", measured: official.facing }]);
  const feet = samplesOf(official.markId);
  const ahead = samplesOf("facing");
  const there = target ? samplesOf(target.markId) : null;
  const downfield = directionSign(direction);
  const count = feet.length / 2;
  const offs = new Float64Array(count);
  let met = 0;
  let credits = 0;
  for (let i = 0; i < count; i++) {
    const x = feet[2 * i] ?? 0;
    const y = feet[2 * i + 1] ?? 0;
    const off = degreesBetween(
      (ahead[2 * i] ?? 0) - x,
      (ahead[2 * i + 1] ?? 0) - y,
      there ? (there[2 * i] ?? 0) - x : downfield,
      there ? (there[2 * i + 1] ?? 0) - y : 0,
    );
    offs[i] = off;
    if (off <= rule.withinDegrees) met++;
    credits += facingCredit(off, rule.withinDegrees);
  }
  const probabilityMet = met / count;
  const verdict = verdictOf(probabilityMet, book.grading);
  const off = measuredFrom(offs);
  const figure = `${off.value.toFixed(0)}° (${off.low.toFixed(0)}–${off.high.toFixed(0)}°) off ${isDownfield ? "straight upfield" : `the line to the ${rule.toward}`}`;
  const ending = {
    met: `turned as the book asks, within ${rule.withinDegrees}°.`,
    missed: `the book allows ${rule.withinDegrees}°.`,
    "cannot tell": `the error reaches across the ${rule.withinDegrees}° the book allows.`,
    "not applicable": "",
  }[verdict];
  return {
    ...base,
    verdict,
    sentence: `${rule.position} faced ${figure}: ${ending}`,
    help:
      verdict === "cannot tell"
        ? "Place the facing further ahead on the ground, or choose a frame in which the body is seen clearly."
        : null,
    score: (100 * credits) / count,
    measure: { kind: "facing", offDegrees: off, limitDegrees: rule.withinDegrees, probabilityMet },
    markIds: target ? [official.markId, target.markId] : [official.markId],
  };
}

function degreesBetween(ax: number, ay: number, bx: number, by: number): number {
  return (Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by)) * 180) / Math.PI;
}
