import type { FieldCovariance } from "../field/uncertainty.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { FieldSide, Phase } from "../game/records.ts";
import type { AnchorPlayer, StationScene } from "../mechanics/anchors.ts";
import type { Book } from "../mechanics/book.ts";
import { conditionHolds } from "../mechanics/conditions.ts";
import { keyPlayers } from "../mechanics/key-players.ts";
import { ownSide } from "../mechanics/target.ts";
import type { KeyRule } from "../mechanics/watch-rules.ts";
import { zoneRuleAt } from "../mechanics/zone-area.ts";

/** Whose a player is, and by which rule of the book. */
export type Holder = { readonly position: string; readonly ruleId: string; readonly by: "key" | "zone" };

/** A key as the formation at the snap gave it. */
export type KeyHolding = { readonly rule: KeyRule; readonly playerId: string };

/**
 * The keys of the crew in a formation. `standing` says where an official stood, for the positions that work the middle
 * and read one side of the line; of the rules for one position and order the first whose conditions hold applies.
 */
export function keysAtSnap(
  book: Book,
  scene: StationScene,
  standing: (position: string) => FieldPoint | null,
): KeyHolding[] {
  return book.positions.flatMap((position) => {
    const side = ownSide(position, scene.lineJudgeSide);
    const at = standing(position.id);
    const stands: FieldSide = (at?.yYards ?? Infinity) > scene.situation.ballYYards ? "far" : "near";
    const read = new Set<number>();
    return book.keys.flatMap((rule): KeyHolding[] => {
      if (rule.position !== position.id || read.has(rule.order) || !conditionHolds(rule.when, side, scene)) return [];
      read.add(rule.order);
      return keyPlayers(rule.on, side, stands, scene).map(({ markId }) => ({ rule, playerId: markId }));
    });
  });
}

export type Responsibility = {
  /** Whose it is as the marks read: several where positions share a key, none where the book gives it to nobody. */
  readonly holders: readonly Holder[];
  /** Everybody whose it may be, within the errors of the marks and of when a key was over. */
  readonly possible: readonly string[];
  /** Positions in whose zone the player is, or may be, whoever's key they are. */
  readonly inZoneOf: readonly string[];
  /** The zone of the book that they are in as the marks read. */
  readonly zone: Holder | null;
};

export type ResponsibilityInput = {
  readonly book: Book;
  readonly phase: Phase;
  readonly sinceSnapSec: number;
  readonly scene: StationScene;
  readonly player: AnchorPlayer;
  readonly covariance: FieldCovariance;
  /** The keys at the snap, by the names that `scene` has for the players. */
  readonly keys: readonly KeyHolding[];
  /** The nearest opponent, when close enough to press: a key on them is a key on the two. */
  readonly pressedBy: string | null;
  /** Whether a key that is over by the clock is held on: pressed ever since, and in its official's own zone. */
  readonly isHeldOn: (key: KeyHolding) => boolean;
  readonly isRunner: boolean;
};

/** The end of a key is common practice, not a signal: so near to it the matter may be either's. Seconds. */
export const keyEndSlackSec = 0.15;
const deviations = 2;

/**
 * Whose a player is at an instant: the position's whose key it is until the key's time is over, longer while it is
 * pressed; then that of the zone. An observer who calls a moment "zone" says that keys are over by and large: a key is
 * then held only while it is pressed, though within its time it may still be on. With the ball away nobody in particular
 * has a matter, since attention moves to where the ball will come down; after a catch the zones of the catch have it.
 */
export function responsibilityAt(input: ResponsibilityInput): Responsibility {
  const { phase, sinceSnapSec, player, pressedBy } = input;
  if (phase === "pre-snap") return { holders: [], possible: [], inZoneOf: [], zone: null };
  const zones = zoneHolders(input);
  const where = { inZoneOf: positionsOf(zones), zone: zones[0] ?? null };
  if (phase === "ball-away") return { holders: [], possible: [], ...where };
  if (phase === "catch" || phase === "dead-ball")
    return { holders: zones.slice(0, 1), possible: where.inZoneOf, ...where };
  const own = input.keys.filter(({ playerId }) => playerId === player.markId || playerId === pressedBy);
  const inTime = own.filter(({ rule }) => sinceSnapSec <= rule.forSec);
  const pressed = own.filter((key) => sinceSnapSec > key.rule.forSec && input.isHeldOn(key));
  const near = own.filter(({ rule }) => Math.abs(sinceSnapSec - rule.forSec) <= keyEndSlackSec);
  const held = asHolders(phase === "keys" ? [...inTime, ...pressed] : pressed);
  const maybeKeys = asHolders([...inTime, ...pressed, ...near]);
  const isKeysOnly = phase === "keys" && held.length > 0 && near.length === 0 && pressed.length === 0;
  return {
    holders: held.length > 0 ? held : zones.slice(0, 1),
    possible: isKeysOnly ? positionsOf(held) : [...new Set([...positionsOf(maybeKeys), ...where.inZoneOf])].toSorted(),
    ...where,
  };
}

function asHolders(keys: readonly KeyHolding[]): Holder[] {
  const holders = new Map<string, Holder>();
  for (const { rule } of keys) {
    if (!holders.has(rule.position)) {
      holders.set(rule.position, { position: rule.position, ruleId: rule.id, by: "key" });
    }
  }
  return [...holders.values()];
}

export function positionsOf(holders: readonly Holder[]): string[] {
  return [...new Set(holders.map(({ position }) => position))].toSorted();
}

/** The zone that holds a player, and after it those that may, two standard deviations along or across. */
function zoneHolders({ book, phase, player, scene, covariance, isRunner }: ResponsibilityInput): Holder[] {
  const zonePhase = phase === "keys" ? "zone" : phase;
  const { xYards: x, yYards: y } = player.at;
  const [dx, dy] = [deviations * Math.sqrt(covariance.xx), deviations * Math.sqrt(covariance.yy)];
  const spots = [player.at, fieldPoint(x - dx, y), fieldPoint(x + dx, y), fieldPoint(x, y - dy), fieldPoint(x, y + dy)];
  const found = spots.map((spot) => zoneRuleAt(book, zonePhase, spot, scene, isRunner ? "runner" : "all-but-runner"));
  // Where the place itself is nobody's, what a step away is somebody's does not make it theirs.
  if (found[0] === null) return [];
  const rules = new Map(found.flatMap((rule) => (rule ? [[rule.id, rule] as const] : [])));
  return [...rules.values()].map(({ id, position }) => ({ position, ruleId: id, by: "zone" as const }));
}
