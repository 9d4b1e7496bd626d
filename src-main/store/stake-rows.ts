import { stakeShape } from "#core/contract/shapes";
import { clicksOf } from "#core/game/edits";
import { parseJson, type RowLayout } from "./row-table.ts";

/** Both kinds lie in one table: what it names, and its clicks as a list, of which a point has one. */
export const stakeRows: RowLayout<"stake"> = {
  family: "stake",
  gameColumn: "game_id",
  shape: stakeShape,
  toRow: (stake) => ({
    id: stake.id,
    game_id: stake.gameId,
    moment_id: stake.momentId,
    kind: stake.kind,
    target_id: stake.kind === "point" ? stake.landmarkId : stake.lineId,
    clicks_json: JSON.stringify(clicksOf(stake)),
    sigma_px: stake.sigmaPx,
  }),
  fromRow: (row) => {
    const clicks = parseJson(row["clicks_json"]);
    const common = { id: row["id"], gameId: row["game_id"], momentId: row["moment_id"], sigmaPx: row["sigma_px"] };
    if (row["kind"] === "line") return { ...common, kind: "line", lineId: row["target_id"], clicks };
    const first = Array.isArray(clicks) ? (clicks[0] as { at?: unknown; raw?: unknown } | undefined) : undefined;
    return { ...common, kind: row["kind"], landmarkId: row["target_id"], click: first?.at, raw: first?.raw };
  },
};
