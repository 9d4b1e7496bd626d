import type { Play, PlayEvents } from "./film-player.ts";
import type { FilmReader } from "./film-reader.ts";

export type SteppedPlayParts = {
  readonly film: FilmReader;
  readonly canvas: HTMLCanvasElement;
  readonly events: PlayEvents;
};

/** A picture later than this slows the clock down: the film plays slower instead of leaving frames out. */
const lagLimitSec = 0.1;

/** Playing by decoded frames on the canvas, for films that the browser's own player refuses. Without sound. */
export function createSteppedPlay({ film, canvas, events }: SteppedPlayParts): Play {
  let rate = 1;
  let runNumber = 0;
  let lastIndex = 0;
  /** The film's time now is `anchorSec` plus what has passed since `anchorMs`, at the rate. */
  let anchorSec = 0;
  let anchorMs = 0;
  /** Where to go when the frame on screen had its time, or null. */
  let turnIndex: number | null = null;

  const nowSec = (): number => anchorSec + ((performance.now() - anchorMs) / 1000) * rate;

  const anchor = (timeSec: number): void => {
    anchorSec = timeSec;
    anchorMs = performance.now();
  };

  const loop = async (run: number): Promise<void> => {
    while (run === runNumber) {
      await new Promise((resolve) => setTimeout(resolve, 4));
      if (run !== runNumber) return;
      const isOver = nowSec() >= film.durationSec && lastIndex === film.frameCount - 1;
      const hadItsTime = isOver || film.frameAt(nowSec()) !== lastIndex;
      if (!hadItsTime) continue;
      if (turnIndex !== null) {
        lastIndex = turnIndex - 1;
        anchor(film.timeOf(turnIndex));
        turnIndex = null;
      } else if (isOver) {
        runNumber++;
        events.onEnd();
        return;
      }
      const due = film.frameAt(nowSec());
      const isLate = due > lastIndex + 1 && nowSec() - film.timeOf(lastIndex + 1) > lagLimitSec * Math.max(1, rate);
      const wanted = isLate ? lastIndex + 1 : due;
      const result = await film.show(wanted, canvas);
      if (run !== runNumber) return;
      // A frame that cannot be decoded is left out; a film that cannot be read on ends the playing.
      if (result.kind === "failed" && result.of === "film") {
        runNumber++;
        events.onFailure(result.message);
        return;
      }
      lastIndex = wanted;
      if (isLate || result.kind !== "shown") anchor(film.timeOf(wanted));
      events.onFrame(wanted);
    }
  };

  return {
    async start(fromIndex) {
      const run = ++runNumber;
      turnIndex = null;
      const result = await film.show(fromIndex, canvas);
      if (run !== runNumber) return;
      if (result.kind === "failed" && result.of === "film") {
        runNumber++;
        events.onFailure(result.message);
        return;
      }
      lastIndex = fromIndex;
      anchor(film.timeOf(fromIndex));
      events.onFrame(fromIndex);
      void loop(run);
    },
    async stop() {
      runNumber++;
      return lastIndex;
    },
    seek(frameIndex) {
      turnIndex = null;
      lastIndex = frameIndex;
      anchor(film.timeOf(frameIndex));
      void film.show(frameIndex, canvas);
    },
    turnBack(frameIndex) {
      turnIndex = frameIndex;
    },
    setRate(next) {
      if (runNumber > 0) anchor(nowSec());
      rate = next;
    },
    dispose() {
      runNumber++;
    },
  };
}
