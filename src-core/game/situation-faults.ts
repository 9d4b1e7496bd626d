import { directionSign } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";
import { type DownRules, lineToGain } from "./next-situation.ts";
import { endsChanged, quarterName } from "./quarters.ts";
import type { Play } from "./records.ts";
import { seriesRulesOf } from "./series-rules.ts";
import { downNames, saidSituation, yardsWord } from "./words.ts";

export type SituationFault = {
  readonly playId: string;
  readonly field: "down" | "distance" | "direction" | "spot" | "quarter" | "series";
  readonly sentence: string;
};

type Say = (field: SituationFault["field"], sentence: string) => void;

/** Spots are placed by eye: nearer to a line than this nobody can tell on which side of it the ball was. Yards. */
const spotYards = 0.75;

/** Contradictions within the plays and from one to the next, in the order of the plays. Never more than evidence. */
export function situationFaults(plays: readonly Play[], rules: DownRules, layout: FieldLayout): SituationFault[] {
  const sorted = plays.toSorted((a, b) => a.number - b.number);
  return sorted.flatMap((play, index) => {
    const faults: SituationFault[] = [];
    const say: Say = (field, sentence) => faults.push({ playId: play.id, field, sentence });
    within(play, rules, layout, say);
    const before = sorted[index - 1];
    if (before) following(before, play, rules, layout, say);
    return faults;
  });
}

function within(play: Play, rules: DownRules, layout: FieldLayout, say: Say): void {
  const { situation, number } = play;
  const { scrimmageXYards: x, lineToGainXYards: line, ballYYards: y, down } = situation;
  const sign = directionSign(situation.direction);
  const isOnField = (at: number) => at >= layout.leftGoalXYards - 1e-6 && at <= layout.rightGoalXYards + 1e-6;
  if (!isOnField(x) || y < -1e-6 || y > layout.widthYards + 1e-6)
    say("spot", `The ball of play ${number} lies outside the field of play.`);
  const end = play.result?.spot?.xYards;
  if (end !== undefined && (end < -1e-6 || end > layout.totalLengthYards + 1e-6))
    say("spot", `Play ${number} ends outside the field.`);
  const { downs } = seriesRulesOf(layout);
  if (down !== null && down > downs)
    say(
      "down",
      `Play ${number} is ${downNames[down - 1]!.toLowerCase()} down, but a series on this field has ${downs}.`,
    );

  if (line === null) return;
  if (sign * (line - x) <= 0)
    say(
      "distance",
      `The line to gain of play ${number} lies behind the ball: turn the direction, or move one of them.`,
    );
  else if (!isOnField(line)) say("distance", `The line to gain of play ${number} lies beyond the goal line.`);
  else if (rules.kind === "zone-lines") {
    const next = lineToGain(rules, layout, situation);
    const isZoneLine = rules.linesXYards.some((zone) => Math.abs(zone - line) <= spotYards);
    if (!isZoneLine) say("distance", `The line to gain of play ${number} is no zone line of this field.`);
    else if (down === 1 && Math.abs(next - line) > spotYards && sign * (line - next) > 0)
      say(
        "distance",
        `First down of play ${number} goes past a zone line: the next one is ${yardsWord(sign * (next - x))} away.`,
      );
  }
}

function following(before: Play, play: Play, rules: DownRules, layout: FieldLayout, say: Say): void {
  const isSameSide = before.situation.offence === play.situation.offence;
  if (before.quarter !== null && play.quarter !== null && play.quarter < before.quarter)
    say("quarter", `Play ${play.number} is in an earlier quarter than play ${before.number}.`);
  if (before.series !== null && play.series !== null) {
    if (play.series < before.series)
      say("series", `Play ${play.number} is in an earlier series than play ${before.number}.`);
    else if (play.series === before.series && !isSameSide && !isTrySide(before, play))
      say("series", `The ball changed sides from play ${before.number} to play ${play.number}, but not the series.`);
  }
  const turned = before.situation.direction !== play.situation.direction;
  if (directions(before, play, layout, turned === isSameSide, say)) return;
  if (before.quarter !== null && play.quarter !== null && before.quarter !== play.quarter) return;
  spots(before, play, layout, say);
  if (isSameSide && !turned) downsInOrder(before, play, rules, layout, say);
}

/** A kick run back for a score: the other side has the try in the series of the kick. */
function isTrySide(before: Play, play: Play): boolean {
  return before.result?.kind === "score" && play.kind === "try";
}

