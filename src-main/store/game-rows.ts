import { gameShape } from "#core/contract/shapes";
import { parseJson, type RowLayout } from "./row-table.ts";

export const gameRows: RowLayout<"game"> = {
  family: "game",
  gameColumn: "id",
  shape: gameShape,
  toRow: (game) => ({
    id: game.id,
    title: game.title,
    played_on: game.playedOn,
    level: game.level,
    home_name: game.homeName,
    away_name: game.awayName,
    players_per_side: game.playersPerSide,
    template_id: game.templateId,
    field_choices_json: JSON.stringify(game.fieldChoices),
    book_id: game.bookId,
    line_judge_side: game.lineJudgeSide,
    crew_json: JSON.stringify(game.crew),
  }),
  fromRow: (row) => ({
    id: row["id"],
    title: row["title"],
    playedOn: row["played_on"],
    level: row["level"],
    homeName: row["home_name"],
    awayName: row["away_name"],
    playersPerSide: row["players_per_side"],
    templateId: row["template_id"],
    fieldChoices: parseJson(row["field_choices_json"]),
    bookId: row["book_id"],
    lineJudgeSide: row["line_judge_side"],
    crew: parseJson(row["crew_json"]),
  }),
};
