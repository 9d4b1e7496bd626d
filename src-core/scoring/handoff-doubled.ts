import { wholeCrew } from "./finding.ts";
import type { Course, MatterAt } from "./handoff-course.ts";
import {
  gapOf,
  isOwn,
  type Judged,
  judgedOf,
  lengthOf,
  lengthWords,
  liveAt,
  mattersAt,
  nameOf,
  turnedTo,
} from "./handoff-lapse.ts";
import { runsOf } from "./handoff-lengths.ts";

type Doubled = {
  readonly on: MatterAt;
  readonly pair: readonly [string, string];
  readonly free: MatterAt;
  readonly probability: number;
};

/** The player of A that an official is turned to most nearly, with full attention; null where there is none. */
function targetOf(course: Course, position: string, time: number): MatterAt | null {
  let best: { readonly matter: MatterAt; readonly off: number } | null = null;
  for (const matter of mattersAt(course, time)) {
    const watch = matter.watches.get(position);
    if (!watch || watch.offDegrees > Math.min(course.look.attentionDegrees.full, watch.limitDegrees)) continue;
    if (best === null || watch.offDegrees < best.off) best = { matter, off: watch.offDegrees };
  }
  return best?.matter ?? null;
}

/**
 * Two officials who are turned to the same player and to no other matter, while two opponents elsewhere have nobody; two of
 * whom neither has those others comes before a pair of which one does, whose own finding says it better.
 */
function doubledAt(course: Course, time: number): Doubled | null {
  const phase = course.phaseAt(time);
  if (phase !== "keys" && phase !== "zone") return null;
  const live = liveAt(course, time);
  const targets = course.book.positions.map(({ id }) => ({ id, target: targetOf(course, id, time) }));
  const found: Doubled[] = [];
  for (const free of live) {
    // Who is not known to face anywhere may have it.
    if ([...free.watches.values()].some((watch) => watch === null)) continue;
    const nobody = [...free.watches.values()].reduce((none, watch) => none * (1 - (watch?.probability ?? 1)), 1);
    const idlers = targets.filter(({ id, target }) =>
      live.every((other) => other.player.track === target?.player.track || (turnedTo(other, id) ?? 0) <= 0.5),
    );
    for (const [index, { id, target }] of idlers.entries()) {
      const second = idlers
        .slice(index + 1)
        .find((other) => target && other.target?.player.track === target.player.track);
      if (!target || !second || target.player.track === free.player.track) continue;
      const sure = Math.min(turnedTo(target, id) ?? 0, turnedTo(target, second.id) ?? 0);
      found.push({ on: target, pair: [id, second.id], free, probability: free.probabilityLive * nobody * sure });
    }
  }
  const rank = ({ pair, free, probability }: Doubled) =>
    probability > 0.5 && !pair.some((position) => isOwn(free, position)) ? 1 + probability : probability;
  return found.toSorted((a, b) => rank(b) - rank(a))[0] ?? null;
}

export function doubledFindings(course: Course): Judged[] {
  const rule = gapOf(course, "doubled");
  if (!rule) return [];
  const runs = runsOf(course.times, 0, (time) => doubledAt(course, time)?.probability ?? 0);
  return runs.flatMap((run): Judged[] => {
    const doubled = doubledAt(course, course.times[run.last] ?? 0);
    if (!doubled) return [];
    const { on, pair, free } = doubled;
    const length = lengthOf(run, rule.gapSec);
    const owner = pair.find((position) => isOwn(free, position));
    const [what, left] = [nameOf(on, course), nameOf(free, course)];
    const gap = lengthWords(length.lengthSec);
    return [
      judgedOf(course, {
        rank: "doubled",
        ruleId: rule.ruleId,
        asks: rule.asks,
        position: owner ?? wholeCrew,
        phase: course.phaseAt(course.times[run.last] ?? 0),
        probabilityMet: 1 - length.probabilityLonger,
        sentences: {
          met: `${pair[0]} and ${pair[1]} were both on ${what} for less than ${rule.gapSec} s.`,
          missed: `${pair[0]} and ${pair[1]} were both on ${what} for ${gap}, and nobody had ${left}.`,
          unsure: `${pair[0]} and ${pair[1]} were both on ${what} for ${gap}, and nobody had ${left}: the moments are too far apart to tell whether that is longer than ${rule.gapSec} s.`,
        },
        matter: free,
        lengthSec: length.lengthSec,
        allowedSec: rule.gapSec,
        fromSec: length.fromSec,
        toSec: length.toSec,
      }),
    ];
  });
}
