import { useEffect, useRef } from "react";
import type { Play } from "#core/game/records";
import type { RecordsGiven } from "#core/scoring/judge-play";
import { judgeAndKeep, type RecordsOfPlays } from "#core/scoring/kept-judgements";

/** Judges the plays before and after this one while the window has nothing else to do, so that going there is not waited for. */
export function useJudgedBeside(
  play: Play | null,
  plays: readonly Play[],
  given: (RecordsGiven & { readonly ofPlays: RecordsOfPlays }) | null,
): void {
  const latest = useRef(given);
  latest.current = given;
  const ofPlays = given?.ofPlays;
  const number = play?.number;
  useEffect(() => {
    if (number === undefined || ofPlays === undefined) return;
    const beside = [1, -1].flatMap((way) => plays.filter((one) => one.number === number + way));
    let waiting = 0;
    const judgeNext = () => {
      const one = beside.shift();
      if (!one || !latest.current) return;
      judgeAndKeep(ofPlays, one, latest.current);
      waiting = requestIdleCallback(judgeNext);
    };
    waiting = requestIdleCallback(judgeNext);
    return () => cancelIdleCallback(waiting);
  }, [number, plays, ofPlays]);
}
