import type { ImageSize } from "./camera.ts";
import type { Stake } from "./stake.ts";
import { type ImagePoint, imagePoint } from "./units.ts";

/**
 * A lens that bends straight lines, as one radial term about the picture's middle (the division model):
 * straight = c + (bent − c) / (1 + κ r²), with r the bent point's distance from the middle c in half-diagonals of the
 * picture. κ below 0 is a barrel (lines bow outward), above 0 a cushion, 0 no bend; |κ| < 1 keeps the picture one to one.
 * Source of the model: A. W. Fitzgibbon, Simultaneous linear estimation of multiple view geometry and lens distortion
 * (CVPR 2001).
 */
export type Lens = { readonly radial: number };

/** Half the picture's diagonal, px: the unit of r. */
export function halfDiagonalPx({ widthPx, heightPx }: ImageSize): number {
  return Math.hypot(widthPx, heightPx) / 2;
}

/** From the film's pixels to those of a camera that bends nothing; the middle stays where it is. */
export function straighten({ radial }: Lens, image: ImageSize, { uPx, vPx }: ImagePoint): ImagePoint {
  const u = uPx - image.widthPx / 2;
  const v = vPx - image.heightPx / 2;
  const scale = 1 / (1 + (radial * (u * u + v * v)) / halfDiagonalPx(image) ** 2);
  return imagePoint(image.widthPx / 2 + u * scale, image.heightPx / 2 + v * scale);
}

/**
 * The inverse of `straighten`: from straight pixels to the film's. Null for a point so far out that no film pixel shows
 * it, which only a cushion has (straight r above 1 / (2 √κ)).
 */
export function bend({ radial }: Lens, image: ImageSize, { uPx, vPx }: ImagePoint): ImagePoint | null {
  const u = uPx - image.widthPx / 2;
  const v = vPx - image.heightPx / 2;
  // κ s r² − r + s = 0 with s the straight and r the bent distance: the root that tends to s as κ tends to 0.
  const root = 1 - (4 * radial * (u * u + v * v)) / halfDiagonalPx(image) ** 2;
  if (!(root >= 0)) return null;
  const scale = 2 / (1 + Math.sqrt(root));
  return imagePoint(image.widthPx / 2 + u * scale, image.heightPx / 2 + v * scale);
}

/** Straight pixels per film pixel at a film point, away from the middle and around it. */
export function straightenScale(
  { radial }: Lens,
  image: ImageSize,
  { uPx, vPx }: ImagePoint,
): { readonly outward: number; readonly around: number } {
  const square = ((uPx - image.widthPx / 2) ** 2 + (vPx - image.heightPx / 2) ** 2) / halfDiagonalPx(image) ** 2;
  const around = 1 / (1 + radial * square);
  return { outward: (1 - radial * square) * around * around, around };
}

/** Standard deviation, straight px, of a click of `sigmaPx` film px: a circle of the area that its ellipse has. */
export function straightenedSigma(lens: Lens, image: ImageSize, click: ImagePoint, sigmaPx: number): number {
  const { outward, around } = straightenScale(lens, image, click);
  return sigmaPx * Math.sqrt(outward * around);
}

/** A stake as a camera that bends nothing would have seen it; a line's sigma is the root mean square over its clicks. */
export function straightenStake(lens: Lens, image: ImageSize, stake: Stake): Stake {
  if (lens.radial === 0) return stake;
  if (stake.kind === "point") {
    const sigmaPx = straightenedSigma(lens, image, stake.click, stake.sigmaPx);
    return { ...stake, click: straighten(lens, image, stake.click), sigmaPx };
  }
  let squares = 0;
  for (const click of stake.clicks) squares += straightenedSigma(lens, image, click, stake.sigmaPx) ** 2;
  return {
    ...stake,
    clicks: stake.clicks.map((click) => straighten(lens, image, click)),
    sigmaPx: stake.clicks.length === 0 ? stake.sigmaPx : Math.sqrt(squares / stake.clicks.length),
  };
}
