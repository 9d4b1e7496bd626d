import { momentShape } from "#core/contract/shapes";
import type { RowLayout } from "./row-table.ts";

export const momentRows: RowLayout<"moment"> = {
  family: "moment",
  gameColumn: "game_id",
  shape: momentShape,
  toRow: (moment) => ({
    id: moment.id,
    game_id: moment.gameId,
    play_id: moment.playId,
    film_id: moment.filmId,
    phase: moment.phase,
    frame_index: moment.frameIndex,
    time_sec: moment.timeSec,
  }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    playId: row["play_id"],
    filmId: row["film_id"],
    phase: row["phase"],
    frameIndex: row["frame_index"],
    timeSec: row["time_sec"],
  }),
};
