import { type Homography, determinant, invertHomography, multiplyHomographies } from "../field/homography.ts";
import { type Alignment, align, coarseMisfit } from "./align.ts";
import { type AlignWorkspace, createAlignWorkspace } from "./align-sums.ts";
import {
  type AnchorPicture,
  type GroundEdge,
  type WorkingScale,
  anchorPicture,
  pyramidLevels,
} from "./anchor-picture.ts";
import { type CarriedFrame, mapOf, referencePoints, throughAlignment } from "./carried-frame.ts";
import { type CarryStop, carryStop } from "./carry-stop.ts";
import { type GreyImage, pyramidOf } from "./grey-image.ts";

export type CarryRequest = {
  /** The surveyed frame, and the last frame to reach; before or behind it. */
  readonly anchorIndex: number;
  readonly lastIndex: number;
  /** The working picture of a frame; all of one size. */
  readonly pictureOf: (frameIndex: number) => GreyImage;
  readonly scale: WorkingScale;
  /** Of the anchor's frame, film pixels; null aligns all of the picture as one plane. */
  readonly groundEdge: GroundEdge | null;
  /** Whether a new scene begins at a frame. */
  readonly isCut: (frameIndex: number) => boolean;
};

/** Below this share, of the anchor in the frame or of the frame in the anchor, an anchor nearer by takes over. */
const leastCommonShare = 0.6;
/** Below this share of the surveyed frame itself nothing is left to hold the survey by. */
const leastOwnShare = 0.12;
/** Above this share of the anchor's own contrast, what is left over calls for a new anchor; above the next, for a stop. */
const worseOfContrast = 0.55;
const mostOfContrast = 0.75;
/** Of the pixels seen, the least share that must fit. */
const leastFitting = 0.6;
/** The most that brightness may differ from the anchor's, and areas from the frame before. */
const mostGain = 2.5;
const mostGrowth = 1.6;
/** The farthest that anything moves between two frames, align units: a sixth of the picture's width. */
const mostStep = 1 / 3;

/** The picture that frames are aligned to at the moment, and how it lies against the surveyed frame. */
type Reference = {
  readonly picture: AnchorPicture;
  readonly work: AlignWorkspace;
  readonly contrastGrey: number;
  /** The anchor's reference points in it. */
  readonly corners: readonly number[];
  readonly covariance: readonly number[];
  /** Reference to the two last frames, align coordinates. */
  latest: Homography;
  before: Homography;
};

const identity: Homography = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/**
 * Carries a survey outward from its frame, one frame a step, nearest first; the anchor itself is not given. Every frame
 * is aligned to the anchor's picture and never to the frame before it; only when too little of the anchor is left, or it
 * fits badly, does a frame on the way become the anchor of the next ones, and its error is theirs from then on.
 */
export function* carryTrack(request: CarryRequest): Generator<CarriedFrame, CarryStop> {
  const { anchorIndex, lastIndex, scale } = request;
  const step = lastIndex >= anchorIndex ? 1 : -1;
  const first = request.pictureOf(anchorIndex);
  const zeros = Array.from({ length: 64 }, () => 0);
  let reference = newReference(
    first,
    edgeInAlign(request.groundEdge, scale, first),
    referencePoints(scale.film),
    zeros,
  );
  let last: { readonly index: number; readonly frame: CarriedFrame } | null = null;
  for (let index = anchorIndex + step; index !== lastIndex + step; index += step) {
    const reached = last === null ? anchorIndex : last.index;
    // A scene's first frame belongs to it: going back, the cut lies before the frame just carried.
    if (request.isCut(step > 0 ? index : index + 1)) return carryStop("scene-cut", reached);
    const picture = request.pictureOf(index);
    const pyramid = pyramidOf(picture, pyramidLevels);
    let alignment = alignNext(reference, pyramid);
    if (last !== null && (alignment === null || callsForNewAnchor(reference, alignment))) {
      const nearer = takeOver(reference, request.pictureOf(last.index), last.frame);
      const again = alignNext(nearer, pyramid);
      if (again !== null && fits(nearer, again)) {
        reference = nearer;
        alignment = again;
      }
    }
    if (alignment === null || !fits(reference, alignment)) return carryStop("no-fit", reached);
    reference.before = reference.latest;
    reference.latest = alignment.map;
    const { corners, covariance } = throughAlignment(
      reference.corners,
      reference.covariance,
      alignment,
      reference.picture.frame,
      scale,
    );
    const bare = { frameIndex: index, corners, covariance, residualGrey: alignment.residualGrey };
    const visibleShare = shareSeen(mapOf({ ...bare, visibleShare: 0 }, scale.film), scale.film);
    if (visibleShare < leastOwnShare) return carryStop("little-in-common", reached);
    const frame: CarriedFrame = { ...bare, visibleShare };
    last = { index, frame };
    yield frame;
  }
  return carryStop("end-of-play", last === null ? anchorIndex : last.index);
}

function newReference(
  picture: GreyImage,
  edge: GroundEdge | null,
  corners: readonly number[],
  covariance: readonly number[],
): Reference {
  const anchor = anchorPicture(picture, edge);
  return {
    picture: anchor,
    work: createAlignWorkspace(anchor),
    contrastGrey: contrastOf(anchor),
    corners,
    covariance,
    latest: identity,
    before: identity,
  };
}

