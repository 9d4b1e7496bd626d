import type { DepthRule, RuleCondition, RuleList, RuleSource, WidthRule, YardRange } from "#core/mechanics/book";
import type { FoundRule } from "#core/picture/rule-picture";

/** How a book is said on the sheet. Yards, seconds and degrees as a trainer says them. */
export const listNames: Record<RuleList | "positions" | "grading", string> = {
  stations: "Stations",
  facings: "Facing",
  keys: "Keys",
  zones: "Zones",
  handoffs: "Handoffs",
  looks: "Looks",
  counts: "Counting",
  duties: "Duties that no picture shows",
  positions: "Positions",
  grading: "Grading",
};

export const phaseWords = {
  "pre-snap": "before the snap",
  keys: "on the keys",
  zone: "in the zone",
  "ball-away": "ball away",
  catch: "after the catch",
  "dead-ball": "dead ball",
} as const;

const spaced = (anchor: string) => anchor.replaceAll("-", " ");
const range = ({ from, to }: { readonly from: number; readonly to: number }) =>
  from === to ? String(from) : `${from} to ${to}`;

/** A range of yards in the way it is counted: "6.5 to 7.5 yd behind", or from one way to the other across the anchor. */
function reckoned({ from, to }: YardRange, ahead: string, back: string): string {
  if (from >= 0) return `${range({ from, to })} yd ${ahead}`;
  if (to <= 0) return `${range({ from: -to, to: -from })} yd ${back}`;
  return `from ${-from} yd ${back} to ${to} yd ${ahead}`;
}

function depthWords({ anchor, yards, atLeast, atMost }: DepthRule): string {
  const bounds = [
    atLeast ? `at least ${range(atLeast.yards)} beyond the ${spaced(atLeast.anchor)}` : "",
    atMost ? `no deeper than ${atMost.yards === 0 ? "" : `${atMost.yards} beyond `}the ${spaced(atMost.anchor)}` : "",
  ];
  const place = reckoned(yards, "downfield of", "behind");
  return [`${place} the ${spaced(anchor)}`, ...bounds].filter(Boolean).join(", ");
}

const sideWords = {
  own: "own side",
  wide: "the wide side",
  strong: "the strong side",
  "right-hand": "the offence’s right",
  "left-hand": "the offence’s left",
  either: "either side",
} as const;

function widthWords({ anchor, yards, side }: WidthRule): string {
  return `${reckoned(yards, "outward of", "inside")} the ${spaced(anchor)}, counted toward ${sideWords[side ?? "own"]}`;
}

export function conditionWords(when: RuleCondition): string {
  const parts = [
    when.downs == null ? "" : `down ${when.downs.join(" or ")}`,
    when.lineToGainYards == null
      ? ""
      : `more than ${when.lineToGainYards.from} and less than ${when.lineToGainYards.to} yd to go`,
    when.receiverNearSidelineYards == null
      ? ""
      : `a receiver within ${when.receiverNearSidelineYards} yd of own sideline`,
    when.goalLineYards == null ? "" : `${range(when.goalLineYards)} yd from B’s goal line`,
    when.ownGoalLineYards == null ? "" : `${range(when.ownGoalLineYards)} yd from A’s own goal line`,
    when.receiversOwnSide == null ? "" : `${range(when.receiversOwnSide)} receivers on own side`,
  ].filter(Boolean);
  return parts.length === 0 ? "always" : parts.join(", ");
}

export function sourceWords({ kind, citation }: RuleSource): string {
  switch (kind) {
    case "common-practice":
      return citation === null ? "common practice; there is no source to cite" : `common practice: ${citation}`;
    case "manual":
      return citation ?? "a manual that is not named";
    case "house":
      return citation === null ? "this book’s own" : `this book’s own: ${citation}`;
  }
}

