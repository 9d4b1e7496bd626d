import { playShape } from "#core/contract/shapes";
import { parseJson, type RowLayout } from "./row-table.ts";

export const playRows: RowLayout<"play"> = {
  family: "play",
  gameColumn: "game_id",
  shape: playShape,
  toRow: (play) => ({
    id: play.id,
    game_id: play.gameId,
    film_id: play.filmId,
    number: play.number,
    start_sec: play.startSec,
    end_sec: play.endSec,
    snap_sec: play.snapSec,
    situation_json: JSON.stringify(play.situation),
  }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    filmId: row["film_id"],
    number: row["number"],
    startSec: row["start_sec"],
    endSec: row["end_sec"],
    snapSec: row["snap_sec"],
    situation: parseJson(row["situation_json"]),
  }),
};
