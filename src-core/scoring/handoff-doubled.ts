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

/** Two officials who are turned to one player and to no other matter, while two opponents elsewhere have nobody. */
function doubledAt(course: Course, time: number): Doubled | null {
  const phase = course.phaseAt(time);
  if (phase !== "keys" && phase !== "zone") return null;
  const live = liveAt(course, time);
  const isOn = (matter: MatterAt, position: string) => (turnedTo(matter, position) ?? 0) > 0.5;
  let worst: Doubled | null = null;
  for (const free of live) {
    // Who is not known to face anywhere may have it.
    if ([...free.watches.values()].some((watch) => watch === null)) continue;
    const nobody = [...free.watches.values()].reduce((none, watch) => none * (1 - (watch?.probability ?? 1)), 1);
    for (const on of course.players.flatMap((track) => course.matterAt(track, time) ?? [])) {
      if (on.player.track.id === free.player.track.id) continue;
      const both = course.book.positions
        .map(({ id }) => id)
        .filter((id) => isOn(on, id) && live.every((other) => other === on || !isOn(other, id)));
      const [a, b] = both;
      if (a === undefined || b === undefined) continue;
      const sure = Math.min(turnedTo(on, a) ?? 0, turnedTo(on, b) ?? 0);
      const probability = free.probabilityLive * nobody * sure;
      if (worst === null || probability > worst.probability) worst = { on, pair: [a, b], free, probability };
    }
  }
  return worst;
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
