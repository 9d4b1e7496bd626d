import type { FieldLayout } from "../field/template.ts";
import { inOrder } from "../game/angles.ts";
import { renumbered } from "../game/breakdown-edits.ts";
import { applyChanges, type Change, put } from "../game/changes.ts";
import type { NewId } from "../game/edits.ts";
import { type DownRules, firstSituation, nextSituation } from "../game/next-situation.ts";
import { type Film, type GameRecords, nothingSaid, type Play } from "../game/records.ts";
import { clock } from "../game/words.ts";
import { isSamePlay, outOfPlace, withListed } from "./listed-change.ts";
import type { ListedPlay } from "./list-columns.ts";
import type { LeftOut } from "./web-vtt.ts";

/** What taking a cut list in would do, before it does it. Every play of the list is in exactly one of these. */
export type ImportPlan = {
  readonly added: readonly Play[];
  readonly changed: readonly { readonly before: Play; readonly after: Play }[];
  /** How many plays of the list are there already, as they are. */
  readonly same: number;
  /** What does not go with the plays that are there, or with the list's own: it is left as it is. */
  readonly clashes: readonly LeftOut[];
  /** What has no place on a film of the game. */
  readonly leftOut: readonly LeftOut[];
  readonly changes: readonly Change[];
};

/** A play runs so long before its snap, after what is first said of it, and after the ball is dead, where a list does not say. Seconds. */
const usualSec = { before: 3, after: 9, afterDead: 1.5 };
/** Times nearer than this are the same: a list may be written to the hundredth. Seconds. */
const sameSec = 0.011;

/** More than any game has: a table of so many rows is something else. */
export const mostPlays = 2000;
/** A new play is numbered with all others when the plan is whole, and until then comes after those that are there. */
const unnumbered = 9999;

type Span = { readonly startSec: number; readonly endSec: number };

/**
 * Plays of a list joined to those of the game. One that shares at least half of the shorter of the two with a play of its
 * film is that play, and changes it where `replaces`. One that only touches a play, lies over two, or over a neighbour of
 * the list, clashes. What the list leaves unsaid stays as it was, or is proposed from the play before.
 */
export function planImport(input: {
  readonly records: GameRecords;
  /** The film of whatever the list names no film for. */
  readonly filmId: string;
  readonly listed: readonly ListedPlay[];
  readonly replaces: boolean;
  readonly newId: NewId;
  readonly rules: DownRules;
  readonly layout: FieldLayout;
}): ImportPlan {
  const { records, filmId, replaces, newId, rules, layout } = input;
  const added: Play[] = [];
  const changed: { before: Play; after: Play }[] = [];
  const clashes: LeftOut[] = [];
  const leftOut: LeftOut[] = [];
  /** Lines of the list by the plays that they are. */
  const taken = new Map<string, number>();
  /** The plays as they will be. */
  const plays = new Map(records.plays.map((play) => [play.id, play]));
  let same = 0;

  const newPlay = (one: ListedPlay, span: Span, film: Film): Play => {
    const all = [...plays.values()];
    const before = latestBefore(all, records.films, film.id, span.startSec);
    const { situation } = before
      ? nextSituation(before, rules, layout, { quarter: one.quarter, plays: all })
      : firstSituation(rules, layout);
    const ids = { id: newId(), gameId: records.game.id, filmId: film.id, number: unnumbered };
    return withListed({ ...nothingSaid, ...ids, ...span, situation }, one, span);
  };

  const byFilm = filmFinder(records.films, filmId, input.listed);
  for (const one of input.listed)
    if (byFilm(one) === null) leftOut.push({ line: one.line, reason: `The game has no film “${one.film}”.` });
  for (const film of inOrder(records.films)) {
    const onFilm = input.listed.filter((one) => byFilm(one) === film.id);
    const sorted = onFilm.toSorted((a, b) => startOf(a) - startOf(b));
    for (const [index, one] of sorted.entries()) {
      const { line } = one;
      const own = [...plays.values()].filter((play) => play.filmId === film.id);
      const span = spanOf(one, sorted[index + 1], own, film.durationSec);
      if (typeof span === "string") {
        leftOut.push({ line, reason: span });
        continue;
      }
      const clash = (reason: string) => clashes.push({ line, reason });
      const over = own.filter((play) => overlapSec(play, span) > sameSec);
      const match = over.length === 1 && over[0] && isThat(one, span, over[0]) ? over[0] : null;
      if (over.some(({ number }) => number === unnumbered)) clash("It lies over another play of the list.");
      else if (over.length > 1) clash(`It lies over plays ${over.map(({ number }) => number).join(" and ")}.`);
      else if (over[0] && !match)
        clash(`It overlaps play ${over[0].number} by ${overlapSec(over[0], span).toFixed(2)} s.`);
      else if (match && taken.has(match.id)) clash(`Line ${taken.get(match.id)} is play ${match.number} already.`);
      else if (match) {
        taken.set(match.id, line);
        const after = withListed(match, one, {
          startSec: one.startSec ?? match.startSec,
          endSec: one.endSec === null ? match.endSec : span.endSec,
        });
        const amiss = outOfPlace(records, after);
        if (isSamePlay(match, after, sameSec)) same += 1;
        else if (!replaces) clash(`It lies over play ${match.number}, which stays as it is.`);
        else if (amiss === null) {
          plays.set(after.id, after);
          changed.push({ before: match, after });
        } else clash(amiss);
      } else {
        const play = newPlay(one, span, film);
        const amiss = outOfPlace(records, play);
        if (amiss === null) {
          plays.set(play.id, play);
          added.push(play);
        } else leftOut.push({ line, reason: amiss });
      }
    }
  }
  const changes: Change[] = [
    ...changed.map(({ before, after }) => put("play", before, after)),
    ...added.map((play) => put("play", null, play)),
  ];
  const numbers = changes.length === 0 ? [] : renumbered(applyChanges(records, changes));
  return { added, changed, same, clashes, leftOut, changes: [...changes, ...numbers] };
}

