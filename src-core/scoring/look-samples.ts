import { sampleMark } from "../field/mark.ts";
import { normalPairs, seededRandom } from "../field/random.ts";
import type { LookRule } from "../mechanics/watch-rules.ts";
import {
  type Bodies,
  clearShareOf,
  type Eye,
  limitsOf,
  openCredit,
  type Pair,
  sightOf,
  takeSight,
} from "./look-terms.ts";
import type { Measured } from "./finding.ts";
import type { Matter } from "./matters.ts";
import type { PlacedMark } from "./station.ts";

/**
 * Samples of the marks. The error of a probability is at most 3.5 % at one standard deviation, and 2.8 % at the book's
 * limits of 0.2 and 0.8: a moment must be worked out while a mark is dragged.
 */
export const lookSampleCount = 200;

const streams: Float64Array[] = [];
function stream(number: number): Float64Array {
  return (streams[number] ??= normalPairs(seededRandom(0x100c + number), lookSampleCount));
}

export type Official = { readonly position: string; readonly mark: PlacedMark; readonly eye: Eye };

export function setEye(eye: Eye, { x, y }: Bodies, facingX: number | undefined, facingY: number | undefined): void {
  eye.x = x[eye.self] ?? 0;
  eye.y = y[eye.self] ?? 0;
  if (facingX === undefined || facingY === undefined) return;
  eye.facingX = facingX - eye.x;
  eye.facingY = facingY - eye.y;
}

export type Sampled = {
  /** Of the look of official o at matter m, in place o × matters + m: its qualities, how often it was seen and straight. */
  readonly qualities: readonly Float64Array[];
  readonly lookSeen: Float64Array;
  readonly straight: Float64Array;
  /** By matter: samples in which some watcher saw it, and the sum of the best quality. */
  readonly seen: Float64Array;
  readonly best: Float64Array;
  readonly coverage: Float64Array;
};

/** The looks over the marks' errors: every mark and every facing its own stream, numbered by the order of ids. */
export function sampleLooks(
  people: readonly PlacedMark[],
  officials: readonly Official[],
  pairs: readonly Pair[],
  isWatcher: readonly (readonly boolean[])[],
  matters: readonly Matter[],
  rule: LookRule,
): Sampled {
  const radius = rule.bodyRadiusYards;
  const places = people.map(({ measured }, i) => sampleMark(measured, stream(2 * i)));
  const facings = officials.map(({ mark, eye }) =>
    mark.facing ? sampleMark(mark.facing, stream(2 * eye.self + 1)) : null,
  );
  const spreads = people.map(({ measured: { position } }, i) => spreadOf(places[i]!, position.xYards, position.yYards));
  const near = officials.map(({ eye }) => pairs.map((pair) => mayHide(people, spreads, eye.self, pair, radius)));
  const among = near.flat();
  const qualities = among.map(() => new Float64Array(lookSampleCount));
  const lookSeen = new Float64Array(among.length);
  const straight = new Float64Array(among.length);
  const seen = new Float64Array(pairs.length);
  const best = new Float64Array(pairs.length);
  const coverage = new Float64Array(lookSampleCount);
  const bestHere = new Float64Array(pairs.length);
  const bodies: Bodies = { x: new Float64Array(people.length), y: new Float64Array(people.length) };
  const sight = sightOf(people.length);
  const limits = limitsOf(rule);
  const whole = matters.reduce((sum, matter) => sum + matter.weight, 0);
  for (let s = 0; s < lookSampleCount; s++) {
    for (let i = 0; i < people.length; i++) {
      bodies.x[i] = places[i]?.[2 * s] ?? 0;
      bodies.y[i] = places[i]?.[2 * s + 1] ?? 0;
    }
    bestHere.fill(0);
    for (let o = 0; o < officials.length; o++) {
      const eye = officials[o]!.eye;
      setEye(eye, bodies, facings[o]?.[2 * s], facings[o]?.[2 * s + 1]);
      takeSight(sight, eye, bodies);
      for (let m = 0; m < pairs.length; m++) {
        const pair = pairs[m]!;
        const look = o * pairs.length + m;
        let quality = openCredit(eye, sight, pair, limits);
        if (quality < 0) {
          straight[look]!++;
          continue;
        }
        if (quality === 0) continue;
        const others = among[look]!;
        if (others.length > 0) quality *= clearShareOf(sight, eye, pair, others, radius);
        qualities[look]![s] = quality;
        if (quality >= rule.seenFrom) lookSeen[look]!++;
        if (quality > (bestHere[m] ?? 0) && isWatcher[m]![o]) bestHere[m] = quality;
      }
    }
    let covered = 0;
    for (let m = 0; m < pairs.length; m++) {
      const quality = bestHere[m] ?? 0;
      best[m] = (best[m] ?? 0) + quality;
      if (quality >= rule.seenFrom) seen[m] = (seen[m] ?? 0) + 1;
      covered += (matters[m]?.weight ?? 0) * quality;
    }
    coverage[s] = covered / whole;
  }
  return { qualities, lookSeen, straight, seen, best, coverage };
}