/** What a rule holds beyond its sentence, as rows of a name and a value. */
export function ruleRows(found: FoundRule): readonly (readonly [name: string, value: string])[] {
  const { list, rule } = found;
  switch (list) {
    case "stations":
      return [
        ["When", `${phaseWords[rule.phase]}; ${conditionWords(rule.when)}`],
        ["Depth", depthWords(rule.depth)],
        ["Width", widthWords(rule.width)],
        ["Tolerance", `${rule.toleranceYards} yd outside it still counts`],
      ];
    case "facings":
      return [
        ["When", phaseWords[rule.phase]],
        [
          "Facing",
          `within ${rule.withinDegrees}° of the ${rule.toward === "downfield" ? "way of the play" : rule.toward}`,
        ],
      ];
    case "keys":
      return [
        ["When", conditionWords(rule.when)],
        ["Key", `number ${rule.order}, on the ${spaced(rule.on)}`],
        ["Over after", `${rule.forSec} s, longer only while it is pressed`],
      ];
    case "zones":
      return [
        ["When", `${rule.phases.map((phase) => phaseWords[phase]).join(", ")}; ${conditionWords(rule.when)}`],
        ["Depth", rule.depth ? depthWords(rule.depth) : rule.rest ? "what no other zone holds" : "the whole field"],
        ["Width", rule.width ? widthWords(rule.width) : rule.rest ? "what no other zone holds" : "the whole field"],
        ["Holds", spaced(rule.holds ?? "everybody")],
        ...(rule.reachesOut ? ([["When empty", "reaches out to the nearest matchup"]] as const) : []),
      ];
    case "handoffs":
      return [
        ["Reason", spaced(rule.reason)],
        ["May last", `${rule.gapSec} s`],
      ];
    case "looks":
      return [
        ["Pairs", `within ${rule.pairWithinYards} yd, bodies of ${rule.bodyRadiusYards} yd radius`],
        ["Angle", `nothing below ${rule.angleDegrees.none}°, whole from ${rule.angleDegrees.full}°`],
        ["Range", `whole from ${rule.rangeYards.from} to ${rule.rangeYards.to} yd, lost at ${rule.rangeYards.lost} yd`],
        ["Attention", `whole to ±${rule.attentionDegrees.full}°, none past ±${rule.attentionDegrees.none}°`],
        ["Seen from", String(rule.seenFrom)],
        ["A step", `up to ${rule.stepYards} yd`],
      ];
    case "counts":
      return [["Counts", rule.counts]];
    case "duties":
      return [["When", rule.phase === null ? "throughout" : phaseWords[rule.phase]]];
  }
}

export type EditField = { readonly path: string; readonly label: string; readonly kind: "number" | "text" };

const depthFields: readonly EditField[] = [
  { path: "depth.yards.from", label: "Depth from, yd", kind: "number" },
  { path: "depth.yards.to", label: "Depth to, yd", kind: "number" },
];
const widthFields: readonly EditField[] = [
  { path: "width.yards.from", label: "Width from, yd", kind: "number" },
  { path: "width.yards.to", label: "Width to, yd", kind: "number" },
];

/** What of a rule can be changed on its own sheet; the rest is changed in the text of the file. */
export function editFields({ list, rule }: FoundRule): readonly EditField[] {
  const sentence: EditField = { path: "sentence", label: "Sentence", kind: "text" };
  const number = (path: string, label: string): EditField => ({ path, label, kind: "number" });
  switch (list) {
    case "stations":
      return [sentence, ...depthFields, ...widthFields, number("toleranceYards", "Tolerance, yd")];
    case "facings":
      return [sentence, number("withinDegrees", "Within, degrees")];
    case "keys":
      return [sentence, number("order", "Order"), number("forSec", "Over after, s")];
    case "zones":
      return [sentence, ...(rule.depth ? depthFields : []), ...(rule.width ? widthFields : [])];
    case "handoffs":
      return [sentence, number("gapSec", "May last, s")];
    case "looks":
      return [
        sentence,
        number("pairWithinYards", "Pairs within, yd"),
        number("angleDegrees.none", "No angle below, degrees"),
        number("angleDegrees.full", "Whole angle from, degrees"),
        number("seenFrom", "Seen from, 0 to 1"),
        number("stepYards", "Step up to, yd"),
      ];
    case "counts":
    case "duties":
      return [sentence];
  }
}
