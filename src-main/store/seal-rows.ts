import { sealShape } from "#core/contract/shapes";
import type { RowLayout } from "./row-table.ts";

export const sealRows: RowLayout<"seal"> = {
  family: "seal",
  gameColumn: "game_id",
  shape: sealShape,
  toRow: (seal) => ({ id: seal.id, game_id: seal.gameId, author_id: seal.authorId, sealed_at: seal.sealedAt }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    authorId: row["author_id"],
    sealedAt: row["sealed_at"],
  }),
};
