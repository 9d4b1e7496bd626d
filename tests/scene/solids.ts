import { dot, project, rayThrough, type Vector3, type View } from "./pinhole.ts";

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
const sunRight = unit([-sun[1], sun[0], 0]);
const sunUp: Vector3 = [
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
function toned(value: number): number {
  return tone[Math.min(toneSteps, Math.max(0, Math.round((value / 2) * toneSteps)))]!;
}

/** A picture being painted: 8-bit RGB, row by row. */
export type Picture = {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rgb: Uint8Array | Uint8ClampedArray;
};

type Box = { u0: number; v0: number; u1: number; v1: number };

function boxOf(view: View, solid: Solid): Box | null {
  const box: Box = { u0: Infinity, v0: Infinity, u1: -Infinity, v1: -Infinity };
  for (const [point, radius] of [
    [solid.a, solid.ra],
    [solid.b, solid.rb],
  ] as const) {
    const at = project(view, point);
    if (!at || at.depthYards < 0.5) return null;
    const reach = (1.25 * radius * view.focalPx) / at.depthYards + 1;
    box.u0 = Math.min(box.u0, at.uPx - reach);
    box.v0 = Math.min(box.v0, at.vPx - reach);
    box.u1 = Math.max(box.u1, at.uPx + reach);
    box.v1 = Math.max(box.v1, at.vPx + reach);
  }
  return box;
}

/** First crossing of a unit-direction ray with a rounded cone, or -1. Quadric of the cone, then the end spheres. */
function crossing(solid: Solid, origin: Vector3, ray: Vector3): number {
  const { a, b, ra, rb } = solid;
  const bax = b[0] - a[0],
    bay = b[1] - a[1],
    baz = b[2] - a[2];
  const oax = origin[0] - a[0],
    oay = origin[1] - a[1],
    oaz = origin[2] - a[2];
  const obx = origin[0] - b[0],
    oby = origin[1] - b[1],
    obz = origin[2] - b[2];
  const rr = ra - rb;
  const m0 = bax * bax + bay * bay + baz * baz;
  const m1 = bax * oax + bay * oay + baz * oaz;
  const m2 = bax * ray[0] + bay * ray[1] + baz * ray[2];
  const m3 = ray[0] * oax + ray[1] * oay + ray[2] * oaz;
  const m5 = oax * oax + oay * oay + oaz * oaz;
  const m6 = obx * ray[0] + oby * ray[1] + obz * ray[2];
  const m7 = obx * obx + oby * oby + obz * obz;
  const d2 = m0 - rr * rr;
  const k2 = d2 - m2 * m2;
  const k1 = d2 * m3 - m1 * m2 + m2 * rr * ra;
  const k0 = d2 * m5 - m1 * m1 + m1 * rr * ra * 2 - m0 * ra * ra;
  const h = k1 * k1 - k0 * k2;
  if (h < 0) return -1;
  const t = (-Math.sqrt(h) - k1) / k2;
  const y = m1 - ra * rr + t * m2;
  if (y > 0 && y < d2) return t;
  const h1 = m3 * m3 - m5 + ra * ra;
  const h2 = m6 * m6 - m7 + rb * rb;
  let nearest = -1;
  if (h1 > 0) nearest = -m3 - Math.sqrt(h1);
  if (h2 > 0) {
    const other = -m6 - Math.sqrt(h2);
    if (nearest < 0 || other < nearest) nearest = other;
  }
  return nearest;
}

function coloured(cloth: Cloth, point: Vector3, share: number, normal: Vector3): Rgb {
  switch (cloth.kind) {
    case "plain":
      return cloth.colour;
    case "split":
      return share < cloth.at ? cloth.colour : cloth.beyond;
    case "stripes": {
      const { origin, across } = cloth;
      const side =
        (point[0] - origin[0]) * across[0] + (point[1] - origin[1]) * across[1] + (point[2] - origin[2]) * across[2];
      return (Math.floor(side / cloth.pitchYards + 0.5) & 1) === 0 ? cloth.colour : cloth.other;
    }
    case "number": {
      const { origin, across, along, front, glyphs } = cloth;
      const facing = dot(normal, front);
      if (Math.abs(facing) < 0.3) return cloth.colour;
      const offset: Vector3 = [point[0] - origin[0], point[1] - origin[1], point[2] - origin[2]];
      const side = dot(offset, across) * (facing > 0 ? 1 : -1);
      const column = Math.floor((side / glyphs.widthYards + 0.5) * glyphs.columns);
      const row = Math.floor((0.5 - dot(offset, along) / glyphs.heightYards) * glyphs.rows);
      if (column < 0 || row < 0 || column >= glyphs.columns || row >= glyphs.rows) return cloth.colour;
      return glyphs.alpha[row * glyphs.columns + column]! > 127 ? cloth.ink : cloth.colour;
    }
  }
}

type Flat = { ax: number; ay: number; bx: number; by: number; ah: number; bh: number; ra: number; rb: number };

/** The solids seen along the sun's rays: plane coordinates, and height toward the sun. */
function flattened(solids: readonly Solid[]): Flat[] {
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
function clearance(flat: Flat, x: number, y: number): { clear: number; share: number } {
  const dx = flat.bx - flat.ax;
  const dy = flat.by - flat.ay;
  const squared = dx * dx + dy * dy;
  const raw = squared < 1e-12 ? 0 : ((x - flat.ax) * dx + (y - flat.ay) * dy) / squared;
  const share = raw < 0 ? 0 : raw > 1 ? 1 : raw;
  const clear = Math.hypot(x - flat.ax - share * dx, y - flat.ay - share * dy) - flat.ra - share * (flat.rb - flat.ra);
  return { clear, share };
}

const samples = 3;

/** Which body each sample shows, and whether the sample is a sole on the ground; made only when clicks are made. */
export type Owners = { readonly ids: string[]; readonly owner: Int16Array; readonly grounded: Uint8Array };
export function emptyOwners(view: View): Owners {
  const count = view.widthPx * view.heightPx * samples * samples;
  return { ids: [], owner: new Int16Array(count).fill(-1), grounded: new Uint8Array(count) };
}
const groundedBelowYards = 0.045;

/** Mean image point of a body's visible samples on the ground; null when they are hidden. */
export function groundedCentre(
  owners: Owners,
  view: View,
  id: string,
): { uPx: number; vPx: number; samples: number } | null {
  const index = owners.ids.indexOf(id);
  if (index < 0) return null;
  const columns = view.widthPx * samples;
  let count = 0;
  let sumU = 0;
  let sumV = 0;
  for (let i = 0; i < owners.owner.length; i++) {
    if (owners.owner[i] !== index || owners.grounded[i] === 0) continue;
    count += 1;
    sumU += ((i % columns) + 0.5) / samples;
    sumV += (Math.floor(i / columns) + 0.5) / samples;
  }
  return count === 0 ? null : { uPx: sumU / count, vPx: sumV / count, samples: count };
}

export function drawBody(picture: Picture, view: View, body: Body, owners: Owners | null = null): void {
  const boxes = body.solids.map((solid) => boxOf(view, solid));
  const all: Box = { u0: Infinity, v0: Infinity, u1: -Infinity, v1: -Infinity };
  for (const box of boxes) {
    if (!box) return;
    all.u0 = Math.min(all.u0, box.u0);
    all.v0 = Math.min(all.v0, box.v0);
    all.u1 = Math.max(all.u1, box.u1);
    all.v1 = Math.max(all.v1, box.v1);
  }
  const left = Math.max(0, Math.floor(all.u0));
  const top = Math.max(0, Math.floor(all.v0));
  const right = Math.min(picture.widthPx, Math.ceil(all.u1));
  const bottom = Math.min(picture.heightPx, Math.ceil(all.v1));
  if (right <= left || bottom <= top) return;
  const columns = (right - left) * samples;
  const rows = (bottom - top) * samples;
  const depth = new Float64Array(columns * rows).fill(Infinity);
  const nearest = new Int16Array(columns * rows).fill(-1);
  const rays = new Float64Array(columns * rows * 3);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const ray = unit(rayThrough(view, left + (column + 0.5) / samples, top + (row + 0.5) / samples));
      rays.set(ray, 3 * (row * columns + column));
    }
  }
  body.solids.forEach((solid, index) => {
    const box = boxes[index]!;
    const c0 = Math.max(0, Math.floor((box.u0 - left) * samples));
    const c1 = Math.min(columns, Math.ceil((box.u1 - left) * samples));
    const r0 = Math.max(0, Math.floor((box.v0 - top) * samples));
    const r1 = Math.min(rows, Math.ceil((box.v1 - top) * samples));
    for (let row = r0; row < r1; row++) {
      for (let column = c0; column < c1; column++) {
        const at = row * columns + column;
        const t = crossing(solid, view.centre, [rays[3 * at]!, rays[3 * at + 1]!, rays[3 * at + 2]!]);
        if (t > 0 && t < depth[at]!) {
          depth[at] = t;
          nearest[at] = index;
        }
      }
    }
  });

  const flats = flattened(body.solids);
  const ownerIndex = owners ? owners.ids.push(body.id) - 1 : -1;
  const share = 1 / (samples * samples);
  for (let v = top; v < bottom; v++) {
    for (let u = left; u < right; u++) {
      let covered = 0;
      let red = 0;
      let green = 0;
      let blue = 0;
      for (let sub = 0; sub < samples * samples; sub++) {
        const row = (v - top) * samples + Math.floor(sub / samples);
        const column = (u - left) * samples + (sub % samples);
        const at = row * columns + column;
        const index = nearest[at]!;
        if (index < 0) continue;
        const t = depth[at]!;
        const point: Vector3 = [
          view.centre[0] + t * rays[3 * at]!,
          view.centre[1] + t * rays[3 * at + 1]!,
          view.centre[2] + t * rays[3 * at + 2]!,
        ];
        const solid = body.solids[index]!;
        const lit = shade(solid, index, point, flats);
        covered += share;
        red += toned(lit[0]) * share;
        green += toned(lit[1]) * share;
        blue += toned(lit[2]) * share;
        if (owners) {
          const cell =
            (v * samples + Math.floor(sub / samples)) * view.widthPx * samples + u * samples + (sub % samples);
          owners.owner[cell] = ownerIndex;
          owners.grounded[cell] = point[2] < groundedBelowYards ? 1 : 0;
        }
      }
      if (covered === 0) continue;
      const at = 3 * (v * picture.widthPx + u);
      const { rgb } = picture;
      rgb[at] = rgb[at]! * (1 - covered) + red;
      rgb[at + 1] = rgb[at + 1]! * (1 - covered) + green;
      rgb[at + 2] = rgb[at + 2]! * (1 - covered) + blue;
    }
  }
}

