import { demoPlays } from "./demo-plays.ts";
import { stopSec } from "./play-sheet.ts";
import type { Actor, Gaze, Leg, Play, Spot } from "./script.ts";

/**
 * Three plays of the demo film one after another before a camera that never stops: between them everybody lets up, walks
 * to the next formation and stands there. Written as one long play, whose clock starts at the first snap.
 */

/** Snaps, seconds from the first; people stand set for some seconds before each. */
export const continuousSnapsSec = [0, 16, 32] as const;

const parts = demoPlays.slice(0, 3);
/** Everybody has let up so long after the flag is pulled, and then walks. Seconds, yards a second. */
const walkAfterSec = 2;
const walkYardsPerSec = 2.6;

/** When each of the three is over: the flag is pulled. Seconds from the first snap. */
export const continuousPullsSec = parts.map(({ ball }, i) => continuousSnapsSec[i]! + ball.pullSec);

function moved(spot: Spot, byYards: number): Spot {
  return { ...spot, depth: spot.depth + byYards };
}

function actorOver(first: Actor): Actor {
  const legs: Leg[] = [];
  const gazes: Gaze[] = [];
  for (const [i, part] of parts.entries()) {
    const actor = part.actors.find(({ id }) => id === first.id);
    if (!actor) throw new Error(`${first.id} is not in play ${part.number}`);
    const snapSec = continuousSnapsSec[i]!;
    const alongYards = part.situation.scrimmageXYards - parts[0]!.situation.scrimmageXYards;
    for (const leg of actor.legs) {
      const later = { ...leg, fromSec: snapSec + leg.fromSec };
      legs.push(later.kind === "to" ? { ...later, spot: moved(later.spot, alongYards) } : later);
    }
    for (const gaze of actor.gazes) {
      // How one faces before the snap counts once one has walked there.
      const fromSec = gaze.fromSec < 0 && i > 0 ? snapSec - 2 : snapSec + gaze.fromSec;
      gazes.push(
        gaze.kind === "spot" ? { ...gaze, fromSec, spot: moved(gaze.spot, alongYards) } : { ...gaze, fromSec },
      );
    }
    const next = parts[i + 1];
    const there = next?.actors.find(({ id }) => id === first.id);
    if (!next || !there) continue;
    const fromSec = snapSec + stopSec(part.ball) + walkAfterSec;
    const nextYards = next.situation.scrimmageXYards - parts[0]!.situation.scrimmageXYards;
    legs.push({ kind: "to", fromSec, speedYardsPerSec: walkYardsPerSec, spot: moved(there.start, nextYards) });
    gazes.push({ kind: "travel", fromSec });
  }
  return { ...first, legs, gazes };
}

const [opening] = parts;
if (!opening) throw new Error("the demo film has no plays");

export const continuousPlay: Play = {
  ...opening,
  beforeSnapSec: 4,
  afterSnapSec: 42,
  actors: opening.actors.map(actorOver),
  moments: [],
  faults: [],
};
