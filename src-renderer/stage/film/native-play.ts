import type { Play, PlayEvents } from "./film-player.ts";
import type { FilmReader } from "./film-reader.ts";
import { middleOf, tryNativePlayback } from "./native-playback.ts";

export type NativePlayParts = {
  readonly film: FilmReader;
  readonly video: HTMLVideoElement;
  readonly events: PlayEvents;
  /** The first frame after a start is on the video element. */
  readonly onPicture: () => void;
};

/** How long a start may take, or a picture stand still, before the browser counts as unable to play on. */
const startPatienceMs = 8_000;
const stallPatienceMs = 4_000;
const failure = "The browser cannot play this film on.";

/** Playing by the browser's video element, which reports each frame it puts on screen by the frame's timestamp. */
export function createNativePlay({ film, video, events, onPicture }: NativePlayParts): Play & {
  tryOut(): Promise<boolean>;
} {
  const disposal = new AbortController();
  let lastIndex = 0;
  let isRunning = false;
  /** Changes with every start and stop: callbacks of an earlier run are ignored. */
  let runNumber = 0;

  const onError = (): void => {
    if (!disposal.signal.aborted) events.onFailure(failure);
  };

  /**
   * The timestamp names the frame's start, up to the shift by which players round an edit list: take the frame whose
   * start is nearest, which no shift under half a frame can spoil.
   */
  const indexOf = (mediaTimeSec: number): number => {
    const before = film.frameAt(mediaTimeSec);
    const after = Math.min(before + 1, film.frameCount - 1);
    return film.timeOf(after) - mediaTimeSec < mediaTimeSec - film.timeOf(before) ? after : before;
  };

  const watch = (run: number, onFirst: () => void): void => {
    video.requestVideoFrameCallback((_now, { mediaTime }) => {
      if (run !== runNumber) return;
      // While a seek is under way the frames on screen are still those from before it.
      if (video.seeking) {
        watch(run, onFirst);
        return;
      }
      lastIndex = indexOf(mediaTime);
      onFirst();
      if (isRunning) events.onFrame(lastIndex);
      watch(run, () => undefined);
    });
  };

  /** Watches that the film moves: an element whose file stopped coming neither ends nor reports an error. */
  const guard = (run: number, patienceMs: () => number, onStill: () => void, onOver: () => void): void => {
    let reachedSec = NaN;
    let movedMs = performance.now();
    const timer = setInterval(() => {
      if (run === runNumber && isRunning) {
        // The browser may hold a film that nobody sees.
        if (video.currentTime !== reachedSec || document.hidden) {
          reachedSec = video.currentTime;
          movedMs = performance.now();
        }
        if (performance.now() - movedMs < patienceMs()) return;
        onStill();
      }
      clearInterval(timer);
      onOver();
    }, 250);
  };

  const onEnded = (): void => {
    if (isRunning) events.onEnd();
  };
  video.addEventListener("ended", onEnded);

  const seek = (frameIndex: number): void => {
    video.currentTime = middleOf(film, frameIndex);
  };

  return {
    async tryOut() {
      if (film.hasOpenGops) return false;
      video.muted = true;
      video.playsInline = true;
      const can = await tryNativePlayback(video, film.url, film, disposal.signal);
      if (can) video.addEventListener("error", onError);
      return can;
    },
    start(fromIndex) {
      const run = ++runNumber;
      isRunning = true;
      lastIndex = fromIndex;
      return new Promise((resolve) => {
        const fail = (): void => {
          if (run === runNumber && isRunning) events.onFailure(failure);
          resolve();
        };
        seek(fromIndex);
        let hasPicture = false;
        watch(run, () => {
          hasPicture = true;
          onPicture();
          resolve();
        });
        guard(run, () => (hasPicture ? stallPatienceMs : startPatienceMs), fail, resolve);
        video.play().catch((error: unknown) => {
          // A pause, or another start, before the picture moved is no failure.
          if (run !== runNumber || (error instanceof DOMException && error.name === "AbortError")) resolve();
          else fail();
        });
      });
    },
    async stop() {
      isRunning = false;
      video.pause();
      const run = runNumber;
      // A frame already on its way to the screen is reported with the next paint or the one after.
      await nextPaint();
      await nextPaint();
      if (run === runNumber) runNumber++;
      return lastIndex;
    },
    seek,
    // The last picture stays on screen while the browser seeks, which takes longer than a frame.
    turnBack: seek,
    setRate(rate) {
      video.defaultPlaybackRate = rate;
      video.playbackRate = rate;
    },
    dispose() {
      isRunning = false;
      runNumber++;
      disposal.abort();
      video.removeEventListener("ended", onEnded);
      video.removeEventListener("error", onError);
      video.pause();
      video.removeAttribute("src");
      video.load();
    },
  };
}

function nextPaint(): Promise<void> {
  return new Promise((resolve) => {
    // A window in the background paints nothing: do not wait for it longer than a paint takes.
    const timer = setTimeout(resolve, 50);
    requestAnimationFrame(() => {
      clearTimeout(timer);
      resolve();
    });
  });
}
