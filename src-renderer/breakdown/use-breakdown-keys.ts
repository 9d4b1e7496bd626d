import type { RefObject } from "react";
import type { Down, PlayEnd } from "#core/game/records";
import { resultOf } from "../app/situation-form.tsx";
import { historyActions, type PlaceActions, usePlaceKeys } from "../app/use-place-keys.ts";
import { filmActions } from "../stage/film/film-actions.ts";
import { toggleWholeScreen } from "../stage/film/whole-screen.ts";
import type { Breakdown } from "./use-breakdown.ts";

/** The keys of the Breakdown, as `app/keys.ts` lists them. */
export function useBreakdownKeys(breakdown: Breakdown, place: RefObject<HTMLDivElement | null>): void {
  const { cache, state, player, play, proposals, attempt, setTime, changePlay, openPlay } = breakdown;
  const setDown = (down: Down) => changePlay("Down", (one) => ({ ...one, situation: { ...one.situation, down } }));
  const setEnd = (kind: PlayEnd) => changePlay("End", (one) => ({ ...one, result: resultOf(kind, one) }));
  const focusField = (name: string) =>
    place.current?.querySelector<HTMLInputElement>(`[data-field="${name}"] input`)?.focus();

  const run: PlaceActions = {
    ...filmActions(player),
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
    ...historyActions(cache, state, attempt),
  };
  usePlaceKeys("breakdown", run);
}
