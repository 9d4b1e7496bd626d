import { put, remove } from "../game/changes.ts";
import type { GameRecords, PrivateNote } from "../game/records.ts";
import type { By, GradeEdit } from "./grades.ts";

/** What a private note is about: a play or the game, and an official or nobody. */
export type NoteSubject = Pick<PrivateNote, "playId" | "position">;

export function noteOn(
  notes: readonly PrivateNote[],
  { playId, position }: NoteSubject,
  authorId: string,
): PrivateNote | null {
  return (
    notes.find((note) => note.playId === playId && note.position === position && note.authorId === authorId) ?? null
  );
}

/** Writes, rewrites or, with nothing in it, takes away a private note; null where that changes nothing. */
export function noteEdit(records: GameRecords, subject: NoteSubject, text: string, by: By): GradeEdit | null {
  const before = noteOn(records.notes, subject, by.authorId);
  const said = text.trim();
  if (said === (before?.text ?? "")) return null;
  const play = records.plays.find(({ id }) => id === subject.playId);
  if (subject.playId !== null && !play) return { ok: false, sentence: "This play is no longer in the game." };
  const label = `Private note on ${play ? `play ${play.number}` : "the game"}`;
  if (before && said === "") return { ok: true, label, changes: [remove("note", before)] };
  const after: PrivateNote = {
    id: before?.id ?? by.newId(),
    gameId: records.game.id,
    ...subject,
    text: said,
    authorId: by.authorId,
    writtenAt: by.now.toISOString(),
  };
  return { ok: true, label, changes: [put("note", before, after)] };
}
