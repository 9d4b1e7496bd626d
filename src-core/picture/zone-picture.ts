import type { Seeing } from "../field/seen-through.ts";
import type { FieldLayout } from "../field/template.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { Phase } from "../game/records.ts";
import type { StationScene } from "../mechanics/anchors.ts";
import type { Book } from "../mechanics/book.ts";
import { bookPosition, ownSide } from "../mechanics/target.ts";
import { zoneArea, zoneRuleAt } from "../mechanics/zone-area.ts";
import { projectSegment } from "./frame-picture.ts";
import { planPoint } from "./plan-picture.ts";
import type { PicturePoint, Shape } from "./shape.ts";

/** A rectangle of the field that falls to one position; field yards. */
export type ZonePatch = {
  readonly position: string;
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
};

/** The phase whose zones are drawn: before zones have begun, those that will be. */
export function zonePhaseOf(phase: Phase): Phase {
  return phase === "pre-snap" || phase === "keys" ? "zone" : phase;
}

/** The whole field parted among the crew as the book has it at a phase; after a catch, for whoever is not the runner. */
export function zonePatches(book: Book, phase: Phase, scene: StationScene): ZonePatch[] {
  const { layout } = scene;
  const areas = book.zones
    .filter(({ phases }) => phases.includes(phase))
    .flatMap((rule) => {
      const position = bookPosition(book, rule.position);
      const area = zoneArea(rule, position ? ownSide(position, scene.lineJudgeSide) : null, scene);
      return area ? [area] : [];
    });
  const cuts = (most: number, ends: readonly number[]) =>
    [...new Set([0, most, ...ends.filter((end) => end > 0 && end < most)])].toSorted((a, b) => a - b);
  const xs = cuts(
    layout.totalLengthYards,
    areas.flatMap(({ xYards }) => [xYards.from, xYards.to]),
  );
  const ys = cuts(
    layout.widthYards,
    areas.flatMap(({ yYards }) => [yYards.from, yYards.to]),
  );
  const patches: ZonePatch[] = [];
  for (const [i, x0] of xs.slice(0, -1).entries()) {
    for (const [j, y0] of ys.slice(0, -1).entries()) {
      const [x1, y1] = [xs[i + 1] ?? x0, ys[j + 1] ?? y0];
      const rule = zoneRuleAt(book, phase, fieldPoint((x0 + x1) / 2, (y0 + y1) / 2), scene, "all-but-runner");
      if (!rule) continue;
      const below = patches.at(-1);
      // One patch where the same position has what lies beyond.
      if (below && below.x0 === x0 && below.y1 === y0 && below.position === rule.position) {
        patches[patches.length - 1] = { ...below, y1 };
      } else patches.push({ position: rule.position, x0, x1, y0, y1 });
    }
  }
  return patches;
}

const spacingYards = 1.7;

/**
 * Hatching of a patch: lines at a slant of the position's own, so that zones can be told apart without colours; the lines
 * of neighbouring patches of one position go on across their edge.
 */
export function hatching({ x0, x1, y0, y1 }: ZonePatch, slantRadians: number): (readonly [FieldPoint, FieldPoint])[] {
  const [dx, dy] = [Math.cos(slantRadians), Math.sin(slantRadians)];
  const across = (x: number, y: number) => -dy * x + dx * y;
  const offsets = [across(x0, y0), across(x0, y1), across(x1, y0), across(x1, y1)];
  const lines: (readonly [FieldPoint, FieldPoint])[] = [];
  const last = Math.max(...offsets);
  for (let k = Math.ceil(Math.min(...offsets) / spacingYards); k * spacingYards <= last; k++) {
    // The line through the foot of its normal from the origin, cut where it leaves the patch.
    const [px, py] = [-dy * k * spacingYards, dx * k * spacingYards];
    let [from, to] = [-Infinity, Infinity];
    for (const [p, d, low, high] of [
      [px, dx, x0, x1],
      [py, dy, y0, y1],
    ] as const) {
      if (Math.abs(d) < 1e-12) {
        if (p < low || p > high) to = -Infinity;
        continue;
      }
      from = Math.max(from, Math.min((low - p) / d, (high - p) / d));
      to = Math.min(to, Math.max((low - p) / d, (high - p) / d));
    }
    if (to - from < 0.1) continue;
    lines.push([fieldPoint(px + dx * from, py + dy * from), fieldPoint(px + dx * to, py + dy * to)]);
  }
  return lines;
}

/** The slant of a position's hatching: positions of a book share the half turn evenly. */
function slantOf(book: Book, position: string): number {
  const index = book.positions.findIndex(({ id }) => id === position);
  return (Math.PI * (index + 0.5)) / book.positions.length;
}

type Drawn = { readonly book: Book; readonly patches: readonly ZonePatch[]; readonly pointed: string | null };

function shapesThrough(
  { book, patches, pointed }: Drawn,
  segment: (from: FieldPoint, to: FieldPoint) => readonly PicturePoint[] | null,
): Shape[] {
  const isKnown = patches.some(({ position }) => position === pointed);
  return patches
    .filter(({ position }) => !isKnown || position === pointed)
    .flatMap((patch): Shape[] =>
      hatching(patch, slantOf(book, patch.position)).flatMap(([from, to]): Shape[] => {
        const points = segment(from, to);
        return points ? [{ kind: "path", ink: "zone-hatch", points, closed: false }] : [];
      }),
    );
}

/** Zones on the plan, each position's named in its largest patch; only those of the position pointed at, if any. */
export function planZoneShapes(layout: FieldLayout, drawn: Drawn): Shape[] {
  const largest = new Map<string, ZonePatch>();
  const size = ({ x0, x1, y0, y1 }: ZonePatch) => (x1 - x0) * (y1 - y0);
  for (const patch of drawn.patches) {
    const known = largest.get(patch.position);
    if (!known || size(patch) > size(known)) largest.set(patch.position, patch);
  }
  return [
    ...shapesThrough(drawn, (from, to) => [planPoint(layout, from), planPoint(layout, to)]),
    ...[...largest.values()].map(({ position, x0, x1, y0, y1 }): Shape => ({
      kind: "label",
      ink: "note",
      at: planPoint(layout, fieldPoint((x0 + x1) / 2, (y0 + y1) / 2)),
      text: `zone ${position}`,
      place: "on",
    })),
  ];
}

/** The same over the frame, as far as the camera sees it. */
export function frameZoneShapes(survey: Seeing, drawn: Drawn): Shape[] {
  return shapesThrough(drawn, (from, to) => projectSegment(survey, from, to));
}
