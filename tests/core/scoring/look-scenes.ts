import Flatten from "@flatten-js/core";
import { seededRandom } from "#core/field/random";
import {
  blankTerms,
  clearShareOf,
  everybodyBut,
  type Eye,
  sightOf,
  takeGap,
  takeOpenTerms,
  takeSight,
} from "#core/scoring/look-terms";
import { lookRule } from "./look-rule.ts";

/**
 * Angle, gap and clear share by another road: circles, tangents and rays of @flatten-js/core, a general library of plane
 * geometry. A ray is sent through the middle of every interval between two neighbouring tangents, and what it meets first
 * says whether the pair is hidden there. Yards.
 */
const { circle, line, point, segment, vector } = Flatten;
const radius = lookRule.bodyRadiusYards;
type Spot = readonly [x: number, y: number];

/** Where the tangents from the eye touch: the circle over eye and centre as its diameter (Thales) cuts them out. */
function tangents(eye: Flatten.Point, [x, y]: Spot, r: number): Flatten.Vector[] {
  const middle = point((eye.x + x) / 2, (eye.y + y) / 2);
  const thales = circle(middle, eye.distanceTo(middle)[0]);
  return circle(point(x, y), r)
    .intersect(thales)
    .map((touch) => vector(eye, touch));
}

/** Angle from the first to the second, −π to π. */
function turnTo(from: Flatten.Vector, to: Flatten.Vector): number {
  const angle = from.angleTo(to);
  return angle > Math.PI ? angle - 2 * Math.PI : angle;
}

type Outline = readonly (Flatten.Circle | Flatten.Segment)[];

function firstMeeting(ray: Flatten.Segment, outline: Outline): number {
  let least = Infinity;
  for (const part of outline) {
    for (const meeting of ray.intersect(part)) least = Math.min(least, ray.start.distanceTo(meeting)[0]);
  }
  return least;
}

function reference(at: Spot, a: Spot, b: Spot, others: readonly Spot[]) {
  const eye = point(...at);
  const [pa, pb] = [point(...a), point(...b)];
  const middle = segment(pa, pb).middle();
  const sight = vector(eye, middle);
  const own = [...tangents(eye, a, radius), ...tangents(eye, b, radius)];
  const bearings = own.map((tangent) => turnTo(sight, tangent));
  const low = Math.min(...bearings);
  const high = Math.max(...bearings);

  const across = vector(pa, pb).normalize().rotate90CCW().multiply(radius);
  const pair: Outline = [
    circle(pa, radius),
    circle(pb, radius),
    segment(pa.translate(across), pb.translate(across)),
    segment(pa.translate(across.invert()), pb.translate(across.invert())),
  ];
  const bodies = others.map((other) => [circle(point(...other), radius)]);
  const cuts = others
    .flatMap((other) => tangents(eye, other, radius).map((tangent) => turnTo(sight, tangent)))
    .filter((bearing) => bearing > low && bearing < high);
  const edges = [low, ...cuts.toSorted((one, two) => one - two), high];
  let hidden = 0;
  for (let i = 0; i + 1 < edges.length; i++) {
    const bearing = (edges[i]! + edges[i + 1]!) / 2;
    const ray = segment(eye, eye.translate(sight.normalize().rotate(bearing).multiply(300)));
    const there = firstMeeting(ray, pair);
    if (bodies.some((body) => firstMeeting(ray, body) < there)) hidden += edges[i + 1]! - edges[i]!;
  }

  // The two lines' angle, folded to a right one.
  const angle = Math.abs(turnTo(line(eye, middle).norm, line(pa, pb).norm));
  // Bodies that touch are drawn in to half their distance; the gap is that of the inner tangents.
  const touching = Math.min(radius, pa.distanceTo(pb)[0] / 2);
  const spans = [a, b].map((spot) => tangents(eye, spot, touching).map((tangent) => turnTo(sight, tangent)));
  const [left, right] = spans.toSorted((one, two) => one[0]! + one[1]! - two[0]! - two[1]!);
  return {
    angleDegrees: (Math.min(angle, Math.PI - angle) * 180) / Math.PI,
    gapDegrees: ((Math.min(...right!) - Math.max(...left!)) * 180) / Math.PI,
    clearShare: 1 - hidden / (high - low),
  };
}

function read(at: Spot, spots: readonly Spot[]) {
  const bodies = { x: Float64Array.from(spots, ([x]) => x), y: Float64Array.from(spots, ([, y]) => y) };
  const eye: Eye = { x: at[0], y: at[1], self: -1, facingX: 0, facingY: 0, facingKnown: false };
  const terms = blankTerms();
  const pair = { a: 0, b: 1 };
  const sight = sightOf(spots.length);
  takeSight(sight, eye, bodies);
  takeOpenTerms(terms, eye, sight, pair, lookRule);
  takeGap(terms, sight, pair, radius);
  const clearShare = clearShareOf(sight, eye, pair, everybodyBut(-1, spots.length), radius);
  return { ...terms, clearShare };
}

/** Random pairs with bodies about: how far our reading ever is from the library's, and what the scenes were like. */
export function heldToLibrary(count: number) {
  const random = seededRandom(41);
  const spot = (span: number): Spot => [span * (random.uniform() - 0.5), span * (random.uniform() - 0.5)];
  const worst = { angleDegrees: 0, gapDegrees: 0, clearShare: 0 };
  let partly = 0;
  let wholly = 0;
  let clear = 0;
  let overlapping = 0;
  for (let scenes = 0; scenes < count;) {
    const a = spot(2);
    const towards = 2 * Math.PI * random.uniform();
    const apart = 0.2 + 2.3 * random.uniform();
    const b: Spot = [a[0] + apart * Math.cos(towards), a[1] + apart * Math.sin(towards)];
    const bearing = 2 * Math.PI * random.uniform();
    const away = 3 + 27 * random.uniform();
    const at: Spot = [away * Math.cos(bearing), away * Math.sin(bearing)];
    // Bodies near the line of sight, so that most scenes hide something, and some beyond the pair and beside it.
    const others = Array.from({ length: 1 + random.below(5) }, (): Spot => {
      const along = 1.3 * random.uniform();
      const [dx, dy] = spot(4);
      return [at[0] * (1 - along) + dx, at[1] * (1 - along) + dy];
    });
    const pair = segment(point(...a), point(...b));
    const eye = point(...at);
    // Two bodies are never in one place; the eye is in none of them.
    if (others.some((other) => point(...other).distanceTo(pair)[0] < 2 * radius + 1e-6)) continue;
    if (eye.distanceTo(pair)[0] < 1 || others.some((other) => point(...other).distanceTo(eye)[0] < radius + 1e-3)) {
      continue;
    }
    scenes++;
    const ours = read(at, [a, b, ...others]);
    const theirs = reference(at, a, b, others);
    for (const term of ["angleDegrees", "gapDegrees", "clearShare"] as const) {
      worst[term] = Math.max(worst[term], Math.abs(ours[term] - theirs[term]));
    }
    if (theirs.clearShare > 0.999) clear++;
    else if (theirs.clearShare < 0.001) wholly++;
    else partly++;
    if (theirs.gapDegrees < 0) overlapping++;
  }
  return { worst, partly, wholly, clear, overlapping };
}
