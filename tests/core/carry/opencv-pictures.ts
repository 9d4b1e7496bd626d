import { createRequire } from "node:module";
import type * as Vision from "@techstark/opencv-js";
import type { GreyImage } from "#core/carry/grey-image";
import { type Homography, invertHomography, multiplyHomographies } from "#core/field/homography";

/**
 * The pictures' side of OpenCV (Apache-2.0, `@techstark/opencv-js`), which alignment is held against. Its pixels are
 * centred on whole numbers, ours on halves; the shift is made here.
 */
export type PictureVision = {
  /** A picture moved by a map of its own pixels to the answer's, both in our convention; bicubic. */
  readonly warp: (image: GreyImage, map: Homography) => GreyImage;
  /** Anchor pixels to frame pixels by its corners, its optical flow, and its robust homography: no code in common. */
  readonly alignByFeatures: (anchor: GreyImage, frame: GreyImage) => Homography;
};

type Mats = [Vision.Mat, Vision.Mat, Vision.Mat, Vision.Mat, Vision.Mat];

const toCentres: Homography = [1, 0, -0.5, 0, 1, -0.5, 0, 0, 1];
const toCorners: Homography = invertHomography(toCentres);

export async function loadPictureVision(): Promise<PictureVision> {
  // Required and held inside an object: the module resolves to itself, so awaiting it would never end.
  const holder = { cv: createRequire(import.meta.url)("@techstark/opencv-js") as typeof Vision };
  if (!("Mat" in holder.cv)) {
    await new Promise<void>((settle) => {
      (holder.cv as { onRuntimeInitialized: () => void }).onRuntimeInitialized = settle;
    });
  }
  const { cv } = holder;
  const matOf = ({ widthPx, heightPx, data }: GreyImage) =>
    cv.matFromArray(heightPx, widthPx, cv.CV_8UC1, Array.from(data));
  return {
    warp(image, map) {
      const from = matOf(image);
      const to = new cv.Mat();
      const centred = multiplyHomographies(toCentres, multiplyHomographies(map, toCorners));
      const matrix = cv.matFromArray(3, 3, cv.CV_64F, [...centred]);
      cv.warpPerspective(from, to, matrix, new cv.Size(image.widthPx, image.heightPx), cv.INTER_CUBIC);
      const data = new Uint8Array(to.data);
      for (const mat of [from, to, matrix]) mat.delete();
      return { ...image, data };
    },
    alignByFeatures(anchor, frame) {
      const [from, to, none] = [matOf(anchor), matOf(frame), new cv.Mat()];
      const [corners, tracked, status, error, kept] = [0, 1, 2, 3, 4].map(() => new cv.Mat()) as Mats;
      cv.goodFeaturesToTrack(from, corners, 800, 0.005, 6, none, 5);
      cv.calcOpticalFlowPyrLK(from, to, corners, tracked, status, error, new cv.Size(15, 15), 3);
      const [a, b]: [number[], number[]] = [[], []];
      for (let i = 0; i < corners.rows; i++) {
        if (status.data[i] !== 1) continue;
        a.push(corners.data32F[2 * i]!, corners.data32F[2 * i + 1]!);
        b.push(tracked.data32F[2 * i]!, tracked.data32F[2 * i + 1]!);
      }
      const [there, here] = [a, b].map((points) => cv.matFromArray(points.length / 2, 1, cv.CV_32FC2, points));
      const h = cv.findHomography(there!, here!, cv.RANSAC, 0.5, kept);
      const found = Array.from(h.data64F) as unknown as Homography;
      for (const mat of [from, to, none, corners, tracked, status, error, kept, there!, here!, h]) mat.delete();
      return multiplyHomographies(toCorners, multiplyHomographies(found, toCentres));
    },
  };
}