/**
 * The film of a play of the list: that of its name; where none of the list's names is a film of the game, and there is but
 * one, the film the list is put on. Null where the game has no such film.
 */
function filmFinder(
  films: readonly Film[],
  filmId: string,
  listed: readonly ListedPlay[],
): (one: ListedPlay) => string | null {
  const plain = (label: string) => label.trim().toLowerCase();
  const here = films.find(({ id }) => id === filmId);
  // Of films with one label that on which the list is put comes first.
  const byLabel = new Map([...films.toReversed(), ...(here ? [here] : [])].map(({ label, id }) => [plain(label), id]));
  const names = new Set(listed.flatMap(({ film }) => (film === null ? [] : [plain(film)])));
  const isElsewhere = names.size === 1 && ![...names].some((name) => byLabel.has(name));
  return ({ film }) => (film === null || isElsewhere ? (here?.id ?? null) : (byLabel.get(plain(film)) ?? null));
}

function startOf({ startSec, snapSec }: ListedPlay): number {
  return startSec ?? Math.max(0, (snapSec ?? 0) - usualSec.before);
}

/**
 * From its start to its end; what the list leaves unsaid of them reaches no further than the plays around it, of the list
 * and of the film. A sentence says why it has no place.
 */
function spanOf(
  one: ListedPlay,
  next: ListedPlay | undefined,
  around: readonly Play[],
  durationSec: number,
): Span | string {
  const first = one.startSec ?? one.snapSec ?? 0;
  const last = Math.max(...[first, one.snapSec, one.releaseSec, one.catchSec, one.deadSec].map((sec) => sec ?? 0));
  if (first >= durationSec) return `It begins after the film ends (${clock(durationSec)}).`;
  if (last > durationSec) return `It has a time after the film ends (${clock(durationSec)}).`;
  const ends = around.map(({ endSec }) => endSec).filter((sec) => sec <= first + sameSec);
  const startSec = one.startSec ?? Math.min(first, Math.max(startOf(one), ...ends));
  const starts = around.map((play) => play.startSec).filter((sec) => sec >= last - sameSec && sec > first);
  const usual = one.deadSec === null ? first + usualSec.after : one.deadSec + usualSec.afterDead;
  const open = Math.max(last, Math.min(usual, ...starts, next ? startOf(next) : Infinity));
  const endSec = Math.min(one.endSec ?? open, durationSec);
  return endSec - startSec > sameSec ? { startSec, endSec } : "It has no length.";
}

/** Whether it is that play: by its span where it says one, else by the instant it says. */
function isThat(one: ListedPlay, span: Span, play: Play): boolean {
  if (one.startSec !== null && one.endSec !== null)
    return overlapSec(play, span) >= Math.min(lengthOf(play), lengthOf(span)) / 2;
  const instant = one.snapSec ?? one.startSec ?? 0;
  return instant > play.startSec - sameSec && instant < play.endSec;
}

const lengthOf = ({ startSec, endSec }: Span) => endSec - startSec;
const overlapSec = (a: Span, b: Span) => Math.min(a.endSec, b.endSec) - Math.max(a.startSec, b.startSec);

/** The last play that ends before an instant of a film, on this or a film before it. */
function latestBefore(plays: readonly Play[], films: readonly Film[], filmId: string, startSec: number): Play | null {
  const order = new Map(inOrder(films).map(({ id }, index) => [id, index]));
  const here = order.get(filmId) ?? 0;
  const at = (play: Play) => order.get(play.filmId) ?? 0;
  const before = plays.filter((play) => at(play) < here || (at(play) === here && play.endSec <= startSec + sameSec));
  return before.toSorted((a, b) => at(b) - at(a) || b.endSec - a.endSec)[0] ?? null;
}
