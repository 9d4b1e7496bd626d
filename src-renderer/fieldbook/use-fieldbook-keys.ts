import { type RefObject, useMemo } from "react";
import { markingLetters, otherSideOf, sideLetter } from "#core/game/marking-letters";
import { subjectName } from "#core/picture/mark-glyph";
import { keyOf } from "../app/keys.ts";
import { historyActions, type PlaceActions, usePlaceKeys } from "../app/use-place-keys.ts";
import { filmActions } from "../stage/film/film-actions.ts";
import type { FilmPlayer } from "../stage/film/film-player.ts";
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
  const run: PlaceActions = {
    ...filmActions(player),
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
    ...historyActions(cache, state, fieldbook.attempt),
  };
  usePlaceKeys("fieldbook", run, (event) => placeByLetter(keyOf(event)));
}