/** Mean and central 95 % as `measuredFrom` gives them, without putting all of the samples in order. */
export function central(samples: Float64Array): Measured {
  const { length } = samples;
  const lowRank = Math.floor(0.025 * length);
  const highRank = length - 1 - Math.min(length - 1, Math.floor(0.975 * length));
  const least = new Float64Array(lowRank + 1).fill(Infinity);
  const most = new Float64Array(highRank + 1).fill(Infinity);
  let sum = 0;
  for (let i = 0; i < length; i++) {
    const value = samples[i] ?? 0;
    sum += value;
    if (value < (least[lowRank] ?? 0)) insert(least, value);
    if (-value < (most[highRank] ?? 0)) insert(most, -value);
  }
  return { value: sum / length, low: least[lowRank] ?? 0, high: 0 - (most[highRank] ?? 0) };
}

/** Into its place among ascending values, the last of which falls out. */
function insert(ascending: Float64Array, value: number): void {
  let at = ascending.length - 1;
  for (; at > 0 && (ascending[at - 1] ?? 0) > value; at--) ascending[at] = ascending[at - 1] ?? 0;
  ascending[at] = value;
}

/** How far the furthest sample lies from where the mark reads. */
function spreadOf(samples: Float64Array, x: number, y: number): number {
  let most = 0;
  for (let i = 0; i < samples.length; i += 2) {
    const dx = (samples[i] ?? 0) - x;
    const dy = (samples[i + 1] ?? 0) - y;
    most = Math.max(most, dx * dx + dy * dy);
  }
  return Math.sqrt(most);
}

/**
 * Bodies that could stand before the pair in some sample.
 *
 * What hides something of the pair meets the hull of the eye and the pair's two bodies, and samples move its corners
 * and the body by no more than their spreads: whoever is left out here could never have counted.
 */
function mayHide(
  people: readonly PlacedMark[],
  spreads: readonly number[],
  eye: number,
  { a, b }: Pair,
  radius: number,
): Int32Array {
  const other = b < 0 ? a : b;
  const at = (i: number) => people[i]!.measured.position;
  const corners = [at(eye), at(a), at(other)] as const;
  const slack = 2 * radius + Math.max(spreads[eye] ?? 0, spreads[a] ?? 0, spreads[other] ?? 0);
  const found: number[] = [];
  for (let i = 0; i < people.length; i++) {
    if (i === eye || i === a || i === other) continue;
    if (triangleDistance(at(i), corners) <= slack + (spreads[i] ?? 0)) found.push(i);
  }
  return Int32Array.from(found);
}

type Spot = { readonly xYards: number; readonly yYards: number };

function triangleDistance(point: Spot, corners: readonly [Spot, Spot, Spot]): number {
  let least = Infinity;
  let left = 0;
  for (let i = 0; i < 3; i++) {
    const from = corners[i]!;
    const to = corners[(i + 1) % 3]!;
    const alongX = to.xYards - from.xYards;
    const alongY = to.yYards - from.yYards;
    const dx = point.xYards - from.xYards;
    const dy = point.yYards - from.yYards;
    const length = alongX * alongX + alongY * alongY;
    const t = length === 0 ? 0 : Math.min(1, Math.max(0, (dx * alongX + dy * alongY) / length));
    least = Math.min(least, Math.hypot(dx - t * alongX, dy - t * alongY));
    if (alongX * dy - alongY * dx > 0) left++;
  }
  return left === 0 || left === 3 ? 0 : least;
}
