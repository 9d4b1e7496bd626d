import { rulingShape } from "#core/contract/shapes";
import { parseJson, type RowLayout } from "./row-table.ts";

export const rulingRows: RowLayout<"ruling"> = {
  family: "ruling",
  gameColumn: "game_id",
  shape: rulingShape,
  toRow: (ruling) => ({
    id: ruling.id,
    game_id: ruling.gameId,
    play_id: ruling.playId,
    kind: ruling.kind,
    class: ruling.class,
    foul: ruling.foul,
    position: ruling.position,
    seers_json: JSON.stringify(ruling.seers),
    moment_id: ruling.momentId,
    spot_given_x_yards: ruling.spotGivenXYards,
    comment: ruling.comment,
    author_id: ruling.authorId,
    ruled_at: ruling.ruledAt,
  }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    playId: row["play_id"],
    kind: row["kind"],
    class: row["class"],
    foul: row["foul"],
    position: row["position"],
    seers: parseJson(row["seers_json"]),
    momentId: row["moment_id"],
    spotGivenXYards: row["spot_given_x_yards"],
    comment: row["comment"],
    authorId: row["author_id"],
    ruledAt: row["ruled_at"],
  }),
};
