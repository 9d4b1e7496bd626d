import { put } from "../game/changes.ts";
import type { GameRecords } from "../game/records.ts";
import { type By, type GradeEdit, sealOf } from "./grades.ts";
import { timeAfter } from "./time-after.ts";

/** Finishes a game for its author: it cannot be taken back. Refused while nothing has been said of it. */
export function sealEdit(records: GameRecords, by: By): GradeEdit {
  if (sealOf(records.seals, by.authorId)) return { ok: false, sentence: "The game is finalised already." };
  const isOwn = ({ authorId }: { readonly authorId: string }) => authorId === by.authorId;
  const said = [
    ...records.grades.filter(isOwn).map(({ gradedAt }) => gradedAt),
    ...records.rulings.filter(isOwn).map(({ ruledAt }) => ruledAt),
  ];
  if (said.length === 0)
    return { ok: false, sentence: "Nothing has been graded in this game: grade it before it is finalised." };
  const seal = {
    id: by.newId(),
    gameId: records.game.id,
    authorId: by.authorId,
    // After all that it closes, though the clock may have been put back since.
    sealedAt: timeAfter(by.now, said),
  };
  return { ok: true, label: "Finalise the game", changes: [put("seal", null, seal)] };
}

/** Whether a grade or a ruling was said, or said anew, after its author had finalised the game. */
export function isAmended(
  { seals }: Pick<GameRecords, "seals">,
  said: { readonly authorId: string; readonly at: string },
): boolean {
  const seal = sealOf(seals, said.authorId);
  return seal !== null && said.at > seal.sealedAt;
}
