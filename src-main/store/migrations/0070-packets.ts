import { randomBytes } from "node:crypto";
import type { Migration } from "../migration.ts";

/**
 * What packets need: versions that hold the record whole, say what they are about and, where they came along, their id and those
 * they follow; the packets that were imported and the contents they brought; what was said otherwise on two sides, so that nobody looks through
 * all versions for it, and what was described otherwise. Of the versions from before, those that stand are completed from their records.
 */
export const packets: Migration = {
  number: 70,
  up(db) {
    const subject = {
      grade: (row: string) =>
        `ifnull(${row}.play_id, '') || '/' || ${row}.position || '/' || ${row}.criterion || '/' || ${row}.author_id`,
      ruling: (row: string) => `${row}.id`,
    };
    const record = {
      grade: (row: string) => `json_object('id', ${row}.id, 'gameId', ${row}.game_id, 'playId', ${row}.play_id,
        'position', ${row}.position, 'criterion', ${row}.criterion, 'scaleId', ${row}.scale_id, 'points', ${row}.points,
        'suggested', ${row}.suggested, 'reason', ${row}.reason, 'comment', ${row}.comment,
        'momentIds', json(${row}.moment_ids_json), 'authorId', ${row}.author_id, 'gradedAt', ${row}.graded_at)`,
      ruling: (row: string) => `json_object('id', ${row}.id, 'gameId', ${row}.game_id, 'playId', ${row}.play_id,
        'kind', ${row}.kind, 'class', ${row}.class, 'foul', ${row}.foul, 'position', ${row}.position,
        'seers', json(${row}.seers_json), 'momentId', ${row}.moment_id, 'spotGivenXYards', ${row}.spot_given_x_yards,
        'comment', ${row}.comment, 'authorId', ${row}.author_id, 'ruledAt', ${row}.ruled_at)`,
    };
    const said = {
      grade: (row: string) => `ifnull(${row}.points, 'cannot judge')`,
      ruling: (row: string) => `${row}.class || ' ' || ${row}.kind || ': ' || ${row}.foul`,
    };
    const reason = { grade: "reason", ruling: "comment" };
    const time = { grade: "graded_at", ruling: "ruled_at" };
    const families = ["grade", "ruling"] as const;

    for (const family of families)
      for (const act of ["given", "changed", "taken_back"]) db.exec(`DROP TRIGGER ${family}_${act}`);
    db.exec(`
      CREATE TABLE version_new (
        number INTEGER PRIMARY KEY,
        game_id TEXT NOT NULL,
        record_id TEXT NOT NULL,
        subject TEXT NOT NULL,
        family TEXT NOT NULL,
        act TEXT NOT NULL,
        said TEXT NOT NULL,
        reason TEXT NOT NULL,
        author_id TEXT NOT NULL,
        at TEXT NOT NULL,
        record_json TEXT,
        id TEXT,
        after_json TEXT,
        UNIQUE (game_id, id)
      ) STRICT;
    `);
    for (const family of families)
      db.exec(`
        INSERT INTO version_new (number, game_id, record_id, subject, family, act, said, reason, author_id, at, record_json)
          SELECT number, version.game_id, record_id, ifnull(${subject[family]("row")}, record_id), family, act, said, version.reason,
            version.author_id, at,
            CASE WHEN row.id IS NOT NULL AND number = (
              SELECT max(number) FROM version AS last WHERE last.game_id = version.game_id AND last.record_id = version.record_id
            ) THEN ${record[family]("row")} END
          FROM version LEFT JOIN ${family} AS row ON row.id = record_id AND row.game_id = version.game_id
          WHERE family = '${family}' ORDER BY number;
      `);
    db.exec(`
      DROP TABLE version;
      ALTER TABLE version_new RENAME TO version;
      CREATE INDEX version_record ON version (game_id, record_id);
    `);
    for (const family of families) {
      const keep = (act: string, row: "new" | "old", at: string) => `
        INSERT INTO version (game_id, record_id, subject, family, act, said, reason, author_id, at, record_json)
        VALUES (${row}.game_id, ${row}.id, ${subject[family](row)}, '${family}', '${act}', CAST(${said[family](row)} AS TEXT),
          ${row}.${reason[family]}, ${row}.author_id, ${at}, ${act === "taken back" ? "NULL" : record[family](row)});`;
      db.exec(`
        CREATE TRIGGER ${family}_given AFTER INSERT ON ${family} BEGIN ${keep("given", "new", `new.${time[family]}`)} END;
        CREATE TRIGGER ${family}_changed AFTER UPDATE ON ${family} BEGIN ${keep("changed", "new", `new.${time[family]}`)} END;
        CREATE TRIGGER ${family}_taken_back AFTER DELETE ON ${family} BEGIN
          ${keep("taken back", "old", "strftime('%Y-%m-%dT%H:%M:%fZ', 'now')")}
        END;
      `);
    }
    db.exec(`
      CREATE TABLE packet (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL,
        title TEXT NOT NULL,
        made_at TEXT NOT NULL,
        observer_id TEXT NOT NULL,
        observer_name TEXT,
        counts_json TEXT NOT NULL,
        imported_at TEXT NOT NULL
      ) STRICT;

      CREATE TABLE brought (
        game_id TEXT NOT NULL,
        family TEXT NOT NULL,
        record_id TEXT NOT NULL,
        content TEXT NOT NULL,
        PRIMARY KEY (game_id, family, record_id, content)
      ) STRICT, WITHOUT ROWID;

      CREATE TABLE conflict (
        game_id TEXT NOT NULL,
        family TEXT NOT NULL,
        subject TEXT NOT NULL,
        PRIMARY KEY (game_id, family, subject)
      ) STRICT, WITHOUT ROWID;

      CREATE TABLE alternative (
        game_id TEXT NOT NULL,
        family TEXT NOT NULL,
        record_id TEXT NOT NULL,
        content TEXT NOT NULL,
        record_json TEXT NOT NULL,
        settled_at TEXT,
        PRIMARY KEY (game_id, family, record_id, content)
      ) STRICT;
    `);
    db.prepare("INSERT INTO library_note (name, value) VALUES (?, ?)").run(
      "people-key",
      randomBytes(32).toString("hex"),
    );
  },
};
