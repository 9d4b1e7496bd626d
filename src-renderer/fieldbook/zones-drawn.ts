import type { AnchorPlayer, StationScene } from "#core/mechanics/anchors";
import type { Book } from "#core/mechanics/book";
import { zonePatches, type ZonePatch, zonePhaseOf } from "#core/picture/zone-picture";
import type { Fieldbook } from "./use-fieldbook.ts";

/** The zones of this moment, or of the instant that the play's strip shows, when they are asked for; null otherwise. */
export function zonesDrawn(
  fieldbook: Fieldbook,
): { readonly book: Book; readonly patches: readonly ZonePatch[]; readonly pointed: string | null } | null {
  const { page, zonesShown, book, layout, situation, judged, judgedPlay, instantSec, moment, pointed, records } =
    fieldbook;
  if (page !== "findings" || !zonesShown || !book) return null;
  const course = judgedPlay?.course;
  if (course && instantSec !== null) {
    const phase = zonePhaseOf(course.phaseAt(instantSec));
    return { book, pointed, patches: zonePatches(book, phase, course.sceneAt(instantSec)) };
  }
  const ball = judged.placed.find(({ subject }) => subject.kind === "ball");
  const scene: StationScene = {
    layout,
    situation,
    lineJudgeSide: records.game.lineJudgeSide,
    players: judged.placed.flatMap(({ markId, subject, measured }): AnchorPlayer[] =>
      subject.kind === "player" ? [{ markId, side: subject.side, role: subject.role, at: measured.position }] : [],
    ),
    ball: ball ? { markId: ball.markId, at: ball.measured.position } : null,
  };
  return { book, pointed, patches: zonePatches(book, zonePhaseOf(moment?.phase ?? "zone"), scene) };
}
