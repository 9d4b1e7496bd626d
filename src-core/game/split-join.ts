import type { FieldLayout } from "../field/template.ts";
import { angleOf, playSecOf } from "./angles.ts";
import { type BreakdownEdit, newPlay, type PlayTime, playTimeNames, renumbered, timeOf } from "./breakdown-edits.ts";
import { applyChanges, type Change, put, remove } from "./changes.ts";
import type { NewId } from "./edits.ts";
import type { DownRules } from "./next-situation.ts";
import type { GameRecords, Play } from "./records.ts";
import { clock } from "./words.ts";

/**
 * A play cut in two, and two made one, as plans of changes. What was measured goes with its instant:
 * no moment, stake or mark is lost. Times are seconds of the play's own film.
 */

/** Shorter than this nobody can work with a play. Seconds. */
const leastSec = 0.2;
/** Two ties of a film that differ by no more are the same. Seconds. */
const sameTieSec = 0.05;

type Timed = Exclude<PlayTime, "start" | "end">;
const timed = ["snap", "release", "catch", "dead"] as const satisfies readonly Timed[];

function withTimes(play: Play, secOf: (which: Timed) => number | null): Play {
  return {
    ...play,
    snapSec: secOf("snap"),
    releaseSec: secOf("release"),
    catchSec: secOf("catch"),
    deadSec: secOf("dead"),
  };
}

/** Ends a play at an instant and makes a new one of the rest, with the times, moments and angles that lie in it. */
export function splitPlay(
  records: GameRecords,
  play: Play,
  sec: number,
  newId: NewId,
  rules: DownRules,
  layout: FieldLayout,
): BreakdownEdit {
  if (sec < play.startSec + leastSec || sec > play.endSec - leastSec)
    return {
      ok: false,
      sentence: `Play ${play.number} cannot be cut at ${clock(sec)}: go to an instant between its start and its end.`,
    };
  if (isEvaluated(records, play.id))
    return {
      ok: false,
      sentence: `Play ${play.number} is graded as the play it is: take its grades and rulings back before it is cut in two.`,
    };
  const isLater = (which: Timed) => (timeOf(play, which) ?? -1) >= sec;
  // The result says how the ball was dead: it goes with that time.
  const endsLater = isLater("dead");
  const first: Play = {
    ...withTimes(play, (which) => (isLater(which) ? null : timeOf(play, which))),
    endSec: sec,
    result: endsLater ? null : play.result,
  };
  const shortened = { ...records, plays: records.plays.map((one) => (one.id === play.id ? first : one)) };
  const span = { filmId: play.filmId, startSec: sec, endSec: play.endSec, snapSec: null };
  const made = newPlay(shortened, span, newId, rules, layout);
  const rest: Play = {
    ...withTimes(made.play, (which) => (isLater(which) ? timeOf(play, which) : null)),
    result: endsLater ? play.result : null,
  };
  const moved = records.moments.filter(
    (moment) => moment.playId === play.id && playSecOf(play, records.angles, moment) >= sec,
  );
  const changes: Change[] = [
    put("play", play, first),
    ...made.changes.map((change) => (change.id === rest.id ? put("play", null, rest) : change)),
    ...records.angles
      .filter((angle) => angle.playId === play.id)
      .map((angle) => put("angle", null, { ...angle, id: newId(), playId: rest.id })),
    ...moved.map((moment) => put("moment", moment, { ...moment, playId: rest.id })),
  ];
  return { ok: true, play: rest, label: `Cut play ${play.number} in two`, changes };
}

/** Makes one play of a play and the next on its film. What both say of a time is the first's; the ball is dead at the last. */
export function joinNext(records: GameRecords, play: Play): BreakdownEdit {
  const next = records.plays
    .filter((one) => one.filmId === play.filmId && one.id !== play.id && one.startSec >= play.startSec)
    .toSorted((a, b) => a.startSec - b.startSec)[0];
  if (!next) return { ok: false, sentence: `No play of this film comes after play ${play.number}.` };
  const graded = [play, next].find(({ id }) => isEvaluated(records, id));
  if (graded)
    return {
      ok: false,
      sentence: `Play ${graded.number} is graded as the play it is: take its grades and rulings back before it is joined.`,
    };
  const deadSec = next.deadSec ?? play.deadSec;
  const joined: Play = { ...play, deadSec, endSec: Math.max(play.endSec, next.endSec) };
  const times = timed.map((which) => timeOf(joined, which) ?? timeOf(next, which));
  const said = times.filter((time) => time !== null);
  const late = said.find((time, index) => time < (said[index - 1] ?? time));
  if (late !== undefined) {
    const which = timed[times.indexOf(late)] ?? "dead";
    return {
      ok: false,
      sentence: `Plays ${play.number} and ${next.number} cannot be one: the ${playTimeNames[which].toLowerCase()} (${clock(late)}) would come too early. Take a time back first.`,
    };
  }
  const after: Play = {
    ...withTimes(joined, (which) => times[timed.indexOf(which)] ?? null),
    kind: play.kind ?? next.kind,
    quarter: play.quarter ?? next.quarter,
    series: play.series ?? next.series,
    result: next.result ?? play.result,
  };
  const tieOf = (one: Play, filmId: string) => angleOf(records.angles, one.id, filmId);
  const apart = records.films.find(({ id }) => {
    const [a, b] = [tieOf(play, id), tieOf(next, id)];
    return a && b && Math.abs(a.instantSec - a.playInstantSec - (b.instantSec - b.playInstantSec)) > sameTieSec;
  });
  if (apart)
    return {
      ok: false,
      sentence: `Plays ${play.number} and ${next.number} cannot be one: ${apart.label} does not run on beside them. Untie one of them first.`,
    };
  const changes: Change[] = [
    put("play", play, after),
    ...records.moments
      .filter(({ playId }) => playId === next.id)
      .map((moment) => put("moment", moment, { ...moment, playId: play.id })),
    ...records.angles
      .filter(({ playId }) => playId === next.id)
      .map((angle) =>
        tieOf(play, angle.filmId) ? remove("angle", angle) : put("angle", angle, { ...angle, playId: play.id }),
      ),
    remove("play", next),
  ];
  return {
    ok: true,
    play: after,
    label: `Join plays ${play.number} and ${next.number}`,
    changes: [...changes, ...renumbered(applyChanges(records, changes))],
  };
}

/** Whether something has been said of a play that would be of another one afterwards. */
function isEvaluated({ grades, rulings, notes }: GameRecords, playId: string): boolean {
  return [...grades, ...rulings, ...notes].some((one) => one.playId === playId);
}
