import { imageOf, type Seeing } from "../field/seen-through.ts";
import { type FieldPoint, fieldPoint, type ImagePoint } from "../field/units.ts";
import type { WorkingScale } from "./anchor-picture.ts";
import type { Box, Window } from "./follow-window.ts";
import type { GreyImage } from "./grey-image.ts";

/**
 * A standing person as an upright patch of the picture. Its columns and rows are a tenth of a yard at the person's own
 * distance, so that whoever comes nearer keeps a patch of the same size. Row by row from the top left.
 */
const pitchYards = 0.1;
const columns = 11;
const rows = 22;
/** The lowest row lies this far under the feet. */
const belowFeetYards = 0.15;
export const patchSize = columns * rows;

export type Patch = {
  readonly grey: Float64Array;
  /** As in a window: by how much each place differs from what usually lies there. */
  readonly apart: Float64Array;
  /** 0 where somebody nearer hides it, else 1. */
  readonly free: Float64Array;
};

export function emptyPatch(): Patch {
  return {
    grey: new Float64Array(patchSize),
    apart: new Float64Array(patchSize),
    free: new Float64Array(patchSize),
  };
}

/** Somebody's feet in a working picture, and how many of its pixels make a yard there. */
export type Standing = { readonly x: number; readonly y: number; readonly pxPerYard: number };

/** Where a person on a spot of the field stands in a picture; null behind the camera. */
export function standingAt(seeing: Seeing, at: FieldPoint, scale: WorkingScale): Standing | null {
  const feet = imageOf(seeing, at);
  const along = imageOf(seeing, fieldPoint(at.xYards + 0.5, at.yYards));
  const across = imageOf(seeing, fieldPoint(at.xYards, at.yYards + 0.5));
  if (!feet || !along || !across) return null;
  const [x, y] = inWorking(feet, scale);
  const [ax, ay] = inWorking(along, scale);
  const [cx, cy] = inWorking(across, scale);
  return { x, y, pxPerYard: 2 * longestAxis(ax - x, ay - y, cx - x, cy - y) };
}

function inWorking({ uPx, vPx }: ImagePoint, scale: WorkingScale): readonly [number, number] {
  return [uPx / scale.filmPerWorkingU, vPx / scale.filmPerWorkingV];
}

/**
 * The longer half-axis of the ellipse that a circle on the ground is seen as (the larger singular value of the map's
 * slopes): the ground is foreshortened along the way one looks and not across it, and so is hardly anything upright.
 */
function longestAxis(a: number, b: number, c: number, d: number): number {
  const sum = a * a + b * b + c * c + d * d;
  const area = a * d - b * c;
  return Math.sqrt((sum + Math.sqrt(Math.max(0, sum * sum - 4 * area * area))) / 2);
}

function heightYards(row: number): number {
  return (rows - 1 - row) * pitchYards - belowFeetYards;
}
function asideYards(column: number): number {
  return (column - (columns - 1) / 2) * pitchYards;
}

/** How much each place of a patch counts: the trunk most, swinging legs and what is beside the body little. */
const weights: Float64Array = Float64Array.from({ length: patchSize }, (_, i) => {
  const upright = heightYards(Math.floor(i / columns)) < 0.7 ? 0.45 : 1;
  return upright * Math.exp(-0.5 * (asideYards(i % columns) / 0.3) ** 2);
});

/** How far from where the feet are thought to be their line is looked for, up and down, and how far aside. */
const feetReach = { upYards: 0.5, downYards: 0.4, asideYards: 0.3 };
/** How far a body rises over its feet at the most, yards: a crouch is not deeper. */
export const mostRiseYards = 0.4;

/** How far a window reaches around a person's feet so that patches moved by so many pixels lie in it, and their feet. */
export function boxAround({ x, y, pxPerYard }: Standing, slackX: number, slackY: number): Box {
  const half = asideYards(columns - 1) * pxPerYard + slackX + 2;
  return {
    left: x - half,
    right: x + half,
    top: y - heightYards(0) * pxPerYard - slackY - 2,
    bottom: y + (mostRiseYards + feetReach.downYards) * pxPerYard + slackY + 2,
  };
}

/** Reads the patch of a person whose feet are at x, y of the picture; false where it leaves the window. */
export function readPatch(window: Window, x: number, y: number, pxPerYard: number, into: Patch): boolean {
  const { widthPx, heightPx, grey, apart, claimed } = window;
  const step = pitchYards * pxPerYard;
  const left = x - window.left + asideYards(0) * pxPerYard - 0.5;
  const top = y - window.top - heightYards(0) * pxPerYard - 0.5;
  if (left < 0 || top < 0 || left + (columns - 1) * step >= widthPx - 1 || top + (rows - 1) * step >= heightPx - 1)
    return false;
  for (let row = 0, i = 0; row < rows; row++) {
    const v = top + row * step;
    const down = v - Math.floor(v);
    for (let column = 0; column < columns; column++, i++) {
      const u = left + column * step;
      const right = u - Math.floor(u);
      const at = Math.floor(v) * widthPx + Math.floor(u);
      const a = (1 - down) * (1 - right);
      const b = (1 - down) * right;
      const c = down * (1 - right);
      const d = down * right;
      const under = at + widthPx;
      into.grey[i] = a * grey[at]! + b * grey[at + 1]! + c * grey[under]! + d * grey[under + 1]!;
      into.apart[i] = a * apart[at]! + b * apart[at + 1]! + c * apart[under]! + d * apart[under + 1]!;
      into.free[i] = claimed[at]! + claimed[at + 1]! + claimed[under]! + claimed[under + 1]! > 0 ? 0 : 1;
    }
  }
  return true;
}

