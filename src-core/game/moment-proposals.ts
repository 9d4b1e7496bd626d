import { playSecOf } from "./angles.ts";
import type { GameRecords, Moment, Phase, Play } from "./records.ts";

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

/** A stop on the way through a play: a moment that is there, or one that is proposed. On the clock of the play's own film. */
export type Stop = {
  readonly playSec: number;
  readonly phase: Phase;
  readonly moment: Moment | null;
  readonly because: string | null;
};

/** The moments of a play and, for each phase that has none yet, the one that is proposed, in the order of time. */
export function stopsOf(records: Pick<GameRecords, "angles" | "moments">, play: Play): Stop[] {
  const own = records.moments.filter(({ playId }) => playId === play.id);
  const open = proposedMoments(play).filter(({ phase }) => own.every((moment) => moment.phase !== phase));
  return [
    ...own.map((moment): Stop => ({
      playSec: playSecOf(play, records.angles, moment),
      phase: moment.phase,
      moment,
      because: null,
    })),
    ...open.map(({ phase, playSec, because }): Stop => ({ playSec, phase, moment: null, because })),
  ].toSorted((a, b) => a.playSec - b.playSec);
}
