import { assertNever } from "../field/units.ts";
import type { Finding, Measured } from "./finding.ts";
import type { Look } from "./look.ts";

/** A number of a finding as it is read: on the screen and in reports alike. */
export type FindingFact = {
  readonly name: string;
  readonly figure: string;
  /** The 95 % interval; null for what is counted or asked. */
  readonly interval: string | null;
  /** How far outside what is asked; null inside it, or where that is not measured. */
  readonly outside: string | null;
};

const minus = (text: string) => text.replace("-", "−");
const figureOf = (value: number) => minus(value.toFixed(2));

const plain = (name: string, figure: string): FindingFact => ({ name, figure, interval: null, outside: null });

function measured(name: string, value: Measured, unit: string, outside = 0): FindingFact {
  return {
    name,
    figure: `${figureOf(value.value)} ${unit}`,
    interval: `${figureOf(value.low)} to ${figureOf(value.high)}`,
    outside: outside === 0 ? null : `${figureOf(outside)} ${unit} outside`,
  };
}

/** The numbers a finding rests on, in the order they are read; those of looks are `lookFacts`. */
export function findingFacts({ measure, score }: Pick<Finding, "measure" | "score">): FindingFact[] {
  if (measure === null || measure.kind === "look") return [];
  const credit = plain("Credit", score === null ? "–" : `${score.toFixed(0)} of 100`);
  switch (measure.kind) {
    case "station":
      return [
        measured("Depth", measure.depthYards, "yd", measure.depthErrorYards),
        measured("Width", measure.widthYards, "yd", measure.widthErrorYards),
        measured("Outside the target", measure.outsideYards, "yd"),
        plain("Inside the target", `${Math.round(measure.probabilityInside * 100)} %`),
        credit,
      ];
    case "facing":
      return [
        measured("Turned off by", measure.offDegrees, "°"),
        plain("The book allows", `${measure.limitDegrees.toFixed(0)}°`),
        credit,
      ];
    case "count":
      return [
        plain("On the field for certain", String(measure.least)),
        plain("On the field, or may be", String(measure.most)),
        plain("Play on a side", String(measure.asked)),
        credit,
      ];
    case "watch":
      return [
        ...(measure.lengthSec ? [measured("It went on", measure.lengthSec, "s")] : []),
        plain("The book allows", `${measure.allowedSec.toFixed(2)} s`),
        plain("After the snap", `${measure.fromSec.toFixed(2)} to ${measure.toSec.toFixed(2)} s`),
        credit,
      ];
    default:
      return assertNever(measure);
  }
}

/** One term of a look: what was measured of it, and its credit, 0 to 1. */
export type LookTerm = { readonly name: string; readonly figure: string; readonly credit: string };

/** The terms whose credits make a look's quality by their product, and the quality with its interval. */
export function lookTerms(look: Look): LookTerm[] {
  const term = (name: string, credit: number, figure: string) => ({ name, figure, credit: credit.toFixed(2) });
  const { qualityInterval: quality } = look;
  return [
    term("Angle", look.angleCredit, `${look.angleDegrees.toFixed(0)}°`),
    term("Gap", look.gapCredit, `${minus(look.gapDegrees.toFixed(1))}°`),
    term("Clear", look.clearShare, `${Math.round(look.clearShare * 100)} %`),
    term("Range", look.rangeCredit, `${look.rangeYards.toFixed(1)} yd`),
    term("Facing", look.facingCredit, look.facingDegrees === null ? "unknown" : `${look.facingDegrees.toFixed(0)}°`),
    term("Quality", look.quality, `${quality.low.toFixed(2)}–${quality.high.toFixed(2)}`),
  ];
}

/** How sure a verdict is; sampling cannot tell a certainty, so it never says one. Empty where nothing was measured. */
export function surenessWords({ verdict, measure }: Pick<Finding, "verdict" | "measure">): string {
  if (measure === null) return "";
  const percent = (probability: number) =>
    probability > 0.99 ? "over 99 %" : probability < 0.01 ? "under 1 %" : `${Math.round(probability * 100)} %`;
  const { probabilityMet } = measure;
  switch (verdict) {
    case "met":
      return `${percent(probabilityMet)} sure`;
    case "missed":
      return `${percent(1 - probabilityMet)} sure`;
    case "cannot tell":
    case "not applicable":
      return `${percent(probabilityMet)} likely met`;
    default:
      return assertNever(verdict);
  }
}
