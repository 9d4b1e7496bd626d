import { put } from "../game/changes.ts";
import type { GameRecords } from "../game/records.ts";
import { type By, type GradeEdit, sealOf } from "./grades.ts";

/** Finishes a game for its author: it cannot be taken back. Refused while nothing has been said of it. */
export function sealEdit(records: GameRecords, by: By): GradeEdit {
  if (sealOf(records.seals, by.authorId)) return { ok: false, sentence: "The game is finalised already." };
  const said = [...records.grades, ...records.rulings].some(({ authorId }) => authorId === by.authorId);
  if (!said) return { ok: false, sentence: "Nothing has been graded in this game: grade it before it is finalised." };
  const seal = {
    id: by.newId(),
    gameId: records.game.id,
    authorId: by.authorId,
    sealedAt: by.now.toISOString(),
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