/** Whether the ways the sides go contradict each other; `changed` when each goes the other way than in the play before. */
function directions(before: Play, play: Play, layout: FieldLayout, changed: boolean, say: Say): boolean {
  const numbers = `plays ${before.number} and ${play.number}`;
  if (before.quarter !== null && before.quarter === play.quarter) {
    if (!changed) return false;
    say(
      "direction",
      before.situation.offence === play.situation.offence
        ? `The same side goes the other way in play ${play.number} than in play ${before.number}, within a quarter.`
        : `Both sides go the same way in ${numbers}, within a quarter.`,
    );
    return true;
  }
  const ends = endsChanged(layout.template.game, before.quarter, play.quarter);
  if (!ends?.isRule || ends.turned === changed || before.quarter === null || play.quarter === null) return false;
  const between = `Between ${quarterName(before.quarter)} (play ${before.number}) and ${quarterName(play.quarter)} (play ${play.number})`;
  say(
    "direction",
    ends.turned
      ? `${between} the sides change ends: the direction should be turned.`
      : `${between} each side goes the same way again: the direction should not be turned.`,
  );
  return true;
}

/** Both spots are placed by eye. */
const twoSpotsYards = 2 * spotYards;

/** Where a play begins against where the one before it was said to have ended. */
function spots(before: Play, play: Play, layout: FieldLayout, say: Say): void {
  const { result, situation: was } = before;
  const isDown = (kind: Play["kind"]) => kind === null || kind === "pass" || kind === "run";
  if (!result || !isDown(before.kind) || !isDown(play.kind)) return;
  const isSameSide = was.offence === play.situation.offence;
  const passed = before.series === null || play.series === null ? null : play.series - before.series;
  if (result.kind === "turnover") {
    if (isSameSide && (passed === null || passed === 0))
      say(
        "series",
        `Play ${before.number} ended in a turnover, but the same side has the ball in play ${play.number}.`,
      );
    if (isSameSide || (passed !== null && passed !== 1)) return;
  } else if (!isSameSide || (passed !== null && passed !== 0)) return;
  const end = result.kind === "incomplete" ? was.scrimmageXYards : result.spot?.xYards;
  if (end === undefined || (result.kind !== "incomplete" && result.kind !== "spot" && result.kind !== "turnover"))
    return;
  const isInEndZone = end < layout.leftGoalXYards || end > layout.rightGoalXYards;
  const away = Math.abs(play.situation.scrimmageXYards - end);
  if (away > twoSpotsYards && !isInEndZone)
    say(
      "spot",
      `Play ${play.number} begins ${yardsWord(away)} from where play ${before.number} ended: one of the spots is wrong, unless a penalty moved the ball.`,
    );
}

function downsInOrder(before: Play, play: Play, rules: DownRules, layout: FieldLayout, say: Say): void {
  const { situation: was } = before;
  const { situation: is } = play;
  if (was.down === null || is.down === null || was.lineToGainXYards === null) return;
  if (before.series !== null && play.series !== null && before.series !== play.series) return;
  if (before.result?.kind === "no-play" || before.result?.kind === "score" || before.result?.kind === "turnover")
    return;
  const sign = directionSign(is.direction);
  const gained = sign * (is.scrimmageXYards - was.scrimmageXYards);
  const beyond = sign * (is.scrimmageXYards - was.lineToGainXYards);
  const pair = `${saidSituation(is)} cannot follow ${gainAsOne(gained)} on ${saidSituation(was).toLowerCase()}`;
  if (Math.abs(beyond) <= spotYards && beyond < 0) return;
  const due = beyond >= -1e-6 ? 1 : was.down + 1;
  if (due > seriesRulesOf(layout).downs) {
    const last = downNames[was.down - 1]!.toLowerCase();
    say("down", `${pair}: ${last} down was short, so it should be the other side’s ball.`);
  } else if (is.down !== due) {
    const repeated = is.down === was.down ? `, or play ${before.number} did not count` : "";
    say("down", `${pair}: it should be ${downNames[due - 1]!.toLowerCase()}${repeated}.`);
  } else if (
    due !== 1 &&
    is.lineToGainXYards !== null &&
    Math.abs(is.lineToGainXYards - was.lineToGainXYards) > spotYards
  ) {
    const toGo = sign * (was.lineToGainXYards - is.scrimmageXYards);
    say(
      "distance",
      `The line to gain moved within a series: from play ${before.number} it is ${yardsWord(toGo)} away.`,
    );
  } else if (due === 1 && is.lineToGainXYards !== null && rules.kind === "ten-yards") {
    const next = lineToGain(rules, layout, is);
    if (Math.abs(next - is.lineToGainXYards) > spotYards)
      say(
        "distance",
        `${saidSituation(is)} of play ${play.number}: a first down is for ${yardsWord(sign * (next - is.scrimmageXYards))} here.`,
      );
  }
}

/** "a 10-yard gain", "a 3-yard loss", "no gain" */
function gainAsOne(gained: number): string {
  if (Math.abs(gained) < 0.05) return "no gain";
  const yards = yardsWord(Math.abs(gained)).replace(/ yards?$/u, "-yard");
  return `a ${yards} ${gained < 0 ? "loss" : "gain"}`;
}
