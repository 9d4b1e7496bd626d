import { useEffect, useRef } from "react";
import type { GameCache, GameState } from "./game-cache.ts";
import { actionOf, type KeyRow } from "./keys.ts";

export type PlaceActions = Record<string, (() => unknown) | undefined>;

/**
 * The keys of a place, as `keys.ts` lists them. `first` is asked before a key is looked up there, outside of fields, and
 * answers whether it was meant for it.
 */
export function usePlaceKeys(
  place: NonNullable<KeyRow["place"]>,
  run: PlaceActions,
  first: (event: KeyboardEvent) => boolean = () => false,
): void {
  const latest = useRef({ run, first });
  latest.current = { run, first };
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.defaultPrevented) return;
      const target = event.target instanceof HTMLElement ? event.target : null;
      const inField = target?.closest("input:not([type=checkbox]), textarea, select, dialog");
      if (!inField && latest.current.first(event)) return event.preventDefault();
      const action = actionOf(event, place);
      if (!action || (inField && action !== "undo" && action !== "redo")) return;
      // The space bar and Enter belong to a control that has the focus.
      if (target?.closest("button, input, summary, [role=slider]") && (event.key === " " || event.key === "Enter"))
        return;
      const act = latest.current.run[action];
      if (!act) return;
      event.preventDefault();
      void act();
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, [place]);
}

export function historyActions(
  cache: GameCache,
  { history }: GameState,
  attempt: <T>(work: () => Promise<T>) => Promise<T | null>,
): PlaceActions {
  return {
    undo: () => history.undo !== null && attempt(() => cache.undo()),
    redo: () => history.redo !== null && attempt(() => cache.redo()),
  };
}
