import type { Course, MatterAt } from "./handoff-course.ts";
import { fullyOn, nameOf, turnedTo } from "./handoff-lapse.ts";
import { positionsOf } from "./responsibility.ts";

/** Who had a matter over a stretch of the play, by the book, and whether anybody whose it was looked at it. */
export type OwnedStretch = {
  readonly fromSec: number;
  readonly toSec: number;
  /** Whose it was; none where the book gives it to nobody, as while the ball is in the air. */
  readonly owners: readonly string[];
  readonly by: "key" | "zone" | "nobody";
  /**
   * Those whose it may be who were turned to it more likely than not, and whoever else was surely on it; at any instant of
   * the stretch.
   */
  readonly watchers: readonly string[];
  /** "gap": whose it was is known to be turned elsewhere. "unknown": the way they faced is not known. */
  readonly state: "watched" | "by-others" | "gap" | "unknown";
};

/** One player of A with an opponent close, from the snap on. Stretches ascend and leave out when nobody was near. */
export type MatterTimeline = {
  readonly trackId: string;
  readonly name: string;
  readonly stretches: readonly OwnedStretch[];
};

/** Instants are this far apart, seconds; a change within one is seen at its end. */
const stepSec = 0.05;

export function timelinesOf(course: Course): MatterTimeline[] {
  const end = course.times.at(-1) ?? 0;
  const count = Math.max(1, Math.round(end / stepSec));
  const instants = Array.from({ length: count + 1 }, (_, i) => (end * i) / count);
  return course.players.flatMap((track): MatterTimeline[] => {
    const stretches: OwnedStretch[] = [];
    let name: string | null = null;
    for (const [index, time] of instants.entries()) {
      const matter = course.matterAt(track, time);
      if (!matter?.isLive) continue;
      name ??= nameOf(matter, course);
      const state = timelineStateAt(matter, course);
      const last = stretches.at(-1);
      const until = instants[index + 1] ?? end;
      if (last && Math.abs(last.toSec - time) < 1e-9 && isSame(last, state)) {
        const watchers = course.book.positions.flatMap(({ id }) =>
          last.watchers.includes(id) || state.watchers.includes(id) ? [id] : [],
        );
        stretches[stretches.length - 1] = { ...last, watchers, toSec: until };
      } else if (until > time) stretches.push({ ...state, fromSec: time, toSec: until });
    }
    return name === null || stretches.length === 0 ? [] : [{ trackId: track.id, name, stretches }];
  });
}

export type MatterState = Omit<OwnedStretch, "fromSec" | "toSec">;

/** Whose a matter is at an instant, and who watches it. */
export function timelineStateAt(matter: MatterAt, course: Course): MatterState {
  const { responsibility, watches } = matter;
  const owners = positionsOf(responsibility.holders);
  const by = responsibility.holders[0]?.by ?? "nobody";
  const order = course.book.positions.map(({ id }) => id);
  const own = new Set([...owners, ...responsibility.possible]);
  const partners = owners.length > 0 ? fullyOn(matter, course) : order;
  const isOn = (id: string) => (turnedTo(matter, id) ?? 0) > 0.5;
  const watchers = order.filter((id) => isOn(id) && (own.has(id) || partners.includes(id)));
  const isKnown = (owners.length > 0 ? owners : order).every((id) => watches.get(id) != null);
  const hasOwn = owners.length === 0 || watchers.some((id) => own.has(id));
  if (watchers.length > 0) return { owners, by, watchers, state: hasOwn ? "watched" : "by-others" };
  return { owners, by, watchers, state: isKnown ? "gap" : "unknown" };
}

function isSame(a: MatterState, b: MatterState): boolean {
  return a.by === b.by && a.state === b.state && a.owners.join() === b.owners.join();
}
