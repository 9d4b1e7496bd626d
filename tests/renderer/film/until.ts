import type { FilmPlayer, PlayerState } from "../../../src-renderer/stage/film/film-player.ts";

/** The first state of the player, from now on, for which this holds. */
export function until(player: FilmPlayer, holds: (state: PlayerState) => boolean): Promise<PlayerState> {
  return new Promise((resolve) => {
    const check = (): void => {
      if (!holds(player.getState())) return;
      stop();
      resolve(player.getState());
    };
    const stop = player.subscribe(check);
    check();
  });
}
