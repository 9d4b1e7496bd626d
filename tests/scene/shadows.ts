import { dot, project, rayThrough, type View } from "./pinhole.ts";
import { sun, sunRight, sunUp, type Body, type ImageBox, type Picture, type Solid } from "./solids.ts";

export type Flat = { ax: number; ay: number; bx: number; by: number; ah: number; bh: number; ra: number; rb: number };

/** The solids seen along the sun's rays: plane coordinates, and height toward the sun. */
export function flattened(solids: readonly Solid[]): Flat[] {
  return solids.map(({ a, b, ra, rb }) => ({
    ax: dot(a, sunRight),
    ay: dot(a, sunUp),
    bx: dot(b, sunRight),
    by: dot(b, sunUp),
    ah: dot(a, sun),
    bh: dot(b, sun),
    ra,
    rb,
  }));
}

/** Share along the segment nearest to a point of the sun's plane, written with the distance less the radius. */
export function clearance(flat: Flat, x: number, y: number): { clear: number; share: number } {
  const dx = flat.bx - flat.ax;
  const dy = flat.by - flat.ay;
  const squared = dx * dx + dy * dy;
  const raw = squared < 1e-12 ? 0 : ((x - flat.ax) * dx + (y - flat.ay) * dy) / squared;
  const share = raw < 0 ? 0 : raw > 1 ? 1 : raw;
  const clear = Math.hypot(x - flat.ax - share * dx, y - flat.ay - share * dy) - flat.ra - share * (flat.rb - flat.ra);
  return { clear, share };
}

/** Darkens the ground where bodies stand between it and the sun: sharp at the feet, softer with height. */
export function castShadow(picture: Picture, view: View, body: Body): void {
  const flats = flattened(body.solids);
  const box: ImageBox = { u0: Infinity, v0: Infinity, u1: -Infinity, v1: -Infinity };
  for (const solid of body.solids) {
    for (const [point, radius] of [
      [solid.a, solid.ra],
      [solid.b, solid.rb],
    ] as const) {
      const down = point[2] / sun[2];
      const at = project(view, [point[0] - down * sun[0], point[1] - down * sun[1], 0]);
      if (!at) return;
      const reach = ((1.6 * radius + 0.06 * point[2] + 0.1) * view.focalPx) / at.depthYards;
      box.u0 = Math.min(box.u0, at.uPx - reach);
      box.v0 = Math.min(box.v0, at.vPx - reach);
      box.u1 = Math.max(box.u1, at.uPx + reach);
      box.v1 = Math.max(box.v1, at.vPx + reach);
    }
  }
  const u0 = Math.max(0, Math.floor(box.u0));
  const u1 = Math.min(picture.widthPx, Math.ceil(box.u1));
  const v1 = Math.min(picture.heightPx, Math.ceil(box.v1));
  const { rgb } = picture;
  for (let v = Math.max(0, Math.floor(box.v0)); v < v1; v++) {
    for (let u = u0; u < u1; u++) {
      const ray = rayThrough(view, u + 0.5, v + 0.5);
      if (ray[2] >= -1e-6) continue;
      const along = -view.centre[2] / ray[2];
      const xYards = view.centre[0] + along * ray[0];
      const yYards = view.centre[1] + along * ray[1];
      const x = xYards * sunRight[0] + yYards * sunRight[1];
      const y = xYards * sunUp[0] + yYards * sunUp[1];
      const base = xYards * sun[0] + yYards * sun[1];
      let light = 1;
      for (const flat of flats) {
        const { clear, share } = clearance(flat, x, y);
        const height = Math.max(0, flat.ah + share * (flat.bh - flat.ah) - base);
        const penumbra = 0.02 + 0.035 * height;
        if (clear >= penumbra) continue;
        const part = clear <= -penumbra ? 1 : 0.5 - clear / (2 * penumbra);
        light = Math.min(light, 1 - part * part * (3 - 2 * part));
      }
      let dimmed = 0.44 * (1 - light);
      for (const contact of body.contacts) {
        const squared = (xYards - contact.xYards) ** 2 + (yYards - contact.yYards) ** 2;
        dimmed += 0.28 * Math.exp(-squared / 0.03) * (1 - 0.6 * (1 - light));
      }
      if (dimmed < 0.004) continue;
      const at = 3 * (v * picture.widthPx + u);
      rgb[at] = rgb[at]! * (1 - dimmed);
      rgb[at + 1] = rgb[at + 1]! * (1 - 0.95 * dimmed);
      rgb[at + 2] = rgb[at + 2]! * (1 - 0.82 * dimmed);
    }
  }
}
