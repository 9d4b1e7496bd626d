import { type RefObject, useEffect, useRef } from "react";
import type { Down, PlayEnd } from "#core/game/records";
import { actionOf } from "../app/keys.ts";
import { resultOf } from "../app/situation-form.tsx";
import { nextRate } from "../stage/film/film-player.ts";
import { toggleWholeScreen } from "../stage/film/whole-screen.ts";
import type { Breakdown } from "./use-breakdown.ts";

/** The keys of the Breakdown, as `app/keys.ts` lists them. */
export function useBreakdownKeys(breakdown: Breakdown, place: RefObject<HTMLDivElement | null>): void {
  const { cache, state, player, play, proposals, attempt, setTime, changePlay, openPlay } = breakdown;
  const setDown = (down: Down) => changePlay("Down", (one) => ({ ...one, situation: { ...one.situation, down } }));
  const setEnd = (kind: PlayEnd) => changePlay("End", (one) => ({ ...one, result: resultOf(kind, one) }));
  const focusField = (name: string) =>
    place.current?.querySelector<HTMLInputElement>(`[data-field="${name}"] input`)?.focus();

  const run: Record<string, (() => unknown) | undefined> = {
    play: () => player?.toggle(),
    "frame-back": () => player?.step(-1),
    "frame-on": () => player?.step(1),
    "ten-back": () => player?.step(-10),
    "ten-on": () => player?.step(10),
    "second-back": () => player?.stepTime(-1),
    "second-on": () => player?.stepTime(1),
    slower: () => player?.setRate(nextRate(player.getState().rate, -1)),
    faster: () => player?.setRate(nextRate(player.getState().rate, 1)),
    "whole-screen": () => attempt(() => toggleWholeScreen(place.current?.querySelector(".breakdown-film") ?? null)),
    "next-angle": breakdown.goToNextAngle,
    "play-before": () => breakdown.goToNeighbour(-1),
    "play-after": () => breakdown.goToNeighbour(1),
    "time-start": () => setTime("start"),
    "time-snap": () => setTime("snap"),
    "time-release": () => setTime("release"),
    "time-catch": () => setTime("catch"),
    "time-dead": () => setTime("dead"),
    "time-end": () => setTime("end"),
    "down-1": () => setDown(1),
    "down-2": () => setDown(2),
    "down-3": () => setDown(3),
    "down-4": () => setDown(4),
    distance: () => focusField("distance"),
    gain: () => focusField("gain"),
    incomplete: () => setEnd("incomplete"),
    score: () => setEnd("score"),
    "take-proposal": breakdown.takeProposal,
    "proposal-take": proposals.chosen ? proposals.take : undefined,
    "proposal-take-all": proposals.chosen ? proposals.takeAll : undefined,
    "proposal-refuse": proposals.chosen ? proposals.refuse : undefined,
    "proposal-before": proposals.chosen ? () => proposals.walk(-1) : undefined,
    "proposal-after": proposals.chosen ? () => proposals.walk(1) : undefined,
    "open-fieldbook": () => play && openPlay(play),
    undo: () => state.history.undo !== null && attempt(() => cache.undo()),
    redo: () => state.history.redo !== null && attempt(() => cache.redo()),
  };
  const latest = useRef(run);
  latest.current = run;
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const target = event.target instanceof HTMLElement ? event.target : null;
      const inField = target?.closest("input:not([type=checkbox]), textarea, select, dialog");
      const action = actionOf(event, "breakdown");
      if (!action || event.defaultPrevented || (inField && action !== "undo" && action !== "redo")) return;
      // The space bar and Enter belong to a control that has the focus.
      if (target?.closest("button, [role=slider]") && (event.key === " " || event.key === "Enter")) return;
      const act = latest.current[action];
      if (!act) return;
      event.preventDefault();
      void act();
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, []);
}
