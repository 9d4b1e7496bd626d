import { angleShape } from "#core/contract/shapes";
import type { RowLayout } from "./row-table.ts";

export const angleRows: RowLayout<"angle"> = {
  family: "angle",
  gameColumn: "game_id",
  shape: angleShape,
  toRow: (angle) => ({
    id: angle.id,
    game_id: angle.gameId,
    play_id: angle.playId,
    film_id: angle.filmId,
    play_instant_sec: angle.playInstantSec,
    instant_sec: angle.instantSec,
  }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    playId: row["play_id"],
    filmId: row["film_id"],
    playInstantSec: row["play_instant_sec"],
    instantSec: row["instant_sec"],
  }),
};
