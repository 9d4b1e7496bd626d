import type { Vector3 } from "./pinhole.ts";

/**
 * People and balls are built from rounded cones (two spheres and the cone between them), cast ray by ray at three by
 * three samples a pixel, lit by one sun and the sky, and laid over the picture from the farthest to the nearest.
 */

export type Rgb = readonly [number, number, number];

/** How a solid's skin is coloured; colours are linear 0–1. */
export type Cloth =
  | { readonly kind: "plain"; readonly colour: Rgb }
  /** Colour changes at a share of the way from a to b: a sleeve's hem, a sock. */
  | { readonly kind: "split"; readonly colour: Rgb; readonly beyond: Rgb; readonly at: number }
  /** Vertical stripes across the wearer. */
  | {
      readonly kind: "stripes";
      readonly colour: Rgb;
      readonly other: Rgb;
      readonly origin: Vector3;
      readonly across: Vector3;
      readonly pitchYards: number;
    }
  /** A shirt number on chest and back, a coverage bitmap centred on the origin. */
  | {
      readonly kind: "number";
      readonly colour: Rgb;
      readonly ink: Rgb;
      readonly origin: Vector3;
      readonly across: Vector3;
      readonly along: Vector3;
      readonly front: Vector3;
      readonly glyphs: Glyphs;
    };

export type Glyphs = {
  readonly columns: number;
  readonly rows: number;
  readonly widthYards: number;
  readonly heightYards: number;
  readonly alpha: Uint8Array;
};

export type Solid = {
  readonly a: Vector3;
  readonly b: Vector3;
  readonly ra: number;
  readonly rb: number;
  readonly cloth: Cloth;
};

export type Body = {
  readonly id: string;
  readonly solids: readonly Solid[];
  /** Where its weight meets the ground, for the dark spot under each foot; yards. */
  readonly contacts: readonly { readonly xYards: number; readonly yYards: number }[];
};

/** Towards the sun. */
export const sun: Vector3 = unit([0.6, -0.42, 0.68]);
export const sunRight = unit([-sun[1], sun[0], 0]);
export const sunUp: Vector3 = [
  sun[1] * sunRight[2] - sun[2] * sunRight[1],
  sun[2] * sunRight[0] - sun[0] * sunRight[2],
  sun[0] * sunRight[1] - sun[1] * sunRight[0],
];

export function unit(v: Vector3): Vector3 {
  const length = Math.hypot(v[0], v[1], v[2]);
  return [v[0] / length, v[1] / length, v[2] / length];
}

/** sRGB hex to linear. */
export function linear(hex: string): Rgb {
  const channel = (at: number) => {
    const value = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  };
  return [channel(1), channel(3), channel(5)];
}

const toneSteps = 2048;
const tone = Float32Array.from({ length: toneSteps + 1 }, (_, i) => {
  const exposed = (i / toneSteps) * 2;
  const rolled = exposed < 0.75 ? exposed : 0.75 + (1 - Math.exp(-(exposed - 0.75) / 0.25)) * 0.25;
  return 255 * (rolled <= 0.0031308 ? 12.92 * rolled : 1.055 * rolled ** (1 / 2.4) - 0.055);
});
export function toned(value: number): number {
  return tone[Math.min(toneSteps, Math.max(0, Math.round((value / 2) * toneSteps)))]!;
}

/** A picture being painted: 8-bit RGB, row by row. */
export type Picture = {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rgb: Uint8Array | Uint8ClampedArray;
};

export type ImageBox = { u0: number; v0: number; u1: number; v1: number };
