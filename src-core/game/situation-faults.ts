import { directionSign } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";
import { type DownRules, lineToGain } from "./next-situation.ts";
import type { Play } from "./records.ts";
import { downNames, saidSituation, yardsWord } from "./words.ts";

export type SituationFault = {
  readonly playId: string;
  readonly field: "down" | "distance" | "direction" | "spot" | "quarter";
  readonly sentence: string;
};

/** Spots are placed by eye: nearer to a line than this nobody can tell on which side of it the ball was. Yards. */
const spotYards = 0.75;

/** Contradictions within the plays and from one to the next, in the order of the plays. Never more than evidence. */
export function situationFaults(plays: readonly Play[], rules: DownRules, layout: FieldLayout): SituationFault[] {
  const sorted = plays.toSorted((a, b) => a.number - b.number);
  return sorted.flatMap((play, index) => {
    const before = sorted[index - 1];
    return [...within(play, rules, layout), ...(before ? following(before, play, rules, layout) : [])];
  });
}

function within(play: Play, rules: DownRules, layout: FieldLayout): SituationFault[] {
  const { situation, number } = play;
  const sign = directionSign(situation.direction);
  const faults: SituationFault[] = [];
  const say = (field: SituationFault["field"], sentence: string) => faults.push({ playId: play.id, field, sentence });
  const { scrimmageXYards: x, lineToGainXYards: line } = situation;
  if (x < layout.leftGoalXYards - 1e-6 || x > layout.rightGoalXYards + 1e-6)
    say("spot", `The ball of play ${number} lies outside the field of play.`);
  if (line !== null && sign * (line - x) <= 0)
    say(
      "distance",
      `The line to gain of play ${number} lies behind the ball: turn the direction, or move one of them.`,
    );
  else if (line !== null && rules.kind === "zone-lines" && situation.down === 1) {
    const next = lineToGain(rules, layout, situation);
    if (Math.abs(next - line) > spotYards && sign * (line - next) > 0)
      say(
        "distance",
        `First down of play ${number} goes past a zone line: the next one is ${yardsWord(sign * (next - x))} away.`,
      );
  }
  return faults;
}

function following(before: Play, play: Play, rules: DownRules, layout: FieldLayout): SituationFault[] {
  const faults: SituationFault[] = [];
  const say = (field: SituationFault["field"], sentence: string) => faults.push({ playId: play.id, field, sentence });
  const { situation: was } = before;
  const { situation: is } = play;
  const isSameQuarter = before.quarter !== null && before.quarter === play.quarter;
  if (before.quarter !== null && play.quarter !== null && play.quarter < before.quarter)
    say("quarter", `Play ${play.number} is in an earlier quarter than play ${before.number}.`);
  if (isSameQuarter && (was.offence === is.offence) !== (was.direction === is.direction)) {
    say(
      "direction",
      was.offence === is.offence
        ? `The same side goes the other way in play ${play.number} than in play ${before.number}, within a quarter.`
        : `Both sides go the same way in plays ${before.number} and ${play.number}, within a quarter.`,
    );
    return faults;
  }
  if (was.offence !== is.offence || was.direction !== is.direction) return faults;
  if (was.down === null || is.down === null || was.lineToGainXYards === null) return faults;
  if (before.series !== null && play.series !== null && before.series !== play.series) return faults;
  if (before.result?.kind === "no-play" || before.result?.kind === "score" || before.result?.kind === "turnover")
    return faults;
  const sign = directionSign(is.direction);
  const gained = sign * (is.scrimmageXYards - was.scrimmageXYards);
  const beyond = sign * (is.scrimmageXYards - was.lineToGainXYards);
  const gain =
    Math.abs(gained) < 0.05
      ? "no gain"
      : gained < 0
        ? `a ${yardsWord(-gained).replace(" yards", "-yard").replace(" yard", "-yard")} loss`
        : `a ${yardsWord(gained).replace(" yards", "-yard").replace(" yard", "-yard")} gain`;
  const pair = `${saidSituation(is)} cannot follow ${gain} on ${saidSituation(was).toLowerCase()}`;
  if (Math.abs(beyond) <= spotYards && beyond < 0) return faults;
  const due = beyond >= -1e-6 ? 1 : was.down + 1;
  if (due > 4) {
    say("down", `${pair}: fourth down was short, so it should be the other side’s ball.`);
    return faults;
  }
  if (is.down !== due) {
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
  return faults;
}
