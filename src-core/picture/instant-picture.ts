import type { FieldLayout } from "../field/template.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { Course } from "../scoring/handoff-course.ts";
import { timelineStateAt } from "../scoring/handoff-timeline.ts";
import { glyphOf } from "./mark-glyph.ts";
import { planPoint } from "./plan-picture.ts";
import type { Shape } from "./shape.ts";

const arrowYards = 3.2;

/**
 * Everybody at an instant of a play, placed between the moments, with the way each official faced; a line from whoever
 * watched each matter of two opponents, and a ring round one that had nobody.
 */
export function planInstantShapes(layout: FieldLayout, course: Course, sinceSnapSec: number): Shape[] {
  const standings = course.standings(sinceSnapSec);
  const officialAt = (position: string): FieldPoint | null =>
    standings.find(({ track: { subject } }) => subject.kind === "official" && subject.position === position)?.at ??
    null;
  const watched = course.players.flatMap((track): Shape[] => {
    const matter = course.matterAt(track, sinceSnapSec);
    if (!matter?.isLive) return [];
    const { watchers, state } = timelineStateAt(matter, course);
    const place = planPoint(layout, matter.place);
    if (state === "gap") return [{ kind: "ring", ink: "sight-hidden", at: place }];
    return watchers.flatMap((position): Shape[] => {
      const from = officialAt(position);
      return from ? [{ kind: "path", ink: "sight-seen", points: [planPoint(layout, from), place], closed: false }] : [];
    });
  });
  const people = standings.flatMap(({ track, at, facing }): Shape[] => {
    const { text, ink } = glyphOf(track.subject);
    const here = planPoint(layout, at);
    const ahead = facing
      ? planPoint(
          layout,
          fieldPoint(
            at.xYards + arrowYards * Math.cos(facing.radians),
            at.yYards + arrowYards * Math.sin(facing.radians),
          ),
        )
      : null;
    return [
      ...(ahead ? [{ kind: "arrow" as const, ink, from: here, to: ahead }] : []),
      { kind: "label", ink, at: here, text, place: "on" },
    ];
  });
  return [...watched, ...people];
}
