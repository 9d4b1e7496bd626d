import type { Phase, Play } from "./records.ts";

/** A frame worth judging, on the clock of the play's own film, and why. */
export type ProposedMoment = { readonly phase: Phase; readonly playSec: number; readonly because: string };

/** Usual times after the snap: keys are held for under two seconds as a rule, zones from then on. Common practice. */
const keysSec = 1;
const zoneSec = 2.2;
/** Set, a moment before the ball moves. */
const setSec = 0.2;

/** The moments that a play's own times point to, in their order; none before its snap is known. */
export function proposedMoments(play: Play): ProposedMoment[] {
  const { snapSec, releaseSec, catchSec, deadSec, endSec } = play;
  if (snapSec === null) return [];
  const ballUntil = releaseSec ?? catchSec ?? deadSec ?? endSec;
  const landed = catchSec ?? deadSec;
  const found: ProposedMoment[] = [
    { phase: "pre-snap", playSec: Math.max(play.startSec, snapSec - setSec), because: "just before the snap" },
  ];
  const add = (phase: Phase, playSec: number, because: string) => found.push({ phase, playSec, because });
  if (snapSec + keysSec < ballUntil) add("keys", snapSec + keysSec, `${keysSec} s after the snap`);
  if (snapSec + zoneSec < ballUntil) add("zone", snapSec + zoneSec, `${zoneSec} s after the snap`);
  if (releaseSec !== null && landed !== null && landed > releaseSec)
    add("ball-away", (releaseSec + landed) / 2, "half way of the ball’s flight");
  if (catchSec !== null) add("catch", catchSec, "at the catch");
  if (deadSec !== null) add("dead-ball", deadSec, "when the ball was dead");
  return found;
}