function shade(solid: Solid, index: number, point: Vector3, flats: readonly Flat[]): Rgb {
  const { a, b } = solid;
  const axis: Vector3 = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const squared = dot(axis, axis);
  const raw = squared < 1e-12 ? 0 : dot([point[0] - a[0], point[1] - a[1], point[2] - a[2]], axis) / squared;
  const share = Math.min(1, Math.max(0, raw));
  const normal = unit([
    point[0] - a[0] - share * axis[0],
    point[1] - a[1] - share * axis[1],
    point[2] - a[2] - share * axis[2],
  ]);
  const colour = coloured(solid.cloth, point, share, normal);
  let direct = dot(normal, sun);
  if (direct > 0) {
    const x = dot(point, sunRight);
    const y = dot(point, sunUp);
    const height = dot(point, sun);
    for (let other = 0; other < flats.length; other++) {
      if (other === index) continue;
      const flat = flats[other]!;
      if (Math.max(flat.ah + flat.ra, flat.bh + flat.rb) < height) continue;
      const { clear, share: along } = clearance(flat, x, y);
      if (clear < 0.01 && flat.ah + along * (flat.bh - flat.ah) > height + 0.5 * flat.ra) {
        direct *= clear < -0.02 ? 0.12 : 0.5;
        break;
      }
    }
  } else direct = 0;
  const sky = 0.5 + 0.5 * normal[2];
  const nearGround = Math.max(0.55, Math.min(1, 0.55 + point[2] * 0.6));
  const key = 0.82 * direct;
  return [
    colour[0] * (key * 1.04 + (0.3 * sky + 0.1) * nearGround),
    colour[1] * (key * 0.99 + (0.33 * sky + 0.12) * nearGround),
    colour[2] * (key * 0.9 + (0.39 * sky + 0.075) * nearGround),
  ];
}

/** Darkens the ground where bodies stand between it and the sun: sharp at the feet, softer with height. */
export function castShadow(picture: Picture, view: View, body: Body): void {
  const flats = flattened(body.solids);
  const box: Box = { u0: Infinity, v0: Infinity, u1: -Infinity, v1: -Infinity };
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
      let shade = 0.44 * (1 - light);
      for (const contact of body.contacts) {
        const squared = (xYards - contact.xYards) ** 2 + (yYards - contact.yYards) ** 2;
        shade += 0.28 * Math.exp(-squared / 0.03) * (1 - 0.6 * (1 - light));
      }
      if (shade < 0.004) continue;
      const at = 3 * (v * picture.widthPx + u);
      rgb[at] = rgb[at]! * (1 - shade);
      rgb[at + 1] = rgb[at + 1]! * (1 - 0.95 * shade);
      rgb[at + 2] = rgb[at + 2]! * (1 - 0.82 * shade);
    }
  }
}