/** The frame just carried becomes the anchor of the next ones; what is known of the motion goes with it. */
function takeOver(old: Reference, picture: GreyImage, frame: CarriedFrame): Reference {
  const { groundEdge } = old.picture;
  const back = invertHomography(old.latest);
  const next = newReference(
    picture,
    groundEdge === null ? null : edgeThrough(groundEdge, back),
    frame.corners,
    frame.covariance,
  );
  next.before = multiplyHomographies(old.before, back);
  return next;
}

/** From where the motion of the last frames leads, or from where it stands still, whichever fits better. */
function alignNext(reference: Reference, pyramid: readonly GreyImage[]): Alignment | null {
  const { picture, work, latest, before } = reference;
  const onward = scaled(multiplyHomographies(latest, multiplyHomographies(invertHomography(before), latest)));
  const start =
    coarseMisfit(picture, pyramid, onward, work) <= coarseMisfit(picture, pyramid, latest, work) ? onward : latest;
  return align(picture, pyramid, start, work);
}

const scaled = (m: Homography): Homography => m.map((entry) => entry / m[8]) as unknown as Homography;

function fits(reference: Reference, { map, gain, fittingShare, residualGrey }: Alignment): boolean {
  return (
    fittingShare >= leastFitting &&
    residualGrey <= mostOfContrast * reference.contrastGrey &&
    gain > 1 / mostGain &&
    gain < mostGain &&
    isStep(map, reference.latest)
  );
}

/** Whether a camera can have moved so between two frames: a picture that fits nothing folds up and fits anything. */
function isStep(map: Homography, latest: Homography): boolean {
  return [-0.5, 0.5].every((x) =>
    [-0.3, 0.3].every((y) => {
      const [now, then] = [placeOf(map, x, y), placeOf(latest, x, y)];
      const growth = now.area / then.area;
      return (
        now.w > 0 &&
        growth > 1 / mostGrowth &&
        growth < mostGrowth &&
        Math.hypot(now.x - then.x, now.y - then.y) < mostStep
      );
    }),
  );
}

/** Where a map takes a point, and by how much it grows areas there. */
function placeOf(m: Homography, x: number, y: number): { x: number; y: number; w: number; area: number } {
  const w = m[6] * x + m[7] * y + m[8];
  return { x: (m[0] * x + m[1] * y + m[2]) / w, y: (m[3] * x + m[4] * y + m[5]) / w, w, area: determinant(m) / w ** 3 };
}

function callsForNewAnchor({ picture, contrastGrey }: Reference, { map, residualGrey }: Alignment): boolean {
  if (residualGrey > worseOfContrast * contrastGrey) return true;
  const size = { widthPx: 2, heightPx: (2 * picture.heightPx) / picture.widthPx };
  return Math.min(shareSeenAround(map, size), shareSeenAround(invertHomography(map), size)) < leastCommonShare;
}

/** 1.4826 times the median absolute deviation of the greys that an anchor is aligned by. */
function contrastOf(anchor: AnchorPicture): number {
  const grey = anchor.levels[0]!.grey.toSorted();
  const middle = grey[grey.length >> 1] ?? 0;
  return 1.4826 * (grey.map((one) => Math.abs(one - middle)).sort()[grey.length >> 1] ?? 0);
}

const shareGrid = 16;

/** Share of a picture, from its top left corner at 0, 0, that a map leaves inside a picture of the same size. */
function shareSeen(
  map: Homography,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
): number {
  let seen = 0;
  for (let row = 0; row < shareGrid; row++) {
    for (let column = 0; column < shareGrid; column++) {
      const u = ((column + 0.5) / shareGrid) * widthPx;
      const v = ((row + 0.5) / shareGrid) * heightPx;
      const w = map[6] * u + map[7] * v + map[8];
      const toU = (map[0] * u + map[1] * v + map[2]) / w;
      const toV = (map[3] * u + map[4] * v + map[5]) / w;
      if (w > 0 && toU >= 0 && toV >= 0 && toU <= widthPx && toV <= heightPx) seen++;
    }
  }
  return seen / (shareGrid * shareGrid);
}

/** As `shareSeen`, for coordinates whose origin is the middle of both pictures. */
function shareSeenAround(map: Homography, size: { readonly widthPx: number; readonly heightPx: number }): number {
  const [x, y] = [size.widthPx / 2, size.heightPx / 2];
  const toMiddle: Homography = [1, 0, -x, 0, 1, -y, 0, 0, 1];
  const fromMiddle: Homography = [1, 0, x, 0, 1, y, 0, 0, 1];
  return shareSeen(multiplyHomographies(fromMiddle, multiplyHomographies(map, toMiddle)), size);
}

/** A line of the film's picture in align coordinates. */
function edgeInAlign(edge: GroundEdge | null, scale: WorkingScale, picture: GreyImage): GroundEdge | null {
  if (edge === null) return null;
  const unit = picture.widthPx / 2;
  const a = edge.a * scale.filmPerWorkingU * unit;
  const b = edge.b * scale.filmPerWorkingV * unit;
  const c = edge.a * scale.filmPerWorkingU * unit + edge.b * scale.filmPerWorkingV * (picture.heightPx / 2) + edge.c;
  const length = Math.hypot(a, b);
  return { a: a / length, b: b / length, c: c / length };
}

/** A line seen through a map, given the map's inverse: lᵀ M⁻¹. */
function edgeThrough({ a, b, c }: GroundEdge, inverse: Homography): GroundEdge {
  const x = a * inverse[0] + b * inverse[3] + c * inverse[6];
  const y = a * inverse[1] + b * inverse[4] + c * inverse[7];
  const z = a * inverse[2] + b * inverse[5] + c * inverse[8];
  const length = Math.hypot(x, y);
  return { a: x / length, b: y / length, c: z / length };
}
