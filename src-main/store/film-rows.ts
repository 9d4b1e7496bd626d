import { filmShape } from "#core/contract/shapes";
import { parseJson, type RowLayout } from "./row-table.ts";

export const filmRows: RowLayout<"film"> = {
  family: "film",
  gameColumn: "game_id",
  shape: filmShape,
  toRow: (film) => ({
    id: film.id,
    game_id: film.gameId,
    order_number: film.order,
    label: film.label,
    path: film.path,
    size_bytes: film.sizeBytes,
    fingerprint: film.fingerprint,
    width_px: film.widthPx,
    height_px: film.heightPx,
    duration_sec: film.durationSec,
    codec: film.codec,
    lens_json: film.lens === null ? null : JSON.stringify(film.lens),
  }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    order: row["order_number"],
    label: row["label"],
    path: row["path"],
    sizeBytes: row["size_bytes"],
    fingerprint: row["fingerprint"],
    widthPx: row["width_px"],
    heightPx: row["height_px"],
    durationSec: row["duration_sec"],
    codec: row["codec"],
    lens: parseJson(row["lens_json"]),
  }),
};
