import type { ImageSize } from "../field/camera.ts";
import { type Homography, invertHomography, multiplyHomographies } from "../field/homography.ts";
import type { Alignment } from "./align.ts";
import { type AlignFrame, type WorkingScale, fromFilm } from "./anchor-picture.ts";
import { throughLinear } from "./dense-inverse.ts";

/**
 * Where a frame lies against its anchor, and how well that is known.
 *
 * The map anchor image → frame image is held by where it puts the four reference points of the anchor's image: a quarter
 * in from the left and the top, and so round clockwise (`referencePoints`). Film pixels throughout.
 */
export type CarriedFrame = {
  readonly frameIndex: number;
  /** u, v of the four reference points in this frame. */
  readonly corners: readonly number[];
  /** Of those eight numbers, px², 8 × 8 row by row. The anchor's own survey is not in it. */
  readonly covariance: readonly number[];
  /** Share of the anchor's picture that this frame shows. */
  readonly visibleShare: number;
  /** 1.4826 times the median absolute difference of grey after alignment. */
  readonly residualGrey: number;
};

/** u, v of four points of a picture: (¼, ¼), (¾, ¼), (¾, ¾), (¼, ¾) of its width and height. */
export function referencePoints({ widthPx, heightPx }: ImageSize): number[] {
  const [left, right] = [widthPx / 4, (3 * widthPx) / 4];
  const [top, bottom] = [heightPx / 4, (3 * heightPx) / 4];
  return [left, top, right, top, right, bottom, left, bottom];
}

/** The anchor as a carried frame of itself: known exactly. */
export function anchorFrame(frameIndex: number, film: ImageSize): CarriedFrame {
  return {
    frameIndex,
    corners: referencePoints(film),
    covariance: Array.from({ length: 64 }, () => 0),
    visibleShare: 1,
    residualGrey: 0,
  };
}

/** The plane map that takes the corners of an upright rectangle, clockwise from its top left, to four points. */
export function rectangleTo(
  rectangle: { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number },
  corners: ArrayLike<number>,
): Homography {
  // Unit square to quadrilateral: Heckbert, "Fundamentals of Texture Mapping and Image Warping" (1989), 2.2.3.
  const [x0, y0, x1, y1, x2, y2, x3, y3] = Array.from(corners) as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const dx1 = x1 - x2;
  const dy1 = y1 - y2;
  const dx2 = x3 - x2;
  const dy2 = y3 - y2;
  const sx = x0 - x1 + x2 - x3;
  const sy = y0 - y1 + y2 - y3;
  const area = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / area;
  const h = (dx1 * sy - sx * dy1) / area;
  const square: Homography = [x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0, g, h, 1];
  const { left, top, right, bottom } = rectangle;
  const [wide, tall] = [right - left, bottom - top];
  return multiplyHomographies(square, [1 / wide, 0, -left / wide, 0, 1 / tall, -top / tall, 0, 0, 1]);
}

/** Anchor image to frame image, film pixels. Its third row is positive over what both pictures show. */
export function mapOf(frame: CarriedFrame, { widthPx, heightPx }: ImageSize): Homography {
  const rectangle = { left: widthPx / 4, top: heightPx / 4, right: (3 * widthPx) / 4, bottom: (3 * heightPx) / 4 };
  return rectangleTo(rectangle, frame.corners);
}

/**
 * An encoder's and a lens's part that no comparison of two pictures shows, at a reference point: standard deviation,
 * in working pixels. Measured on encoded films with known cameras.
 */
const floorWorkingPx = 0.04;

/**
 * Carries four points with their covariance from the picture an alignment started from to the frame it reached, film
 * pixels on both sides; the alignment's own error is added.
 */
export function throughAlignment(
  points: readonly number[],
  covariance: readonly number[],
  alignment: Alignment,
  frame: AlignFrame,
  scale: WorkingScale,
): { readonly corners: number[]; readonly covariance: number[] } {
  const toAlign = fromFilm(frame, scale);
  const map = multiplyHomographies(invertHomography(toAlign), multiplyHomographies(alignment.map, toAlign));
  const perUnitU = scale.filmPerWorkingU * frame.unitPx;
  const perUnitV = scale.filmPerWorkingV * frame.unitPx;
  const corners: number[] = [];
  // Rows are the eight numbers of the answer; columns the points' own eight, then the eight of the alignment.
  const byPoints = new Float64Array(64);
  const byMap = new Float64Array(64);
  for (let k = 0; k < 4; k++) {
    const u = points[2 * k]!;
    const v = points[2 * k + 1]!;
    const w = map[6] * u + map[7] * v + map[8];
    const toU = (map[0] * u + map[1] * v + map[2]) / w;
    const toV = (map[3] * u + map[4] * v + map[5]) / w;
    corners.push(toU, toV);
    const uu = (map[0] - toU * map[6]) / w;
    const uv = (map[1] - toU * map[7]) / w;
    const vu = (map[3] - toV * map[6]) / w;
    const vv = (map[4] - toV * map[7]) / w;
    const x = toAlign[0] * u + toAlign[2];
    const y = toAlign[4] * v + toAlign[5];
    // What the small map moves this point by, film pixels, for each of its numbers.
    const alongU = [x, y, 1, 0, 0, 0, -x * x, -x * y];
    const alongV = [0, 0, 0, x, y, 1, -x * y, -y * y];
    const [row, next] = [16 * k, 16 * k + 8];
    byPoints[row + 2 * k] = uu;
    byPoints[row + 2 * k + 1] = uv;
    byPoints[next + 2 * k] = vu;
    byPoints[next + 2 * k + 1] = vv;
    for (let i = 0; i < 8; i++) {
      const du = alongU[i]! * perUnitU;
      const dv = alongV[i]! * perUnitV;
      byMap[row + i] = uu * du + uv * dv;
      byMap[next + i] = vu * du + vv * dv;
    }
  }
  const before = throughLinear(byPoints, covariance, 8);
  const own = throughLinear(byMap, alignment.covariance, 8);
  const total = Array.from(before, (entry, i) => entry + own[i]!);
  const floor = (floorWorkingPx * Math.sqrt(scale.filmPerWorkingU * scale.filmPerWorkingV)) ** 2;
  for (let i = 0; i < 8; i++) total[9 * i]! += floor;
  return { corners, covariance: total };
}
