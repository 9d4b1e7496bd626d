import type { Sqlite } from "./sqlite.ts";

/** A grade or ruling as it was said at one time. The database writes these itself, at whatever writes the record. */
export type Version = {
  readonly recordId: string;
  readonly family: "grade" | "ruling";
  readonly act: "given" | "changed" | "taken back";
  readonly said: string;
  readonly reason: string;
  readonly authorId: string;
  readonly at: string;
};

export function openVersions(db: Sqlite): (gameId: string) => Version[] {
  const select = db.prepare<[string], Version>(`
    SELECT record_id AS recordId, family, act, said, reason, author_id AS authorId, at
    FROM version WHERE game_id = ? ORDER BY number
  `);
  return (gameId) => select.all(gameId);
}
