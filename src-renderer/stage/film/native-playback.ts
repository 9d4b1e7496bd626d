import type { FrameIndex } from "./frame-index.ts";

/** How long a browser may take over one seek before it counts as unable to play the film. */
const patienceMs = 8_000;

/** The middle of a frame's interval: the one time at which a seek by the browser lands on it in ordinary files. */
export function middleOf(index: FrameIndex, frameIndex: number): number {
  const startSec = index.timeOf(frameIndex);
  const endSec = frameIndex + 1 < index.frameCount ? index.timeOf(frameIndex + 1) : index.durationSec;
  return endSec > startSec ? (startSec + endSec) / 2 : startSec + 0.001;
}

/**
 * Whether the browser's own player shows this film: it has a picture, and it survives a seek. What the file says about
 * itself does not tell (a file can load with sound only, or die on its first seek), so both are tried. The element is
 * left loaded and paused on success, and may be used for playing.
 */
export async function tryNativePlayback(
  video: HTMLVideoElement,
  url: string,
  index: FrameIndex,
  signal: AbortSignal,
): Promise<boolean> {
  video.preload = "auto";
  video.src = url;
  if (!(await happens(video, "loadeddata", signal)) || video.videoWidth === 0) return false;
  video.currentTime = middleOf(index, Math.floor(index.frameCount / 2));
  return (await happens(video, "seeked", signal)) && video.error === null;
}

/** Resolves true on the event; false on an error of the element, an abort, or after the patience. */
function happens(video: HTMLVideoElement, name: "loadeddata" | "seeked", signal: AbortSignal): Promise<boolean> {
  return new Promise((resolve) => {
    const end = (happened: boolean): void => {
      clearTimeout(timer);
      video.removeEventListener(name, onEvent);
      video.removeEventListener("error", onFailure);
      signal.removeEventListener("abort", onFailure);
      resolve(happened);
    };
    const onEvent = (): void => end(true);
    const onFailure = (): void => end(false);
    const timer = setTimeout(onFailure, patienceMs);
    video.addEventListener(name, onEvent);
    video.addEventListener("error", onFailure);
    signal.addEventListener("abort", onFailure);
    if (signal.aborted || video.error !== null) end(false);
  });
}
