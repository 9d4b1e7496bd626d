import type { Phase } from "../game/records.ts";
import { type Finding, type LookMeasure, verdictOf, wholeCrew } from "./finding.ts";
import type { Look, MatterLooks, MomentLooks } from "./look.ts";
import { listed, matterName, stepWords, whyUnseen } from "./look-words.ts";
import type { MatterScene } from "./matters.ts";

type Given = {
  readonly looks: MomentLooks;
  readonly phase: Phase;
  readonly scene: MatterScene;
  readonly grading: { readonly metFrom: number; readonly missedTo: number };
};

/**
 * The looks of a moment, ascending by matter: of each matter of two opponents whether somebody saw it whose it was, and
 * of everybody who watched them a look along the two, whoever else had it, or that they saw them. What is seen must be
 * said as well as what is not, or a score would be made of faults alone.
 *
 * Somebody watched a matter when the book gives it to them, or, where it gives it to nobody, when they are marked as
 * turned to it: no one is blamed for the angle to what they did not look at.
 */
export function lookFindings(given: Given): Finding[] {
  return given.looks.matters.flatMap((matter) => {
    if (matter.matter.opponent === null) return [];
    const unseen = unseenFinding(matter, given);
    const straight = straightFindings(matter, unseen !== null, given);
    const isSaid = straight.length > 0 && matter.watchers.length === 1;
    if (unseen) return isSaid ? straight : [unseen, ...straight];
    return [...seenFindings(matter, given), ...straight];
  });
}

/** A look that somebody took: the matter is theirs by name, or, where it is nobody's, they are turned to it. */
const isTaken = ({ isAssigned }: MatterLooks, look: Look): boolean =>
  isAssigned ? look.isWatcher : look.facingDegrees !== null && look.facingCredit === 1;

/** That the crew had a matter, unless it was one official's; and each who had it. */
function seenFindings(matter: MatterLooks, given: Given): Finding[] {
  const name = matterName(matter.matter, given.scene);
  const had = matter.looks.filter(
    (look) => look.isWatcher && isTaken(matter, look) && look.probabilitySeen >= given.grading.metFrom,
  );
  const own = byQuality(matter.looks.filter((look) => look.isWatcher));
  const crew = findingOf(given, matter, {
    position: wholeCrew,
    verdict: "met",
    looks: own,
    score: 100 * matter.expectedBest,
    probabilityMet: matter.probabilitySeen,
    sentence: `${sentenceStart(name)} could be seen by ${listed(had.length > 0 ? had.map(({ position }) => position) : own.slice(0, 1).map(({ position }) => position))}.`,
    help: null,
  });
  const each = had.map((look) =>
    findingOf(given, matter, {
      position: look.position,
      verdict: "met",
      looks: [look],
      score: 100 * look.expectedQuality,
      probabilityMet: look.probabilitySeen,
      sentence: `${look.position} saw ${name}: ${look.quality.toFixed(2)} where ${given.looks.rule.seenFrom} counts as seen.`,
      help: null,
    }),
  );
  return matter.watchers.length === 1 && each.length > 0 ? each : [crew, ...each];
}

const sentenceStart = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;

function findingOf(
  given: Given,
  matter: MatterLooks,
  said: Pick<Finding, "position" | "verdict" | "sentence" | "help" | "score"> & {
    readonly looks: readonly Look[];
    readonly probabilityMet: number;
  },
): Finding {
  const { rule } = given.looks;
  const { looks, probabilityMet, ...rest } = said;
  const { player, opponent } = matter.matter;
  const measure: LookMeasure = {
    kind: "look",
    matterId: matter.matter.id,
    looks,
    seenFrom: rule.seenFrom,
    probabilityMet,
  };
  return {
    ...rest,
    ruleId: rule.id,
    phase: given.phase,
    asks: rule.sentence,
    measure,
    target: null,
    markIds: [...looks.map((look) => look.markId), player.markId, ...(opponent ? [opponent.markId] : [])],
  };
}

/** The quality that errors leave in expectation, least wanting first. */
function byQuality(looks: readonly Look[]): Look[] {
  return looks.toSorted((a, b) => b.quality - a.quality || a.rangeYards - b.rangeYards);
}

const mostNamed = 3;

