import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import type { WorkingScale } from "#core/carry/anchor-picture";
import type { CarriedFrame } from "#core/carry/carried-frame";
import { carriedSurvey } from "#core/carry/carried-survey";
import { type CarryRequest, carryTrack } from "#core/carry/carry-track";
import type { CarryStop } from "#core/carry/carry-stop";
import { type GreyImage, shrink, workingFactor } from "#core/carry/grey-image";
import { groundEdgeOf } from "#core/carry/ground-edge";
import { estimateCamera } from "#core/field/camera";
import { type Homography, invertHomography, projectToField, projectToImage } from "#core/field/homography";
import { chiSquare95 } from "#core/field/mark";
import type { Survey } from "#core/field/survey";
import { projectionCovariance } from "#core/field/uncertainty";
import { fieldDistanceYards, fieldPoint } from "#core/field/units";
import { horizonOf, visibleField } from "#core/field/visible-field";
import { demoFilm, handHeldFilm } from "../../scene/films.ts";
import { fieldToImage, viewOf } from "../../scene/pinhole.ts";
import { type Scene, sceneOf } from "../../scene/scene.ts";

/** Carries over encoded films of the scene, held against the scene's own cameras. */

export type TruthFilm = { readonly scene: Scene; readonly path: string };

const pathOf = (relative: string): string => fileURLToPath(new URL(relative, import.meta.url));

export const demo: TruthFilm = { scene: sceneOf(demoFilm), path: pathOf("../../../src-main/demo/film.mp4") };
export const handHeld: TruthFilm = { scene: sceneOf(handHeldFilm), path: pathOf("../../fixtures/hand-held.mp4") };

export const film720 = { widthPx: 1280, heightPx: 720 } as const;
export const scale720: WorkingScale = { film: film720, filmPerWorkingU: 2, filmPerWorkingV: 2 };

/** The luma of successive frames, as a decoder that is not the product's gives it. */
export function decodeLuma({ path, scene }: TruthFilm, first: number, count: number): Uint8Array[] {
  const { framesPerSec } = scene.film;
  const { widthPx, heightPx } = film720;
  // Half a frame early, so that the frame itself is the first at or after it.
  const from = first === 0 ? [] : ["-ss", String((first - 0.5) / framesPerSec)];
  const args = ["-loglevel", "error", ...from, "-i", path, "-frames:v", String(count)];
  const { stdout, status } = spawnSync("ffmpeg", [...args, "-f", "rawvideo", "-pix_fmt", "gray", "-"], {
    maxBuffer: 1200 * widthPx * heightPx,
  });
  const size = widthPx * heightPx;
  if (status !== 0 || stdout.length !== count * size) throw new Error(`${path}: ${count} frames could not be decoded`);
  return Array.from({ length: count }, (_, i) => new Uint8Array(stdout.buffer, stdout.byteOffset + i * size, size));
}

export function workingGreys(film: TruthFilm, first: number, count: number): GreyImage[] {
  const { widthPx, heightPx } = film720;
  return decodeLuma(film, first, count).map((luma) => shrink(luma, widthPx, widthPx, heightPx, workingFactor(widthPx)));
}

export function truthMap({ scene }: TruthFilm, frameIndex: number): Homography {
  return fieldToImage(viewOf(scene.truthAt(frameIndex).camera));
}

const field = { lengthYards: 100, widthYards: 40 };

/** The frame's own camera as a survey without error. */
export function exactSurvey(film: TruthFilm, frameIndex: number): Survey {
  const homography = truthMap(film, frameIndex);
  const inverse = invertHomography(homography);
  // Any eight directions that leave the map's own scale alone will do; without error, all weigh nothing.
  const basis = Array.from({ length: 72 }, (_, i) => (Math.floor(i / 8) === i % 8 ? 1 : 0));
  return {
    homography,
    inverse,
    covariance: { basis, matrix: Array.from({ length: 64 }, () => 0) },
    dof: 0,
    residualRmsPx: 0,
    sigmaScale: 1,
    stakes: [],
    visible: visibleField(homography, field, film720),
    horizon: horizonOf(inverse),
    camera: estimateCamera(homography, film720, null),
    warnings: [],
    field,
    image: film720,
  };
}

