import { createHash } from "node:crypto";
import type { Hash } from "#core/exchange/canonical";
import { type KeptVersion, type SaidVersion, stamped } from "#core/exchange/said-versions";
import { Failure } from "#core/contract/errors";
import { parseJson, type Row } from "./row-table.ts";
import type { Sqlite } from "./sqlite.ts";
import { recordShapes } from "./tables.ts";

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

export type Versions = {
  readonly ofGame: (gameId: string) => Version[];
  /** The same, whole, as packets know them. */
  readonly whole: (gameId: string) => SaidVersion[];
  /** Takes the versions that an import or a choice brings in place of those that the database wrote since `mark`. */
  readonly replaceSince: (mark: number, versions: readonly SaidVersion[]) => void;
  readonly mark: () => number;
};

export const sha256: Hash = (text) => createHash("sha256").update(text).digest("hex");

export function openVersions(db: Sqlite): Versions {
  const select = db.prepare<[string], Version>(`
    SELECT record_id AS recordId, family, act, said, reason, author_id AS authorId, at
    FROM version WHERE game_id = ? ORDER BY number
  `);
  const selectWhole = db.prepare<[string], WholeRow>(`
    SELECT id, game_id AS gameId, record_id AS recordId, subject, family, act, said, reason, author_id AS authorId, at,
      record_json AS recordJson, after_json AS afterJson
    FROM version WHERE game_id = ? ORDER BY number
  `);
  const last = db.prepare<[], { number: number | null }>("SELECT max(number) AS number FROM version");
  const removeSince = db.prepare<[number]>("DELETE FROM version WHERE number > ?");
  const insert = db.prepare<Row>(`
    INSERT INTO version (game_id, record_id, subject, family, act, said, reason, author_id, at, record_json, id, after_json)
    VALUES (@game_id, @record_id, @subject, @family, @act, @said, @reason, @author_id, @at, @record_json, @id, @after_json)
  `);
  return {
    ofGame: (gameId) => select.all(gameId),
    whole: (gameId) => {
      const kept = selectWhole.all(gameId).map((row) => {
        const read = readVersion(row);
        if (read) return read;
        throw new Failure(
          "LIBRARY_FAILED",
          `The library's version of ${row.family} ${row.recordId} cannot be read. Nothing was changed; keep a copy of the library file, and open an earlier copy if you have one.`,
        );
      });
      return stamped(kept, sha256);
    },
    replaceSince: (mark, versions) => {
      removeSince.run(mark);
      for (const version of versions)
        insert.run({
          game_id: version.gameId,
          record_id: version.recordId,
          subject: version.subject,
          family: version.family,
          act: version.act,
          said: version.said,
          reason: version.reason,
          author_id: version.authorId,
          at: version.at,
          record_json: version.record === null ? null : JSON.stringify(version.record),
          id: version.id,
          after_json: JSON.stringify(version.after),
        });
    },
    mark: () => last.get()?.number ?? 0,
  };
}

function readVersion({ recordJson, afterJson, ...row }: WholeRow): KeptVersion | null {
  try {
    const record = parseJson(recordJson);
    const version = { ...row, record, after: parseJson(afterJson) } as KeptVersion;
    const fits = record === null || recordShapes[row.family].safeParse(record).success;
    return fits && (version.after === null || Array.isArray(version.after)) ? version : null;
  } catch {
    return null;
  }
}

type WholeRow = Omit<KeptVersion, "record" | "after"> & JsonColumns;
type JsonColumns = { readonly recordJson: string | null; readonly afterJson: string | null };
