import { type Homography, projectThroughInverse, projectToImage } from "./homography.ts";
import { bend, type Lens, straighten } from "./lens.ts";
import type { ImageSize } from "./camera.ts";
import type { FieldPoint, ImagePoint } from "./units.ts";

/** What of a survey takes points from the field to the film's own pixels and back: the map, and the lens before it. */
export type Seeing = {
  readonly homography: Homography;
  readonly inverse: Homography;
  readonly image: ImageSize;
  /** What the film's lens bends; left out where it counts as straight. */
  readonly lens?: Lens;
};

/** Where a field point lies in the film's own pixels; null behind the camera, or where the lens shows nothing of it. */
export function imageOf(survey: Seeing, point: FieldPoint): ImagePoint | null {
  const straight = projectToImage(survey.homography, point);
  return straight && survey.lens ? bend(survey.lens, survey.image, straight) : straight;
}

/** The ground under a point of the film; null at or above the horizon. */
export function groundOf(survey: Seeing, point: ImagePoint): FieldPoint | null {
  return projectThroughInverse(survey.inverse, straightOf(survey, point));
}

/** A point of the film as a lens that bends nothing would show it. */
export function straightOf({ lens, image }: Pick<Seeing, "lens" | "image">, point: ImagePoint): ImagePoint {
  return lens ? straighten(lens, image, point) : point;
}
