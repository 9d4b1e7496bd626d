import type { SKRSContext2D } from "@napi-rs/canvas";

/** Planks and lettering on an upright plane, in yards. */

/** Draws in yards (x along the field, z up) on the plane at one y. */
export type OnPlane = (yYards: number, paint: (context: SKRSContext2D) => void) => void;

export function plank(context: SKRSContext2D, x: number, z: number, wide: number, tall: number, colour: string): void {
  context.fillStyle = colour;
  context.fillRect(x, z, wide, tall);
}

/** Text upright on a plane whose z points up. */
export function sign(
  context: SKRSContext2D,
  text: string,
  x: number,
  z: number,
  tall: number,
  colour: string,
  font: string,
  maxWide: number,
): void {
  context.save();
  context.translate(x, z);
  context.scale(tall / 100, -tall / 100);
  context.fillStyle = colour;
  context.font = font;
  context.textAlign = "center";
  context.textBaseline = "middle";
  const width = context.measureText(text).width;
  const limit = (maxWide * 100) / tall;
  if (width > limit) context.scale(limit / width, 1);
  context.fillText(text, 0, 0);
  context.restore();
}
