import type { WorkingScale } from "#core/carry/anchor-picture";
import type { GreyImage } from "#core/carry/grey-image";
import type { FilmFrames } from "../film/film-reader.ts";
import { workingPicture } from "./luma.ts";

/**
 * Working pictures of successive frames; fewer than asked for only where the film ends. The film is let go of at the end.
 * `factorOf` says how many film pixels make one of the working picture, given the film's width.
 */
export async function workingGreys(
  film: FilmFrames,
  firstIndex: number,
  count: number,
  factorOf: (filmWidthPx: number) => number,
  step: () => void,
): Promise<{ readonly greys: readonly GreyImage[]; readonly scale: WorkingScale }> {
  const greys: GreyImage[] = [];
  let scale: WorkingScale | null = null;
  const run = film.source.run(firstIndex);
  try {
    while (greys.length < count) {
      const frame = await run.next();
      if (frame === null) break;
      try {
        const read = await workingPicture(frame.sample, factorOf);
        scale ??= read.scale;
        const [first] = greys;
        if (first !== undefined && first.data.length !== read.picture.data.length) {
          throw new Error("The film's picture changes its size within this play; it cannot be followed over that.");
        }
        // A frame that the decoder leaves out keeps the picture before it.
        while (greys.length < Math.min(count, frame.frameIndex - firstIndex)) greys.push(greys.at(-1) ?? read.picture);
        if (greys.length < count) greys.push(read.picture);
      } finally {
        frame.sample.close();
      }
      step();
    }
  } finally {
    run.stop();
    film.dispose();
  }
  if (scale === null) throw new Error("No picture of this play can be decoded.");
  return { greys, scale };
}
