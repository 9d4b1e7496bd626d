import { directionSign } from "../field/frames.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { LookRule } from "../mechanics/watch-rules.ts";
import {
  type Bodies,
  clearShareOf,
  everybodyBut,
  type Eye,
  limitsOf,
  openCredit,
  type Pair,
  sightOf,
  takeSight,
} from "./look-terms.ts";
import type { MatterScene } from "./matters.ts";

/** A step that would have opened a look, as one would call it across the field. Yards. */
export type LookStep = {
  readonly to: FieldPoint;
  readonly yards: number;
  /** Positive downfield, toward B's goal line. */
  readonly downfieldYards: number;
  /** Positive toward the nearer sideline, or away from the field when outside it. */
  readonly outwardYards: number;
  /** The look's quality from there. */
  readonly quality: number;
};

/** Steps are sought in half yards and in 24 directions: finer than anybody walks on a word. */
const grainYards = 0.5;
const directions = 24;
/** Nobody steps closer to another body than this, nor is sent further outside the field than a bench. */
const roomYards = 1;
const outsideYards = 3;

/**
 * The nearest spot within the rule's step from which the pair is seen with the quality that counts; of spots equally
 * near the one that sees best. The official is taken to turn to the pair as much as they did from where they stood, and
 * nobody else to move. Null when no spot opens it.
 */
export function nearestOpening(
  from: Eye,
  facingCredit: number,
  bodies: Bodies,
  pair: Pair,
  rule: LookRule,
  { layout, situation }: MatterScene,
): LookStep | null {
  if (facingCredit < rule.seenFrom) return null;
  // Directions are counted from downfield and outward, so that a play seen in a mirror is searched in the same order.
  const along = directionSign(situation.direction);
  const x = bodies.x[from.self] ?? 0;
  const y = bodies.y[from.self] ?? 0;
  const outward = y < layout.widthYards / 2 ? -1 : 1;
  const limits = limitsOf(rule);
  const sight = sightOf(bodies.x.length);
  const others = everybodyBut(from.self, bodies.x.length);
  const eye: Eye = { x, y, self: from.self, facingX: Number.NaN, facingY: Number.NaN, facingKnown: false };
  const rings = Math.floor(rule.stepYards / grainYards + 1e-9);
  for (let ring = 1; ring <= rings; ring++) {
    const yards = ring * grainYards;
    let best: LookStep | null = null;
    for (let d = 0; d < directions; d++) {
      const angle = (2 * Math.PI * d) / directions;
      const downfieldYards = yards * Math.cos(angle);
      const outwardYards = yards * Math.sin(angle);
      eye.x = x + along * downfieldYards;
      eye.y = y + outward * outwardYards;
      takeSight(sight, eye, bodies);
      const open = openCredit(eye, sight, pair, limits) * facingCredit;
      if (open < rule.seenFrom || open <= (best?.quality ?? 0)) continue;
      if (!isRoom(eye, bodies, layout)) continue;
      const quality = open * clearShareOf(sight, eye, pair, others, rule.bodyRadiusYards);
      if (quality < rule.seenFrom || quality <= (best?.quality ?? 0) + 1e-9) continue;
      best = { to: fieldPoint(eye.x, eye.y), yards, downfieldYards, outwardYards, quality };
    }
    if (best) return best;
  }
  return null;
}

function isRoom(eye: Eye, { x, y }: Bodies, layout: MatterScene["layout"]): boolean {
  const outside = Math.max(-eye.y, eye.y - layout.widthYards, -eye.x, eye.x - layout.totalLengthYards);
  if (outside > outsideYards) return false;
  for (let i = 0; i < x.length; i++) {
    if (i === eye.self) continue;
    if (Math.hypot((x[i] ?? 0) - eye.x, (y[i] ?? 0) - eye.y) < roomYards) return false;
  }
  return true;
}
