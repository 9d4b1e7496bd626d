import { noteShape } from "#core/contract/shapes";
import type { RowLayout } from "./row-table.ts";

export const noteRows: RowLayout<"note"> = {
  family: "note",
  gameColumn: "game_id",
  shape: noteShape,
  toRow: (note) => ({
    id: note.id,
    game_id: note.gameId,
    play_id: note.playId,
    position: note.position,
    text: note.text,
    author_id: note.authorId,
    written_at: note.writtenAt,
  }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    playId: row["play_id"],
    position: row["position"],
    text: row["text"],
    authorId: row["author_id"],
    writtenAt: row["written_at"],
  }),
};
