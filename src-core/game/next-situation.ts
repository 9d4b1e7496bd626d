import { directionSign } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";
import type { Down, Play, PlayKind, Situation, TeamKey } from "./records.ts";
import { downNames, yardsWord } from "./words.ts";

/**
 * What a series must gain: ten yards, or the goal line where that is nearer, in the tackle codes; the next zone line in
 * flag. Field positions in yards of the field frame.
 */
export type DownRules =
  | { readonly kind: "ten-yards" }
  | { readonly kind: "zone-lines"; readonly linesXYards: readonly number[] };

export function downRulesOf({ template, leftGoalXYards, rightGoalXYards }: FieldLayout): DownRules {
  if (template.game !== "flag") return { kind: "ten-yards" };
  const lines: number[] = [];
  for (let x = leftGoalXYards; x < rightGoalXYards + 1e-6; x += template.lineEveryYards) lines.push(x);
  return { kind: "zone-lines", linesXYards: lines };
}

/** Where a series from this spot must get to: null where the goal line itself is what is left. */
export function lineToGain(
  rules: DownRules,
  layout: FieldLayout,
  { direction, scrimmageXYards }: Pick<Situation, "direction" | "scrimmageXYards">,
): number {
  const sign = directionSign(direction);
  const goal = sign > 0 ? layout.rightGoalXYards : layout.leftGoalXYards;
  const ahead = (x: number) => sign * (x - scrimmageXYards) > 1e-6;
  const lines =
    rules.kind === "ten-yards" ? [scrimmageXYards + sign * 10] : rules.linesXYards.filter((line) => ahead(line));
  const next = lines.reduce((nearest, line) => (sign * (line - nearest) < 0 ? line : nearest), goal);
  return sign * (next - goal) > 0 ? goal : next;
}

/** What the next play most likely starts from, and why, for a person to take or to change. */
export type ProposedSituation = {
  readonly situation: Situation;
  readonly kind: PlayKind | null;
  readonly quarter: number | null;
  readonly series: number | null;
  readonly because: readonly string[];
};

const other = (team: TeamKey): TeamKey => (team === "home" ? "away" : "home");

/** Where a side starts after a score, yards from its own goal line: 14 by NIRSA's flag rules (digest), 25 in tackle. */
const startYards = { flag: 14, tackle: 25 } as const;
/** From where a try for one or two is made, yards from the goal line: common practice. */
const tryYards = 3;

/** Before any play: the home side's first down from where it would start, to the right. */
export function firstSituation(rules: DownRules, layout: FieldLayout): ProposedSituation {
  const start = { direction: "right" as const, scrimmageXYards: startOf("right", layout) };
  return {
    situation: {
      offence: "home",
      ...start,
      down: 1,
      lineToGainXYards: lineToGain(rules, layout, start),
      ballYYards: layout.widthYards / 2,
    },
    kind: null,
    quarter: 1,
    series: 1,
    because: ["The first play of the game: say whose ball it is, and where."],
  };
}

function startOf(direction: Situation["direction"], layout: FieldLayout): number {
  const yards = layout.template.game === "flag" ? startYards.flag : startYards.tackle;
  const own = direction === "right" ? layout.leftGoalXYards : layout.rightGoalXYards;
  const length = layout.rightGoalXYards - layout.leftGoalXYards;
  return own + directionSign(direction) * Math.min(yards, length / 4);
}

/** The situation that follows a play, by its down, where it ended, and how. */
export function nextSituation(before: Play, rules: DownRules, layout: FieldLayout): ProposedSituation {
  const { situation, result, quarter, series } = before;
  const sign = directionSign(situation.direction);
  const same = { kind: null, quarter, series };
  const next = series === null ? null : series + 1;
  const turned = (scrimmageXYards: number, ballYYards: number, because: string): ProposedSituation => {
    const start = {
      direction: situation.direction === "right" ? ("left" as const) : ("right" as const),
      scrimmageXYards,
    };
    const offence = other(situation.offence);
    const lineToGainXYards = lineToGain(rules, layout, start);
    return {
      situation: { offence, ...start, down: 1, lineToGainXYards, ballYYards },
      kind: null,
      quarter,
      series: next,
      because: [because],
    };
  };
  if (result?.kind === "no-play")
    return {
      ...same,
      kind: before.kind,
      situation,
      because: [`Play ${before.number} did not count: the down is played again.`],
    };
  const isKick = before.kind === "punt" || before.kind === "free-kick";
  if (before.kind === "try" || (before.kind === "field-goal" && result?.kind === "score")) {
    const direction = situation.direction === "right" ? "left" : "right";
    return turned(
      startOf(direction, layout),
      layout.widthYards / 2,
      `The other side’s ball after ${before.kind === "try" ? "the try" : "the field goal"}: set the spot where they start.`,
    );
  }
  if (result?.kind === "score") {
    const goal = sign > 0 ? layout.rightGoalXYards : layout.leftGoalXYards;
    const scrimmageXYards = goal - sign * tryYards;
    return {
      ...same,
      kind: "try",
      situation: {
        ...situation,
        down: null,
        scrimmageXYards,
        lineToGainXYards: null,
        ballYYards: layout.widthYards / 2,
      },
      because: [`A try after the score of play ${before.number}.`],
    };
  }
  const spot = result?.kind === "incomplete" ? null : (result?.spot ?? null);
  const x = spot?.xYards ?? situation.scrimmageXYards;
  const y = spot?.yYards ?? situation.ballYYards;
  if (result?.kind === "turnover")
    return turned(x, y, `The other side’s ball after the turnover on play ${before.number}.`);
  if (isKick) return turned(x, y, "The other side’s ball after the kick.");
  const gained = sign * (x - situation.scrimmageXYards);
  const { down, lineToGainXYards } = situation;
  const unsaid = result === null ? [`Nobody has said how play ${before.number} ended: the ball is where it was.`] : [];
  if (lineToGainXYards !== null && sign * (x - lineToGainXYards) >= -1e-6) {
    const start = { direction: situation.direction, scrimmageXYards: x };
    const line = lineToGain(rules, layout, start);
    const isGoal = line === (sign > 0 ? layout.rightGoalXYards : layout.leftGoalXYards);
    return {
      ...same,
      situation: { ...situation, ...start, down: 1, lineToGainXYards: line, ballYYards: y },
      because: [
        `First down: the line to gain was reached with ${yardsWord(gained)}.${isGoal ? " The goal line is next." : ""}`,
      ],
    };
  }
  if (down === 4)
    return turned(
      x,
      y,
      `The other side’s ball: fourth down on play ${before.number} was ${yardsWord(-sign * (x - (lineToGainXYards ?? x)))} short.`,
    );
  const toGo = lineToGainXYards === null ? null : sign * (lineToGainXYards - situation.scrimmageXYards);
  const following = (down === null ? 1 : down + 1) as Down;
  const gain =
    gained < 0
      ? `${yardsWord(-gained)} lost`
      : `${yardsWord(gained)}${toGo === null ? "" : ` of ${yardsWord(toGo)}`} gained`;
  return {
    ...same,
    situation: { ...situation, down: following, scrimmageXYards: x, ballYYards: y },
    because: [
      ...unsaid,
      result === null
        ? `${downNames[following - 1]} down follows.`
        : `${downNames[following - 1]} down: ${result.kind === "incomplete" ? "the pass was incomplete" : gain}.`,
    ],
  };
}
