import type { Migration } from "../migration.ts";
import { addToHistory } from "./add-to-history.ts";

/**
 * Grades of a whole game, with the moments taken as evidence; rulings, private notes, and the seal of a finished game.
 * Every version of a grade and of a ruling is kept by the database itself, so that no way of writing passes it by. An edit
 * that is final is never taken back: that which seals a game, and those of a sealed one.
 */
export const evaluation: Migration = {
  number: 60,
  up(db) {
    db.exec(`
      CREATE TABLE grade_new (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        play_id TEXT,
        position TEXT NOT NULL,
        criterion TEXT NOT NULL,
        scale_id TEXT NOT NULL,
        points REAL,
        suggested REAL,
        reason TEXT NOT NULL,
        comment TEXT NOT NULL,
        moment_ids_json TEXT NOT NULL,
        author_id TEXT NOT NULL,
        graded_at TEXT NOT NULL,
        FOREIGN KEY (game_id, play_id) REFERENCES play (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
      INSERT INTO grade_new
        SELECT id, game_id, play_id, position, criterion, scale_id, points, suggested, reason, comment, '[]', author_id, graded_at
        FROM grade ORDER BY rowid;
      DROP TABLE grade;
      ALTER TABLE grade_new RENAME TO grade;
      CREATE UNIQUE INDEX grade_cell ON grade (game_id, ifnull(play_id, ''), position, criterion, author_id);
      CREATE INDEX grade_play ON grade (game_id, play_id);

      CREATE TABLE ruling (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        play_id TEXT NOT NULL,
        kind TEXT NOT NULL,
        class TEXT NOT NULL,
        foul TEXT NOT NULL,
        position TEXT,
        seers_json TEXT NOT NULL,
        moment_id TEXT,
        spot_given_x_yards REAL,
        comment TEXT NOT NULL,
        author_id TEXT NOT NULL,
        ruled_at TEXT NOT NULL,
        FOREIGN KEY (game_id, play_id) REFERENCES play (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
      CREATE INDEX ruling_play ON ruling (game_id, play_id);

      CREATE TABLE note (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        play_id TEXT,
        position TEXT,
        text TEXT NOT NULL,
        author_id TEXT NOT NULL,
        written_at TEXT NOT NULL,
        FOREIGN KEY (game_id, play_id) REFERENCES play (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
      CREATE UNIQUE INDEX note_subject ON note (game_id, ifnull(play_id, ''), ifnull(position, ''), author_id);
      CREATE INDEX note_play ON note (game_id, play_id);

      CREATE TABLE seal (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        author_id TEXT NOT NULL,
        sealed_at TEXT NOT NULL,
        UNIQUE (game_id, author_id)
      ) STRICT;

      CREATE TABLE version (
        number INTEGER PRIMARY KEY,
        game_id TEXT NOT NULL,
        record_id TEXT NOT NULL,
        family TEXT NOT NULL,
        act TEXT NOT NULL,
        said TEXT NOT NULL,
        reason TEXT NOT NULL,
        author_id TEXT NOT NULL,
        at TEXT NOT NULL
      ) STRICT;
      CREATE INDEX version_record ON version (game_id, record_id);
    `);
    db.exec(`
      CREATE TABLE history_new (
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        sequence INTEGER NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('edit', 'undo', 'redo', 'final')),
        label TEXT NOT NULL,
        changes_json TEXT NOT NULL,
        target INTEGER,
        at TEXT NOT NULL,
        PRIMARY KEY (game_id, sequence),
        CHECK ((kind IN ('edit', 'final')) = (target IS NULL))
      ) STRICT;
      INSERT INTO history_new SELECT * FROM history ORDER BY rowid;
      DROP TABLE history;
      ALTER TABLE history_new RENAME TO history;
    `);
    const said = {
      grade: (row: string) => `ifnull(${row}.points, 'cannot judge')`,
      ruling: (row: string) => `${row}.class || ' ' || ${row}.kind || ': ' || ${row}.foul`,
    };
    const reason = { grade: "reason", ruling: "comment" };
    const time = { grade: "graded_at", ruling: "ruled_at" };
    for (const family of ["grade", "ruling"] as const) {
      const keep = (act: string, row: "new" | "old", at: string) => `
        INSERT INTO version (game_id, record_id, family, act, said, reason, author_id, at)
        VALUES (${row}.game_id, ${row}.id, '${family}', '${act}', CAST(${said[family](row)} AS TEXT), ${row}.${reason[family]}, ${row}.author_id, ${at});`;
      db.exec(`
        CREATE TRIGGER ${family}_given AFTER INSERT ON ${family} BEGIN ${keep("given", "new", `new.${time[family]}`)} END;
        CREATE TRIGGER ${family}_changed AFTER UPDATE ON ${family} BEGIN ${keep("changed", "new", `new.${time[family]}`)} END;
        CREATE TRIGGER ${family}_taken_back AFTER DELETE ON ${family} BEGIN
          ${keep("taken back", "old", "strftime('%Y-%m-%dT%H:%M:%fZ', 'now')")}
        END;
      `);
    }
    db.exec(`
      INSERT INTO version (game_id, record_id, family, act, said, reason, author_id, at)
        SELECT game_id, id, 'grade', 'given', CAST(ifnull(points, 'cannot judge') AS TEXT), reason, author_id, graded_at
        FROM grade ORDER BY graded_at, rowid;
    `);
    addToHistory(db, { grade: () => ({ momentIds: [] }) });
  },
};
