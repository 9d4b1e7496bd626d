import { directionSign } from "../field/frames.ts";
import { playSecOf } from "../game/angles.ts";
import { playTimeNames, playTimes, timeOf } from "../game/breakdown-edits.ts";
import type { Down, GameRecords, Play, PlayResult, Situation } from "../game/records.ts";
import { clock, yardsToGo } from "../game/words.ts";
import type { ListedPlay } from "./list-columns.ts";
import { reachYards } from "./listed-play.ts";

/** What the list says over what was known; what it leaves unsaid stays. */
export function withListed(
  play: Play,
  one: ListedPlay,
  span: { readonly startSec: number; readonly endSec: number },
): Play {
  const { situation } = play;
  const ballYYards = one.ballYYards ?? situation.ballYYards;
  return {
    ...play,
    startSec: span.startSec,
    endSec: span.endSec,
    snapSec: one.snapSec ?? play.snapSec,
    releaseSec: one.releaseSec ?? play.releaseSec,
    catchSec: one.catchSec ?? play.catchSec,
    deadSec: one.deadSec ?? play.deadSec,
    kind: one.kind ?? play.kind,
    quarter: one.quarter ?? play.quarter,
    series: one.series ?? play.series,
    situation: { ...withSpot(situation, one), ballYYards },
    result: resultWith(play.result, one, ballYYards),
  };
}

function withSpot(situation: Situation, one: ListedPlay): Situation {
  const direction = one.direction ?? situation.direction;
  const scrimmageXYards = one.scrimmageXYards ?? situation.scrimmageXYards;
  const down = one.down === null ? situation.down : one.down === 0 ? null : (one.down as Down);
  const toGo = one.distanceYards ?? (one.down === 0 ? null : yardsToGo(situation));
  const said = one.lineToGainXYards;
  const measured = toGo === null ? null : scrimmageXYards + directionSign(direction) * toGo;
  return {
    ...situation,
    offence: one.offence ?? situation.offence,
    direction,
    down,
    scrimmageXYards,
    lineToGainXYards: said === "none" ? null : (said ?? measured),
  };
}

function resultWith(before: PlayResult | null, one: ListedPlay, ballYYards: number): PlayResult | null {
  if (one.result === null) return before;
  const kept = before?.kind === one.result ? before.spot : null;
  const spot =
    one.resultXYards === null
      ? kept
      : { xYards: one.resultXYards, yYards: one.resultYYards ?? kept?.yYards ?? ballYYards };
  return { kind: one.result, spot };
}

/** Why a play cannot be so: times out of order, a line to gain off any field, or what is judged of it outside it; else null. */
export function outOfPlace({ moments, angles }: Pick<GameRecords, "moments" | "angles">, play: Play): string | null {
  const said = playTimes.flatMap((time) => {
    const sec = timeOf(play, time);
    return sec === null ? [] : [{ name: playTimeNames[time].toLowerCase(), sec }];
  });
  const late = said.findIndex(({ sec }, index) => sec < (said[index - 1]?.sec ?? 0));
  const [early, other] = [said[late], said[late - 1]];
  if (early && other)
    return `Its ${early.name} (${clock(early.sec)}) would come before its ${other.name} (${clock(other.sec)}).`;
  const { lineToGainXYards } = play.situation;
  if (lineToGainXYards !== null && (lineToGainXYards < reachYards.least || lineToGainXYards > reachYards.most))
    return "Its line to gain would lie off the field.";
  const outside = moments
    .filter(({ playId }) => playId === play.id)
    .map((moment) => playSecOf(play, angles, moment))
    .find((sec) => sec < play.startSec - 1e-6 || sec >= play.endSec);
  return outside === undefined
    ? null
    : `A moment of play ${play.number} is judged at ${clock(outside)}, which would lie outside it.`;
}

/** The same but for what writing a list rounds off: seconds and yards by less than `within`. */
export function isSamePlay(a: Play, b: Play, within: number): boolean {
  const near = (x: unknown, y: unknown): boolean => {
    if (typeof x === "number" && typeof y === "number") return Math.abs(x - y) < within;
    if (x !== null && y !== null && typeof x === "object" && typeof y === "object") {
      const [left, right] = [x as Record<string, unknown>, y as Record<string, unknown>];
      return Object.keys({ ...left, ...right }).every((key) => near(left[key], right[key]));
    }
    return x === y;
  };
  return near(a, b);
}
