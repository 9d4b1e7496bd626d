import { directionSign } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";
import { endsChanged, quarterName, startsHalf } from "./quarters.ts";
import type { Down, Play, PlayKind, Situation, TeamKey } from "./records.ts";
import { fromOwnGoal, goalXYards, seriesRulesOf, turnedAbout } from "./series-rules.ts";
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

/** Where a series from this spot must get to; the goal line when nothing lies before it. */
export function lineToGain(
  rules: DownRules,
  layout: FieldLayout,
  { direction, scrimmageXYards }: Pick<Situation, "direction" | "scrimmageXYards">,
): number {
  const sign = directionSign(direction);
  const goal = goalXYards(layout, direction);
  const ahead = (x: number) => sign * (x - scrimmageXYards) > 1e-6;
  const lines =
    rules.kind === "ten-yards" ? [scrimmageXYards + sign * 10] : rules.linesXYards.filter((line) => ahead(line));
  return lines.reduce((nearest, line) => (sign * (line - nearest) < 0 ? line : nearest), goal);
}

/** What the next play most likely starts from, and why, for a person to take or to change. */
export type ProposedSituation = {
  readonly situation: Situation;
  readonly kind: PlayKind | null;
  readonly quarter: number | null;
  readonly series: number | null;
  readonly because: readonly string[];
};

/** What is known already of the play to come: its quarter, and all plays of the game. */
export type Coming = { readonly quarter?: number | null; readonly plays?: readonly Play[] };

/** Where a touchback of a punt starts, yards from the own goal line: common practice. */
const puntTouchbackYards = 20;

const other = (team: TeamKey): TeamKey => (team === "home" ? "away" : "home");

/** Before any play: the home side's first down from where it would start, to the right. */
export function firstSituation(rules: DownRules, layout: FieldLayout): ProposedSituation {
  const scrimmageXYards = fromOwnGoal(layout, "right", seriesRulesOf(layout).startYards);
  return {
    situation: firstDown(rules, layout, "home", "right", scrimmageXYards, layout.widthYards / 2),
    kind: null,
    quarter: 1,
    series: 1,
    because: ["The first play of the game: say whose ball it is, and where."],
  };
}

function firstDown(
  rules: DownRules,
  layout: FieldLayout,
  offence: TeamKey,
  direction: Situation["direction"],
  scrimmageXYards: number,
  ballYYards: number,
): Situation {
  const lineToGainXYards = lineToGain(rules, layout, { direction, scrimmageXYards });
  return { offence, direction, scrimmageXYards, down: 1, lineToGainXYards, ballYYards };
}

/**
 * The situation that follows a play, by its down, where it ended, and how. In another quarter the sides may have changed
 * ends, and a new half begins anew.
 */
export function nextSituation(
  before: Play,
  rules: DownRules,
  layout: FieldLayout,
  { quarter: said = null, plays = [] }: Coming = {},
): ProposedSituation {
  const quarter = said ?? before.quarter;
  if (startsHalf(before.quarter, quarter)) return newHalf(before, rules, layout, quarter, plays);
  const proposed = { ...followingDown(before, rules, layout), quarter };
  if (!endsChanged(layout.template.game, before.quarter, quarter)?.turned || quarter === null) return proposed;
  return {
    ...proposed,
    situation: fromOtherEnd(proposed.situation, layout),
    because: [
      ...proposed.because,
      `The sides change ends for ${quarterName(quarter)}: the ball lies at the matching spot.`,
    ],
  };
}

/** The same spot in relation to goal lines and sidelines for a side that has changed ends: NCAA 3-1-2-a. */
function fromOtherEnd(situation: Situation, layout: FieldLayout): Situation {
  const across = (xYards: number) => layout.leftGoalXYards + layout.rightGoalXYards - xYards;
  return {
    ...situation,
    direction: turnedAbout(situation.direction),
    scrimmageXYards: across(situation.scrimmageXYards),
    lineToGainXYards: situation.lineToGainXYards === null ? null : across(situation.lineToGainXYards),
    ballYYards: layout.widthYards - situation.ballYYards,
  };
}

/** The side that did not begin the game begins the second half, in the way that the first did: USA Football 1-2; usual in tackle. */
function newHalf(
  before: Play,
  rules: DownRules,
  layout: FieldLayout,
  quarter: number | null,
  plays: readonly Play[],
): ProposedSituation {
  const series = seriesRulesOf(layout);
  const opened = plays.toSorted((a, b) => a.number - b.number)[0];
  const offence = other(opened?.situation.offence ?? before.situation.offence);
  const isSame = offence === before.situation.offence;
  const wasWay = isSame ? before.situation.direction : turnedAbout(before.situation.direction);
  const ends = endsChanged(layout.template.game, before.quarter, quarter);
  const direction = ends?.turned ? turnedAbout(wasWay) : wasWay;
  const kicks = opened?.kind === "free-kick" && series.freeKickYards !== null;
  const yards = kicks ? (series.freeKickYards ?? 0) : series.startYards;
  const start = firstDown(
    rules,
    layout,
    offence,
    direction,
    fromOwnGoal(layout, direction, yards),
    layout.widthYards / 2,
  );
  return {
    situation: kicks ? { ...start, down: null, lineToGainXYards: null } : start,
    kind: kicks ? "free-kick" : null,
    quarter,
    series: before.series === null ? null : before.series + 1,
    because: [
      "The second half: the side that did not begin the game begins it.",
      ends?.isRule
        ? "The sides have changed ends."
        : "Which way each side goes is theirs to choose: see that it is so on the film.",
    ],
  };
}

