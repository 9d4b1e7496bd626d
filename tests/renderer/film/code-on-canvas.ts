import { openFilm, type FilmReader } from "../../../src-renderer/stage/film/film-reader.ts";
import { readCode } from "../../helpers/block-code.ts";

/** The number burnt into the frame that a canvas shows, or null when it shows none. */
export function codeOn(canvas: HTMLCanvasElement): number | null {
  const context = canvas.getContext("2d");
  if (context === null || canvas.width === 0) return null;
  return readCode(context.getImageData(0, 0, canvas.width, canvas.height));
}

/** The number burnt into the frame that a video element shows now. */
export function codeOnVideo(video: HTMLVideoElement): number | null {
  const canvas = document.createElement("canvas");
  canvas.width = video.videoWidth;
  canvas.height = video.videoHeight;
  canvas.getContext("2d")?.drawImage(video, 0, 0);
  return codeOn(canvas);
}

/** Opens a test clip; throws when it does not open. */
export async function openClip(name: string, budgetBytes?: number): Promise<FilmReader> {
  const opened = await openFilm(`/film/${name}`, budgetBytes === undefined ? {} : { budgetBytes });
  if (!opened.ok) throw new Error(`${name}: ${opened.message}`);
  return opened.film;
}

/** Marsaglia's xorshift32: numbers in [0, 1), the same ones every time, so that a failure can be repeated. */
export function seededRandom(seed: number): () => number {
  let state = seed;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}
