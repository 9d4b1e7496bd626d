import { renumbered } from "../game/breakdown-edits.ts";
import { applyChanges, type Change, put } from "../game/changes.ts";
import type { NewId } from "../game/edits.ts";
import { type DownRules, firstSituation, nextSituation } from "../game/next-situation.ts";
import {
  type Down,
  type GameRecords,
  nothingSaid,
  type Play,
  type PlayResult,
  type Situation,
} from "../game/records.ts";
import type { FieldLayout } from "../field/template.ts";
import type { LeftOut } from "./csv-list.ts";
import type { ListedPlay } from "./listed-play.ts";

/** What taking a cut list in would do, before it does it. */
export type ImportPlan = {
  readonly added: readonly Play[];
  readonly changed: readonly { readonly before: Play; readonly after: Play }[];
  /** Plays of the list that are there already, as they are. */
  readonly same: number;
  readonly leftOut: readonly LeftOut[];
  readonly changes: readonly Change[];
};

/** A play lasts so long where a list gives its start or its snap alone. Seconds. */
const usualSec = { before: 3, after: 9 };
/** Times nearer than this are the same: a list may be written to the hundredth. Seconds. */
const sameSec = 0.011;

/**
 * Plays of a list joined to those of a film: one that lies over a play of the film is that play, and changes it where
 * `replaces`; one that lies over two, or over a neighbour of the list, is left out with the reason.
 */
export function planImport(input: {
  readonly records: GameRecords;
  readonly filmId: string;
  readonly listed: readonly ListedPlay[];
  readonly replaces: boolean;
  readonly newId: NewId;
  readonly rules: DownRules;
  readonly layout: FieldLayout;
}): ImportPlan {
  const { records, filmId, replaces, newId, rules, layout } = input;
  const durationSec = records.films.find(({ id }) => id === filmId)?.durationSec ?? 0;
  const leftOut: LeftOut[] = [];
  const added: Play[] = [];
  const changed: { before: Play; after: Play }[] = [];
  let same = 0;
  const there = records.plays.filter((play) => play.filmId === filmId);
  const sorted = input.listed.toSorted((a, b) => startOf(a) - startOf(b));
  for (const [index, one] of sorted.entries()) {
    const next = sorted[index + 1];
    const startSec = startOf(one);
    const endSec =
      one.endSec ??
      Math.min(
        one.deadSec ?? startSec + usualSec.before + usualSec.after,
        next ? startOf(next) : Infinity,
        durationSec,
      );
    const say = (reason: string) => leftOut.push({ line: one.line, reason });
    if (startSec >= durationSec) {
      say("It begins after the film ends.");
      continue;
    }
    if (!(endSec > startSec)) {
      say("It ends before it begins.");
      continue;
    }
    const over = there.filter((play) => startSec < play.endSec - sameSec && endSec > play.startSec + sameSec);
    const placed = added.some((play) => startSec < play.endSec - sameSec && endSec > play.startSec + sameSec);
    if (over.length > 1 || placed) {
      say(
        placed
          ? "It lies over another play of the list."
          : `It lies over plays ${over.map(({ number }) => number).join(" and ")}.`,
      );
      continue;
    }
    const [before] = over;
    if (before) {
      const after = withListed(before, one, startSec, endSec);
      if (isSame(before, after)) same += 1;
      else if (replaces) changed.push({ before, after });
      else say(`It lies over play ${before.number}, which stays as it is.`);
      continue;
    }
    const last = [...there, ...added]
      .filter((play) => play.endSec <= startSec + sameSec)
      .toSorted((a, b) => b.endSec - a.endSec)[0];
    const proposed = last ? nextSituation(last, rules, layout) : firstSituation(rules, layout);
    const blank: Play = {
      id: newId(),
      gameId: records.game.id,
      filmId,
      number: 9999,
      startSec,
      endSec,
      ...nothingSaid,
      situation: proposed.situation,
    };
    added.push(withListed(blank, one, startSec, endSec));
  }
  const changes: Change[] = [
    ...changed.map(({ before, after }) => put("play", before, after)),
    ...added.map((play) => put("play", null, play)),
  ];
  return {
    added,
    changed,
    same,
    leftOut,
    changes: changes.length === 0 ? [] : [...changes, ...renumbered(applyChanges(records, changes))],
  };
}

function startOf({ startSec, snapSec }: ListedPlay): number {
  return startSec ?? Math.max(0, (snapSec ?? 0) - usualSec.before);
}

/** What the list says over what was known; what it leaves unsaid stays. */
function withListed(play: Play, one: ListedPlay, startSec: number, endSec: number): Play {
  const { situation } = play;
  const direction = one.direction ?? situation.direction;
  const scrimmageXYards = one.scrimmageXYards ?? situation.scrimmageXYards;
  const sign = direction === "right" ? 1 : -1;
  const toGo =
    one.distanceYards ??
    (situation.lineToGainXYards === null
      ? null
      : (situation.direction === "right" ? 1 : -1) * (situation.lineToGainXYards - situation.scrimmageXYards));
  const down = one.down === null ? situation.down : one.down === 0 ? null : (one.down as Down);
  const said: Situation = {
    offence: one.offence ?? situation.offence,
    direction,
    down,
    scrimmageXYards,
    lineToGainXYards:
      toGo === null || (one.down === 0 && one.distanceYards === null) ? null : scrimmageXYards + sign * toGo,
    ballYYards: one.ballYYards ?? situation.ballYYards,
  };
  const spot =
    one.resultXYards === null ? null : { xYards: one.resultXYards, yYards: one.resultYYards ?? said.ballYYards };
  const result: PlayResult | null = one.result === null ? play.result : { kind: one.result, spot };
  return {
    ...play,
    startSec,
    endSec,
    snapSec: one.snapSec ?? play.snapSec,
    releaseSec: one.releaseSec ?? play.releaseSec,
    catchSec: one.catchSec ?? play.catchSec,
    deadSec: one.deadSec ?? play.deadSec,
    kind: one.kind ?? play.kind,
    quarter: one.quarter ?? play.quarter,
    series: one.series ?? play.series,
    situation: said,
    result,
  };
}

/** The same but for what writing a list rounds off. */
function isSame(a: Play, b: Play): boolean {
  const near = (x: unknown, y: unknown): boolean => {
    if (typeof x === "number" && typeof y === "number") return Math.abs(x - y) < sameSec;
    if (x !== null && y !== null && typeof x === "object" && typeof y === "object") {
      const [left, right] = [x as Record<string, unknown>, y as Record<string, unknown>];
      return Object.keys({ ...left, ...right }).every((key) => near(left[key], right[key]));
    }
    return x === y;
  };
  return near(a, b);
}
