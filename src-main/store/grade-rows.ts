import { gradeShape } from "#core/contract/shapes";
import { parseJson, type RowLayout } from "./row-table.ts";

export const gradeRows: RowLayout<"grade"> = {
  family: "grade",
  gameColumn: "game_id",
  shape: gradeShape,
  toRow: (grade) => ({
    id: grade.id,
    game_id: grade.gameId,
    play_id: grade.playId,
    position: grade.position,
    criterion: grade.criterion,
    scale_id: grade.scaleId,
    points: grade.points,
    suggested: grade.suggested,
    reason: grade.reason,
    comment: grade.comment,
    moment_ids_json: JSON.stringify(grade.momentIds),
    author_id: grade.authorId,
    graded_at: grade.gradedAt,
  }),
  fromRow: (row) => ({
    id: row["id"],
    gameId: row["game_id"],
    playId: row["play_id"],
    position: row["position"],
    criterion: row["criterion"],
    scaleId: row["scale_id"],
    points: row["points"],
    suggested: row["suggested"],
    reason: row["reason"],
    comment: row["comment"],
    momentIds: parseJson(row["moment_ids_json"]),
    authorId: row["author_id"],
    gradedAt: row["graded_at"],
  }),
};
