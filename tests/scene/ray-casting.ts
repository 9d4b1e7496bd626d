import { dot, project, rayThrough, type Vector3, type View } from "./pinhole.ts";
import { clearance, flattened, type Flat } from "./shadows.ts";
import {
  sun,
  sunRight,
  sunUp,
  toned,
  unit,
  type Body,
  type Cloth,
  type ImageBox,
  type Picture,
  type Rgb,
  type Solid,
} from "./solids.ts";

function boxOf(view: View, solid: Solid): ImageBox | null {
  const box: ImageBox = { u0: Infinity, v0: Infinity, u1: -Infinity, v1: -Infinity };
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

/**
 * How much of what is drawn about an image point is one body, 0 to 1: what is seen of somebody's feet, where nobody nearer
 * stands before them. 0 where nothing of the body is seen there.
 */
export function shareAbout(
  owners: Owners,
  view: View,
  id: string,
  at: { readonly uPx: number; readonly vPx: number },
  reachPx: { readonly across: number; readonly up: number },
): number {
  const index = owners.ids.indexOf(id);
  const columns = view.widthPx * samples;
  const rows = view.heightPx * samples;
  let own = 0;
  let any = 0;
  const bottom = Math.min(rows - 1, Math.floor((at.vPx + 0.3 * reachPx.up) * samples));
  for (let row = Math.max(0, Math.floor((at.vPx - reachPx.up) * samples)); row <= bottom; row++) {
    const right = Math.min(columns - 1, Math.floor((at.uPx + reachPx.across) * samples));
    for (let column = Math.max(0, Math.floor((at.uPx - reachPx.across) * samples)); column <= right; column++) {
      const owner = owners.owner[row * columns + column]!;
      if (owner >= 0) any += 1;
      if (owner === index && index >= 0) own += 1;
    }
  }
  return any === 0 ? 0 : own / any;
}

export function drawBody(picture: Picture, view: View, body: Body, owners: Owners | null = null): void {
  const boxes = body.solids.map((solid) => boxOf(view, solid));
  const all: ImageBox = { u0: Infinity, v0: Infinity, u1: -Infinity, v1: -Infinity };
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
