import { markShape } from "#core/contract/shapes";
import { parseJson, type RowLayout } from "./row-table.ts";

export const markRows: RowLayout<"mark"> = {
  family: "mark",
  gameColumn: "game_id",
  shape: markShape,
  toRow: (mark) => ({
    id: mark.id,
    game_id: mark.gameId,
    moment_id: mark.momentId,
    subject_json: JSON.stringify(mark.subject),
    click_json: JSON.stringify(mark.click),
    sigma_px: mark.sigmaPx,
    facing_json: mark.facing === null ? null : JSON.stringify(mark.facing),
  }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    momentId: row["moment_id"],
    subject: parseJson(row["subject_json"]),
    click: parseJson(row["click_json"]),
    sigmaPx: row["sigma_px"],
    facing: parseJson(row["facing_json"]),
  }),
};
