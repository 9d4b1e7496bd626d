import type { Sqlite } from "../sqlite.ts";

type Loose = { readonly [property: string]: unknown };
type LooseChange = { readonly family: string; readonly before: Loose | null; readonly after: Loose | null };

/** What a record of a family that was written before lacks, from the record itself. */
export type Additions = { readonly [family: string]: ((record: Loose) => Loose) | undefined };

/** Completes the records that the history keeps, so that an edit made before an upgrade can still be taken back. */
export function addToHistory(db: Sqlite, additions: Additions): void {
  const complete = (family: string, record: Loose | null) =>
    record === null ? null : { ...record, ...additions[family]?.(record) };
  const entries = db
    .prepare<[], { rowid: number; changes_json: string }>("SELECT rowid, changes_json FROM history")
    .all();
  const rewrite = db.prepare<[string, number]>("UPDATE history SET changes_json = ? WHERE rowid = ?");
  for (const { rowid, changes_json: text } of entries) {
    const changes = (JSON.parse(text) as LooseChange[]).map((change) => ({
      ...change,
      before: complete(change.family, change.before),
      after: complete(change.family, change.after),
    }));
    rewrite.run(JSON.stringify(changes), rowid);
  }
}