/** Least width of what stands on the ground, yards. */
const leastFootYards = 0.12;

/**
 * The lowest row at which something that differs from the ground stands, near where the feet are thought to be, in rows
 * of the picture; null where that cannot be told: nothing differs, somebody nearer is in the way, or it goes on downward.
 */
export function feetLine(window: Window, { x, y, pxPerYard }: Standing): number | null {
  const { left, top, widthPx, heightPx, apart, claimed } = window;
  const from = Math.max(0, Math.round(x - feetReach.asideYards * pxPerYard - left));
  const to = Math.min(widthPx, Math.round(x + feetReach.asideYards * pxPerYard - left));
  const lowest = Math.round(y + feetReach.downYards * pxPerYard - top);
  const highest = Math.max(0, Math.round(y - feetReach.upYards * pxPerYard - top));
  if (lowest >= heightPx) return null;
  for (let row = lowest; row >= highest; row--) {
    let count = 0;
    for (let at = row * widthPx + from; at < row * widthPx + to; at++) {
      if (claimed[at] === 1) return null;
      if (Math.abs(apart[at]!) > bodyGreys) count++;
    }
    if (count >= leastFootYards * pxPerYard) return row === lowest ? null : row + top + 1;
  }
  return null;
}

/** Greys by which a pixel must differ to be taken as part of whoever stands there. */
const bodyGreys = 18;

/** Claims the pixels of a person's body, so that nobody farther off is looked for in them. */
export function claimBody(
  claims: Uint8Array,
  { widthPx, heightPx }: GreyImage,
  standing: Standing,
  patch: Patch,
): void {
  const { x, y, pxPerYard } = standing;
  const half = (pitchYards * pxPerYard) / 2 + 0.5;
  for (let i = 0; i < patchSize; i++) {
    const [aside, height] = [asideYards(i % columns), heightYards(Math.floor(i / columns))];
    const isTrunk = Math.abs(aside) < 0.16 && height > 0 && height < 1.85;
    if (patch.free[i] === 0 || !(isTrunk || Math.abs(patch.apart[i]!) > bodyGreys)) continue;
    const u = x + aside * pxPerYard;
    const v = y - height * pxPerYard;
    for (let row = Math.max(0, Math.round(v - half)); row < Math.min(heightPx, v + half); row++) {
      const from = Math.max(0, Math.round(u - half));
      const to = Math.min(widthPx, Math.ceil(u + half));
      if (to > from) claims.fill(1, row * widthPx + from, row * widthPx + to);
    }
  }
}

/** Of a place that does not differ from the ground, this much of its weight is left. */
const groundShare = 0.1;
const boldGreys = 20;
/** Root mean square of greys apart at which somebody counts as told from the ground by that alone. */
const movingGreys = 30;

/** What one looks for: a patch with how much each of its places counts. */
export type Likeness = {
  readonly patch: Patch;
  readonly mask: Float64Array;
  /** From 0, by the greys alone, to 1, by what differs from the ground alone. */
  readonly moving: number;
};

export function likenessOf(patch: Patch): Likeness {
  const { apart, free } = patch;
  let [sum, total] = [0, 0];
  const mask = weights.map((weight, i) => {
    sum += weight * apart[i]! * apart[i]!;
    total += weight;
    return weight * free[i]! * (groundShare + Math.min(1, Math.abs(apart[i]!) / boldGreys));
  });
  return { patch, mask, moving: Math.min(1, Math.sqrt(sum / total) / movingGreys) };
}

/** Patches whose greys apart differ in strength by more than this are the less alike for it. */
const strengthSlack = 1.5;

/**
 * How alike a patch is to what one looks for, 1 to −1, over the part of it that nobody hides, and how great that part is.
 * Two measures are mixed: the normalised correlation of the greys, where the body is; and the cosine of what differs from
 * the ground, to which ground alike in both adds nothing.
 */
export function compare(
  read: Patch,
  { patch, mask, moving }: Likeness,
): { readonly alike: number; readonly seenShare: number } {
  let [all, seen, sumA, sumB, aa, ab, bb] = [0, 0, 0, 0, 0, 0, 0];
  for (let i = 0; i < patchSize; i++) {
    all += mask[i]!;
    if (read.free[i] === 0) continue;
    seen += mask[i]!;
    sumA += mask[i]! * read.grey[i]!;
    sumB += mask[i]! * patch.grey[i]!;
    const weight = weights[i]! * patch.free[i]!;
    const a = read.apart[i]!;
    const b = patch.apart[i]!;
    aa += weight * a * a;
    ab += weight * a * b;
    bb += weight * b * b;
  }
  if (seen <= 0) return { alike: 0, seenShare: 0 };
  const fade = Math.max(1, Math.sqrt(Math.max(aa / bb, bb / aa)) / strengthSlack);
  const cosine = aa * bb > 0 ? ab / Math.sqrt(aa * bb) / fade : 0;
  const alike = moving * cosine + (1 - moving) * correlation(read, patch, mask, sumA / seen, sumB / seen);
  return { alike, seenShare: seen / all };
}

function correlation(a: Patch, b: Patch, mask: Float64Array, meanA: number, meanB: number): number {
  let [aa, ab, bb] = [0, 0, 0];
  for (let i = 0; i < patchSize; i++) {
    if (a.free[i] === 0) continue;
    const da = a.grey[i]! - meanA;
    const db = b.grey[i]! - meanB;
    aa += mask[i]! * da * da;
    ab += mask[i]! * da * db;
    bb += mask[i]! * db * db;
  }
  return aa * bb > 0 ? ab / Math.sqrt(aa * bb) : 0;
}
