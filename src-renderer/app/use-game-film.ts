import { useCallback, useMemo, useState, useSyncExternalStore } from "react";
import { inOrder } from "#core/game/angles";
import { pausedState } from "../stage/film/film-player.ts";
import { openNextAt, useFilm } from "../stage/film/use-film.ts";
import type { GameCache, GameState } from "./game-cache.ts";

const still = pausedState(0, 0);
const nothing = () => () => {};

/**
 * The film of a game that is in view, open on the place's two surfaces, and the way to an instant of any of its films. Where it is
 * not shown for a while it is closed, for its frames take most of the window's memory; it opens again where it was left.
 */
export function useGameFilm(cache: GameCache, { records, filmStates }: GameState, isShown = true) {
  const films = useMemo(() => inOrder(records.films), [records.films]);
  const [filmId, setFilmId] = useState<string | null>(cache.filmInView);
  const film = films.find(({ id }) => id === filmId) ?? films[0] ?? null;
  const filmState = filmStates.find((one) => one.filmId === film?.id)?.state ?? "present";
  const { canvas, video, opened } = useFilm(film, filmState === "present" && isShown);
  const player = opened.kind === "open" ? opened.player : null;
  const playerState = useSyncExternalStore(player?.subscribe ?? nothing, player ? player.getState : () => still);
  const showFilm = useCallback(
    (id: string, sec?: number) => {
      if (sec !== undefined) openNextAt(id, sec);
      setFilmId(id);
      cache.filmInView = id;
    },
    [cache],
  );
  const shownId = film?.id;
  const goToInstant = useCallback(
    async (id: string, sec: number) => {
      if (id === shownId && player) await player.seekTime(sec);
      else showFilm(id, sec);
    },
    [player, showFilm, shownId],
  );
  return { films, film, filmState, canvas, video, opened, player, playerState, showFilm, goToInstant };
}
