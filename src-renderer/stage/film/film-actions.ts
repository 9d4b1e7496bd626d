import { type FilmLoop, type FilmPlayer, nextRate } from "./film-player.ts";

/** What the film's keys do, by their ids in the window's list of keys. */
export function filmActions(player: FilmPlayer | null): Record<string, () => unknown> {
  return {
    play: () => player?.toggle(),
    "frame-back": () => player?.step(-1),
    "frame-on": () => player?.step(1),
    "ten-back": () => player?.step(-10),
    "ten-on": () => player?.step(10),
    "second-back": () => player?.stepTime(-1),
    "second-on": () => player?.stepTime(1),
    slower: () => player?.setRate(nextRate(player.getState().rate, -1)),
    faster: () => player?.setRate(nextRate(player.getState().rate, 1)),
  };
}

/** Runs a stretch over and over, or ends that. Without a stretch there is only something to end. */
export function toggleLoop(player: FilmPlayer | null, stretch: FilmLoop | null): void {
  if (player?.getState().loop) player.setLoop(null);
  else if (player && stretch) {
    player.setLoop({ startSec: stretch.startSec, endSec: stretch.endSec });
    void player.play();
  }
}
