import type { FieldLayout } from "../field/template.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { MarkSubject } from "../game/records.ts";
import type { Course } from "../scoring/handoff-course.ts";
import { timelineStateAt } from "../scoring/handoff-timeline.ts";
import { glyphOf } from "./mark-glyph.ts";
import { planPoint } from "./plan-picture.ts";
import type { Shape } from "./shape.ts";

const arrowYards = 3.2;

/** Who is drawn over whom where people stand close: what a play is looked at for comes last. */
const drawnOrder: Record<MarkSubject["kind"], number> = { player: 0, ball: 1, official: 2 };

/**
 * Everybody at an instant of a play, placed between the moments, with the way each official faced; a line from whoever
 * watched each matter of two opponents, and a ring round one that had nobody. About one position alone, the others of
 * the crew are letters beside the play, without the way they faced and what they watched.
 */
export function planInstantShapes(
  layout: FieldLayout,
  course: Course,
  sinceSnapSec: number,
  onlyPosition: string | null = null,
): Shape[] {
  const standings = course.standings(sinceSnapSec);
  const officialAt = (position: string): FieldPoint | null =>
    standings.find(({ track: { subject } }) => subject.kind === "official" && subject.position === position)?.at ??
    null;
  const isAbout = (position: string) => onlyPosition === null || position === onlyPosition;
  const watched = course.players.flatMap((track): Shape[] => {
    const matter = course.matterAt(track, sinceSnapSec);
    if (!matter?.isLive) return [];
    const { owners, watchers, state } = timelineStateAt(matter, course);
    const place = planPoint(layout, matter.place);
    if (state === "gap") {
      const isTheirs = onlyPosition === null || owners.includes(onlyPosition);
      return isTheirs ? [{ kind: "ring", ink: "sight-hidden", at: place }] : [];
    }
    return watchers.filter(isAbout).flatMap((position): Shape[] => {
      const from = officialAt(position);
      return from ? [{ kind: "path", ink: "sight-seen", points: [planPoint(layout, from), place], closed: false }] : [];
    });
  });
  const people = standings
    .toSorted((a, b) => drawnOrder[a.track.subject.kind] - drawnOrder[b.track.subject.kind])
    .flatMap(({ track: { subject }, at, facing }): Shape[] => {
      const isBeside = subject.kind === "official" && !isAbout(subject.position);
      const { text, ink } = glyphOf(subject);
      const here = planPoint(layout, at);
      const ahead =
        facing && !isBeside
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
        { kind: "label", ink: isBeside ? "note" : ink, at: here, text, place: "on" },
      ];
    });
  return [...watched, ...people];
}