/** What follows within a quarter. */
function followingDown(before: Play, rules: DownRules, layout: FieldLayout): ProposedSituation {
  const { situation, result, kind, number } = before;
  const { direction } = situation;
  const sign = directionSign(direction);
  const code = seriesRulesOf(layout);
  const middle = layout.widthYards / 2;
  const same = { kind: null, quarter: before.quarter, series: before.series };
  /** A first down of the other side, the other way; its own start without a spot. */
  const turned = (x: number | null, y: number, because: string, startYards = code.startYards): ProposedSituation => {
    const way = turnedAbout(direction);
    const from = x ?? fromOwnGoal(layout, way, startYards);
    return {
      ...same,
      situation: firstDown(rules, layout, other(situation.offence), way, from, y),
      series: before.series === null ? null : before.series + 1,
      because: [because],
    };
  };
  const withoutDown = (of: Situation, as: "try" | "free-kick", because: string): ProposedSituation => ({
    ...same,
    kind: as,
    situation: { ...of, down: null, lineToGainXYards: null, ballYYards: middle },
    because: [because],
  });

  if (result?.kind === "no-play")
    return { ...same, kind, situation, because: [`Play ${number} did not count: the down is played again.`] };

  const isScore = result?.kind === "score";
  if (kind === "try" || (kind === "field-goal" && isScore)) {
    const what = kind === "try" ? "the try" : "the field goal";
    if (code.freeKickYards === null)
      return turned(null, middle, `The other side’s ball after ${what}: see where they start.`);
    const scrimmageXYards = fromOwnGoal(layout, direction, code.freeKickYards);
    return withoutDown({ ...situation, scrimmageXYards }, "free-kick", `A free kick after ${what}.`);
  }
  const isKick = kind === "punt" || kind === "free-kick";
  if (isScore) {
    // A kick that ends in a score was run back.
    const way = isKick ? turnedAbout(direction) : direction;
    const scorer = isKick ? other(situation.offence) : situation.offence;
    const scrimmageXYards = goalXYards(layout, way) - directionSign(way) * code.tryYards;
    return withoutDown(
      { ...situation, offence: scorer, direction: way, scrimmageXYards },
      "try",
      `A try after the score of play ${number}.`,
    );
  }

  const spot = result?.kind === "incomplete" ? null : (result?.spot ?? null);
  const x = spot?.xYards ?? situation.scrimmageXYards;
  const y = spot?.yYards ?? situation.ballYYards;
  const unsaid = result === null ? [`Nobody has said how play ${number} ended: the ball is where it was.`] : [];
  if (isKick) {
    const isTouchback = spot !== null && sign * (spot.xYards - goalXYards(layout, direction)) >= -1e-6;
    if (isTouchback) {
      const yards = kind === "punt" ? puntTouchbackYards : code.startYards;
      return turned(null, middle, `A touchback: the other side’s ball from its own ${yards}.`, yards);
    }
    const kicked = turned(x, y, "The other side’s ball after the kick.");
    return spot === null
      ? { ...kicked, because: [...kicked.because, `Nobody has said where play ${number} ended: set the spot.`] }
      : kicked;
  }
  if (result?.kind === "turnover") return turned(x, y, `The other side’s ball after the turnover on play ${number}.`);
  if (kind === "field-goal" && result !== null)
    return turned(x, y, `The other side’s ball after the field goal missed on play ${number}: see where they start.`);

  const { down, lineToGainXYards } = situation;
  if (down === null)
    return {
      ...same,
      situation: firstDown(rules, layout, situation.offence, direction, x, y),
      because: [...unsaid, `First down, as play ${number} had no down.`],
    };
  const gained = sign * (x - situation.scrimmageXYards);
  if (lineToGainXYards !== null && sign * (x - lineToGainXYards) >= -1e-6) {
    const first = firstDown(rules, layout, situation.offence, direction, x, y);
    const isGoal = first.lineToGainXYards === goalXYards(layout, direction);
    return {
      ...same,
      situation: first,
      because: [
        `First down: the line to gain was reached with ${yardsWord(gained)}.${isGoal ? " The goal line is next." : ""}`,
      ],
    };
  }
  if (down >= code.downs) {
    const short = lineToGainXYards === null ? null : yardsWord(sign * (lineToGainXYards - x));
    const why = `${downNames[down - 1]!.toLowerCase()} down on play ${number} was ${short ?? "not enough"}${short ? " short" : ""}.`;
    return code.lostOnDowns === "start"
      ? turned(null, middle, `The other side’s ball from its own ${code.startYards}: ${why}`)
      : turned(x, y, `The other side’s ball: ${why}`);
  }
  const following = (down + 1) as Down;
  const toGo = lineToGainXYards === null ? null : sign * (lineToGainXYards - situation.scrimmageXYards);
  const name = `${downNames[following - 1]} down`;
  return {
    ...same,
    situation: { ...situation, down: following, scrimmageXYards: x, ballYYards: y },
    because: [
      ...unsaid,
      result === null
        ? `${name} follows.`
        : `${name}: ${result.kind === "incomplete" ? "the pass was incomplete" : gainWords(gained, toGo)}.`,
    ],
  };
}

/** "4 of the 10 yards were gained", "2 yards were lost" */
function gainWords(gained: number, toGo: number | null): string {
  const were = (yards: number) => (yardsWord(yards) === "1 yard" ? "was" : "were");
  if (Math.abs(gained) < 0.05) return "nothing was gained";
  if (gained < 0) return `${yardsWord(-gained)} ${were(-gained)} lost`;
  if (toGo === null) return `${yardsWord(gained)} ${were(gained)} gained`;
  return `${Math.round(gained * 10) / 10} of the ${yardsWord(toGo)} ${were(gained)} gained`;
}
