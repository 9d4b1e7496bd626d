import type { PinholeCamera } from "./pinhole.ts";
import { gaussian, seededDraw, seedOf } from "./seeded.ts";

/**
 * How a person who holds the camera moves it, on top of what the operator means to do: a slow wander of the arms, the
 * fast tremor of muscles (8 to 12 Hz, physiological tremor), and the sway of someone who stands (under 1 Hz).
 */
export type HandShake = {
  /** Amplitude of the wander of pan and tilt, and of roll. */
  readonly wanderRadians: number;
  readonly rollRadians: number;
  /** Amplitude of the tremor of pan and tilt. */
  readonly tremorRadians: number;
  /** Standard deviation of what is not periodic, a frame. */
  readonly noiseRadians: number;
  /** Amplitude of the sway of the camera's centre along each axis. */
  readonly swayYards: number;
};

type Wave = { readonly share: number; readonly radiansPerSec: number; readonly phase: number };

function waves(draw: () => number, lowHz: number, highHz: number): Wave[] {
  return [0.55, 0.3, 0.15].map((share, i) => ({
    share,
    radiansPerSec: 2 * Math.PI * (lowHz + ((highHz - lowHz) * (i + draw())) / 3),
    phase: 2 * Math.PI * draw(),
  }));
}

const at = (list: readonly Wave[], sec: number): number =>
  list.reduce((sum, { share, radiansPerSec, phase }) => sum + share * Math.sin(radiansPerSec * sec + phase), 0);

/** The same cameras, one a frame, held by hand. */
export function handHeld(
  cameras: readonly PinholeCamera[],
  shake: HandShake,
  framesPerSec: number,
  seedWords: readonly (string | number)[],
): PinholeCamera[] {
  const draw = seededDraw(seedOf("hand-held", ...seedWords));
  const slow = [waves(draw, 0.2, 1.1), waves(draw, 0.25, 1.3), waves(draw, 0.2, 0.9)] as const;
  const fast = [waves(draw, 8, 12), waves(draw, 8, 12), waves(draw, 8, 12)] as const;
  const sway = [waves(draw, 0.2, 0.8), waves(draw, 0.2, 0.8), waves(draw, 0.3, 1)] as const;
  const wander = [0, 0, 0];
  return cameras.map((camera, frame) => {
    const sec = frame / framesPerSec;
    const turn = [0, 1, 2].map((axis) => {
      wander[axis] = 0.6 * wander[axis]! + shake.noiseRadians * gaussian(draw);
      const wide = axis === 2 ? shake.rollRadians : shake.wanderRadians;
      return wide * at(slow[axis as 0], sec) + shake.tremorRadians * at(fast[axis as 0], sec) + wander[axis];
    });
    return {
      ...camera,
      xYards: camera.xYards + shake.swayYards * at(sway[0], sec),
      yYards: camera.yYards + shake.swayYards * at(sway[1], sec),
      zYards: camera.zYards + shake.swayYards * at(sway[2], sec),
      panRadians: camera.panRadians + turn[0]!,
      tiltRadians: camera.tiltRadians + turn[1]!,
      rollRadians: turn[2]!,
    };
  });
}
