import { carryShape } from "#core/contract/shapes";
import type { RowLayout } from "./row-table.ts";

export const carryRows: RowLayout<"carry"> = {
  family: "carry",
  gameColumn: "game_id",
  shape: carryShape,
  toRow: (carry) => ({
    id: carry.id,
    game_id: carry.gameId,
    moment_id: carry.momentId,
    first_index: carry.firstIndex,
    frame_count: carry.frameCount,
    frames: carry.frames,
    stop_before: carry.stopBefore,
    stop_after: carry.stopAfter,
  }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    momentId: row["moment_id"],
    firstIndex: row["first_index"],
    frameCount: row["frame_count"],
    frames: row["frames"],
    stopBefore: row["stop_before"],
    stopAfter: row["stop_after"],
  }),
};
