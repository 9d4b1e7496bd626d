import { type RefObject, useEffect, useMemo, useRef } from "react";
import { markingLetters, otherSideOf, sideLetter } from "#core/game/marking-letters";
import { subjectName } from "#core/picture/mark-glyph";
import { actionOf, keyOf } from "../app/keys.ts";
import { type FilmPlayer, nextRate } from "../stage/film/film-player.ts";
import { toggleWholeScreen } from "../stage/film/whole-screen.ts";
import type { FilmPaneHandle } from "./film-pane.tsx";
import type { FilmWalk } from "./use-film-walk.ts";
import type { Fieldbook } from "./use-fieldbook.ts";

/** The keys of the field book, as `app/keys.ts` lists them, and the letters of people on the Marks page. */
export function useFieldbookKeys(
  fieldbook: Fieldbook,
  {
    player,
    pane,
    filmSide,
    walk,
  }: {
    readonly player: FilmPlayer | null;
    readonly pane: RefObject<FilmPaneHandle | null>;
    /** What takes the whole screen. */
    readonly filmSide: RefObject<HTMLElement | null>;
    readonly walk: FilmWalk;
  },
): void {
  const { cache, state, records, page, setPage, here, chosen, choose, readOnly, book } = fieldbook;
  const letters = useMemo(() => markingLetters((book?.positions ?? []).map(({ id }) => id)), [book]);

  const placeByLetter = (letter: string): boolean => {
    const subject = letters.get(letter);
    if (page !== "marks" || readOnly || (!subject && letter !== sideLetter)) return false;
    fieldbook.ghosts.choose(null);
    const at = pane.current?.pointer();
    if (subject?.kind === "official" && at && here) void fieldbook.markAt(at, subject);
    else fieldbook.setPen(subject ?? otherSideOf(fieldbook.pen));
    return true;
  };
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
    loop: walk.toggleLoop,
    "play-before": () => walk.goToPlay(-1),
    "play-after": () => walk.goToPlay(1),
    "next-angle": walk.nextAngle,
    "moment-before": () => walk.goToStop(-1),
    "moment-after": () => walk.goToStop(1),
    "whole-screen": () => fieldbook.attempt(() => toggleWholeScreen(filmSide.current)),
    "zoom-in": () => pane.current?.zoom(1.5),
    "zoom-out": () => pane.current?.zoom(1 / 1.5),
    "zoom-fit": () => pane.current?.fit(),
    "page-play": () => setPage("play"),
    "page-survey": () => setPage("survey"),
    "page-marks": () => setPage("marks"),
    "page-findings": () => setPage("findings"),
    delete: () => chosen && !readOnly && fieldbook.takeAway(chosen),
    facing: () => {
      const at = pane.current?.pointer();
      const mark = chosen?.kind === "mark" ? records.marks.find((candidate) => candidate.id === chosen.id) : undefined;
      if (mark && at && !readOnly) void fieldbook.face(mark, at);
    },
    "ghost-take": () => {
      const { next } = fieldbook.ghosts;
      if (next && !readOnly) void fieldbook.placeGhosts(`Bring ${subjectName(next.subject)} over`, [next]);
    },
    "ghost-all": () => !readOnly && fieldbook.placeGhosts("Bring everybody over", fieldbook.ghosts.list),
    "ghost-skip": () => fieldbook.ghosts.next && fieldbook.ghosts.leaveOut(fieldbook.ghosts.next.id),
    "ghost-follow": () => {
      const { following } = fieldbook.ghosts;
      if (following.possible) void following.start();
    },
    "let-go": () => {
      choose(null);
      fieldbook.chooseTarget(null);
      fieldbook.setUnnamedClick(null);
    },
    undo: () => state.history.undo !== null && fieldbook.attempt(() => cache.undo()),
    redo: () => state.history.redo !== null && fieldbook.attempt(() => cache.redo()),
  };
  const latest = useRef({ run, placeByLetter });
  latest.current = { run, placeByLetter };
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.defaultPrevented) return;
      const target = event.target instanceof HTMLElement ? event.target : null;
      const inField = target?.closest("input:not([type=checkbox]), textarea, select, dialog");
      if (!inField && latest.current.placeByLetter(keyOf(event))) return event.preventDefault();
      const action = actionOf(event, "fieldbook");
      if (!action || (inField && action !== "undo" && action !== "redo")) return;
      // The space bar and Enter belong to a control that has the focus.
      if (target?.closest("button, input, summary") && (event.key === " " || event.key === "Enter")) return;
      const act = latest.current.run[action];
      if (!act) return;
      event.preventDefault();
      void act();
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, []);
}