export type CarryRun = {
  readonly frames: readonly CarriedFrame[];
  readonly stop: CarryStop;
  readonly milliseconds: number;
};

/** Carries from an anchor to `lastIndex`; `greys` are the frames from `greysFrom` on. */
export function carryOver(
  anchor: Survey,
  anchorIndex: number,
  lastIndex: number,
  greys: readonly GreyImage[],
  greysFrom: number,
  more: Partial<CarryRequest> = {},
): CarryRun {
  const track = carryTrack({
    anchorIndex,
    lastIndex,
    pictureOf: (frameIndex) => greys[frameIndex - greysFrom]!,
    scale: scale720,
    groundEdge: groundEdgeOf(anchor),
    isCut: () => false,
    ...more,
  });
  const frames: CarriedFrame[] = [];
  const started = performance.now();
  for (;;) {
    const next = track.next();
    if (next.done === true) return { frames, stop: next.value, milliseconds: performance.now() - started };
    frames.push(next.value);
  }
}

export type FrameError = {
  readonly frameIndex: number;
  /** Over field points 4 yd apart that the frame shows. */
  readonly medianYards: number;
  readonly p95Yards: number;
  readonly worstPx: number;
  readonly points: number;
  /** How many of the points' stated 95 % ellipses in the image hold the truth. */
  readonly held: number;
};

const quantile = (values: readonly number[], share: number): number => {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
};

export function errorOf(film: TruthFilm, survey: Survey, frameIndex: number): FrameError {
  const truth = truthMap(film, frameIndex);
  const errorsYards: number[] = [];
  let worstPx = 0;
  let held = 0;
  for (let x = 0; x <= field.lengthYards; x += 4) {
    for (let y = 0; y <= field.widthYards; y += 4) {
      const point = fieldPoint(x, y);
      const there = projectToImage(truth, point);
      if (there === null || there.uPx < 0 || there.vPx < 0) continue;
      if (there.uPx > film720.widthPx || there.vPx > film720.heightPx) continue;
      const ground = projectToField(survey.homography, there);
      const here = projectToImage(survey.homography, point);
      if (ground === null || here === null) throw new Error("a visible point of the field fell behind the camera");
      errorsYards.push(fieldDistanceYards(ground, point));
      const [du, dv] = [here.uPx - there.uPx, here.vPx - there.vPx];
      worstPx = Math.max(worstPx, Math.hypot(du, dv));
      const { uu, uv, vv } = projectionCovariance(survey.homography, survey.covariance, point);
      if ((vv * du * du - 2 * uv * du * dv + uu * dv * dv) / (uu * vv - uv * uv) <= chiSquare95) held++;
    }
  }
  return {
    frameIndex,
    medianYards: quantile(errorsYards, 0.5),
    p95Yards: quantile(errorsYards, 0.95),
    worstPx,
    points: errorsYards.length,
    held,
  };
}

export type RunError = {
  readonly worstMedianYards: number;
  readonly worstP95Yards: number;
  readonly worstPx: number;
  /** Share of points over all frames whose stated 95 % ellipse holds the truth. */
  readonly heldShare: number;
};

export function worstOf(errors: readonly FrameError[]): RunError {
  const sum = (of: (error: FrameError) => number): number => errors.reduce((total, error) => total + of(error), 0);
  return {
    worstMedianYards: Math.max(...errors.map((error) => error.medianYards)),
    worstP95Yards: Math.max(...errors.map((error) => error.p95Yards)),
    worstPx: Math.max(...errors.map((error) => error.worstPx)),
    heldShare: sum((error) => error.held) / sum((error) => error.points),
  };
}

/** Errors of the surveys carried along a run, its anchor's own survey being exact or whatever is given. */
export function errorsAlong(film: TruthFilm, anchor: Survey, run: CarryRun): FrameError[] {
  return run.frames.map((frame) => {
    const survey = carriedSurvey(anchor, frame);
    if (survey === null) throw new Error(`frame ${frame.frameIndex} has no survey`);
    return errorOf(film, survey, frame.frameIndex);
  });
}
