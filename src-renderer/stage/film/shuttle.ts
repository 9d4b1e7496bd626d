import type { FrameIndex } from "./frame-index.ts";
import type { FilmPlayer } from "./film-player.ts";

/** Runs the film by decoded frames at a rate that may change or turn at any time: 1 as filmed, −1 backward, 0 stands. */
export type Shuttle = { run(rate: number): Promise<void>; stop(): void };

const tickMs = 8;

/** Frames that take longer than the rate leaves them are left out, so that the rate is kept. */
export function createShuttle(
  film: Pick<FrameIndex, "frameAt" | "timeOf" | "durationSec">,
  player: Pick<FilmPlayer, "getState" | "pause" | "step">,
): Shuttle {
  let rate = 0;
  let isRunning = false;

  const loop = async (): Promise<void> => {
    await player.pause();
    let atSec = player.getState().timeSec;
    let frame = player.getState().frameIndex;
    let lastMs = performance.now();
    while (rate !== 0) {
      await new Promise((resolve) => setTimeout(resolve, tickMs));
      const state = player.getState();
      // Played, or gone elsewhere, in between: whoever did so has the film now.
      if (state.mode === "playing" || state.frameIndex !== frame) break;
      const nowMs = performance.now();
      atSec = Math.min(film.durationSec, Math.max(0, atSec + (rate * (nowMs - lastMs)) / 1000));
      lastMs = nowMs;
      const due = film.frameAt(atSec);
      if (due === frame) continue;
      await player.step(due - frame);
      const { frameIndex } = player.getState();
      if (frameIndex !== due && frameIndex !== frame) break;
      frame = frameIndex;
    }
    rate = 0;
  };

  return {
    async run(next) {
      rate = next;
      if (isRunning || next === 0) return;
      isRunning = true;
      await loop();
      isRunning = false;
    },
    stop() {
      rate = 0;
    },
  };
}
