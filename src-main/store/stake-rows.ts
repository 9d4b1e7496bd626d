import { stakeShape } from "#core/contract/shapes";
import { parseJson, type RowLayout } from "./row-table.ts";

export const stakeRows: RowLayout<"stake"> = {
  family: "stake",
  gameColumn: "game_id",
  shape: stakeShape,
  toRow: (stake) => ({
    id: stake.id,
    game_id: stake.gameId,
    moment_id: stake.momentId,
    landmark_id: stake.landmarkId,
    click_json: JSON.stringify(stake.click),
    sigma_px: stake.sigmaPx,
  }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    momentId: row["moment_id"],
    landmarkId: row["landmark_id"],
    click: parseJson(row["click_json"]),
    sigmaPx: row["sigma_px"],
  }),
};
