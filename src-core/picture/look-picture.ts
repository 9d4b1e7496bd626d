import { imageOf, type Seeing } from "../field/seen-through.ts";
import type { FieldLayout } from "../field/template.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { Finding } from "../scoring/finding.ts";
import type { Look, MatterLooks, MomentLooks } from "../scoring/look.ts";
import { planPoint } from "./plan-picture.ts";
import type { Ink, PicturePoint, Shape } from "./shape.ts";

/**
 * Sightlines: whole when the matter is seen, broken when it is not, and two hairlines side by side when the official is in
 * line with the two, so that they can be told apart without their colours. The step that would have opened a look is an
 * arrow from where the official stood.
 */
export type Sightline = {
  readonly kind: "seen" | "hidden" | "straight";
  readonly position: string;
  readonly from: FieldPoint;
  readonly to: FieldPoint;
  readonly step: FieldPoint | null;
};

/** Half the distance between the two hairlines, yards. */
const hairYards = 0.2;

/**
 * What is drawn of a moment. For the official pointed at, their looks at all that is theirs to watch; otherwise the look
 * that has each matter, and every look that a finding rests on.
 */
export function sightlines(
  looks: MomentLooks | null,
  findings: readonly Finding[],
  pointed: string | null,
): Sightline[] {
  if (looks === null) return [];
  const said = new Set(
    findings.flatMap(({ measure, verdict }) =>
      measure?.kind === "look" && verdict !== "met" ? measure.looks.map((look) => key(measure.matterId, look)) : [],
    ),
  );
  return looks.matters.flatMap((matter) =>
    matter.matter.opponent === null ? [] : drawn(matter, looks.rule.seenFrom, said, pointed),
  );
}

function key(matterId: string, look: Look): string {
  return `${matterId} ${look.markId}`;
}

function drawn(
  { matter, looks, best }: MatterLooks,
  seenFrom: number,
  said: ReadonlySet<string>,
  pointed: string | null,
): Sightline[] {
  const isDrawn = (look: Look) => {
    if (looks.some(({ position }) => position === pointed)) return look.position === pointed && look.isWatcher;
    return said.has(key(matter.id, look)) || (look === best && look.quality >= seenFrom);
  };
  return looks.filter(isDrawn).map((look): Sightline => {
    const kind = look.quality >= seenFrom ? "seen" : look.angleCredit === 0 ? "straight" : "hidden";
    return { kind, position: look.position, from: look.from, to: matter.at, step: look.step?.to ?? null };
  });
}

const inks: Record<Sightline["kind"], Ink> = {
  seen: "sight-seen",
  hidden: "sight-hidden",
  straight: "sight-straight",
};

/** The ends of the lines on the ground: one, or two hairlines side by side. */
function strands({ kind, from, to }: Sightline): (readonly [FieldPoint, FieldPoint])[] {
  if (kind !== "straight") return [[from, to]];
  const length = Math.hypot(to.xYards - from.xYards, to.yYards - from.yYards) || 1;
  const aside = [1, -1].map((hand) => ({
    x: (-(to.yYards - from.yYards) * hand * hairYards) / length,
    y: ((to.xYards - from.xYards) * hand * hairYards) / length,
  }));
  const beside = (point: FieldPoint, { x, y }: { x: number; y: number }) =>
    fieldPoint(point.xYards + x, point.yYards + y);
  return aside.map((by) => [beside(from, by), beside(to, by)] as const);
}

function shapesThrough(lines: readonly Sightline[], at: (point: FieldPoint) => PicturePoint | null): Shape[] {
  return lines.flatMap((line): Shape[] => {
    const paths = strands(line).flatMap(([from, to]): Shape[] => {
      const ends = [at(from), at(to)];
      return ends.every((end) => end !== null)
        ? [{ kind: "path", ink: inks[line.kind], points: ends, closed: false }]
        : [];
    });
    const from = at(line.from);
    const to = line.step ? at(line.step) : null;
    return from && to ? [...paths, { kind: "arrow", ink: "step", from, to }] : paths;
  });
}

export function planSightShapes(layout: FieldLayout, lines: readonly Sightline[]): Shape[] {
  return shapesThrough(lines, (point) => planPoint(layout, point));
}

/** The same over the frame; left out where the camera does not see both ends. */
export function frameSightShapes(survey: Seeing, lines: readonly Sightline[]): Shape[] {
  return shapesThrough(lines, (point) => {
    const at = imageOf(survey, point);
    return at && [at.uPx, at.vPx];
  });
}