function unseenFinding(matter: MatterLooks, given: Given): Finding | null {
  const { rule } = given.looks;
  const read = verdictOf(matter.probabilitySeen, given.grading);
  if (read === "met") return null;
  const name = matterName(matter.matter, given.scene);
  const own = byQuality(matter.looks.filter((look) => look.isWatcher));
  const only = matter.watchers.length === 1 ? matter.watchers[0] : undefined;
  const common = {
    position: only ?? wholeCrew,
    looks: own,
    score: own.length > 0 ? 100 * matter.expectedBest : null,
    probabilityMet: matter.probabilitySeen,
  };
  if (matter.unmarked.length > 0) {
    const one = matter.unmarked.length === 1;
    return findingOf(given, matter, {
      ...common,
      verdict: "cannot tell",
      score: null,
      sentence:
        `Nobody marked had ${name} for certain; ` +
        `${listed(matter.unmarked)}, whose it may have been, ${one ? "is" : "are"} not marked.`,
      help: `Mark ${listed(matter.unmarked)} in this frame.`,
    });
  }
  if (read === "cannot tell") {
    const best = own[0];
    const figure = best
      ? `${best.position} reads ${best.quality.toFixed(2)} (${best.qualityInterval.low.toFixed(2)}–` +
        `${best.qualityInterval.high.toFixed(2)}) where ${rule.seenFrom} counts as seen`
      : "";
    return findingOf(given, matter, {
      ...common,
      verdict: "cannot tell",
      sentence: `It cannot be told whether ${only ?? "anybody"} had ${name}: ${figure}.`,
      help: "Click the two players more closely, zoomed in and between the feet, or add stakes near them.",
    });
  }
  const reasons = own.slice(0, mostNamed).map((look) => whyUnseen(look, rule));
  const who = only ?? (matter.isAssigned ? `Neither ${listed(matter.watchers).replace(" and ", " nor ")}` : "Nobody");
  const had = only === undefined ? "had" : "did not have";
  const why = only === undefined ? listed(reasons) : (reasons[0] ?? "").replace(`${only} `, "");
  return findingOf(given, matter, {
    ...common,
    verdict: "missed",
    sentence: `${who} ${had} ${name}: ${why}${partnerWords(matter, given)}.${stepSentence(own)}`,
    help: null,
  });
}

function stepSentence(looks: readonly Look[]): string {
  const opened = looks.flatMap((look) => (look.step ? [{ position: look.position, step: look.step }] : []));
  const shortest = opened.toSorted((a, b) => a.step.yards - b.step.yards)[0];
  if (!shortest) return "";
  const words = stepWords(shortest.step);
  const forWhom = looks.length > 1 ? ` for ${shortest.position}` : "";
  return ` A${words.slice(1)} would have opened it${forWhom}.`;
}

/** Who else had it free for certain, were it theirs or not. */
function partnerWords(matter: MatterLooks, { grading }: Given): string {
  const free = matter.looks.filter((look) => look.probabilitySeen >= grading.metFrom);
  return free.length > 0 ? `; ${listed(free.map(({ position }) => position))} had it free` : "";
}

function straightFindings(matter: MatterLooks, isUnseen: boolean, given: Given): Finding[] {
  const name = matterName(matter.matter, given.scene);
  return matter.looks.flatMap((look): Finding[] => {
    const watched = isTaken(matter, look) && (matter.isAssigned || !isUnseen);
    if (!watched || look.angleCredit > 0 || look.rangeCredit === 0) return [];
    const probabilityMet = 1 - look.probabilityStraight;
    const verdict = verdictOf(probabilityMet, given.grading);
    if (verdict === "met") return [];
    const figure = `${look.angleDegrees.toFixed(0)}° off the line through the two`;
    const sure = verdict === "missed";
    return [
      findingOf(given, matter, {
        position: look.position,
        verdict,
        looks: [look],
        probabilityMet,
        score: 100 * look.expectedQuality,
        sentence: sure
          ? `${look.position} was straight-lined on ${name}, ${figure}${partnerWords(matter, given)}.${stepSentence([look])}`
          : `${look.position} may have been straight-lined on ${name}: ${figure} as it reads, and the error reaches past ` +
            `${given.looks.rule.angleDegrees.none}°.`,
        help: sure ? null : "Click the two players more closely, zoomed in and between the feet.",
      }),
    ];
  });
}
