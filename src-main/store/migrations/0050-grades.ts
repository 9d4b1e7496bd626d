import { randomUUID } from "node:crypto";
import type { Migration } from "../migration.ts";

/** Grades of officials, and the id of whoever keeps this library as their author. */
export const grades: Migration = {
  number: 50,
  up(db) {
    db.exec(`
      CREATE TABLE grade (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        play_id TEXT NOT NULL,
        position TEXT NOT NULL,
        criterion TEXT NOT NULL,
        scale_id TEXT NOT NULL,
        points REAL,
        suggested REAL,
        reason TEXT NOT NULL,
        comment TEXT NOT NULL,
        author_id TEXT NOT NULL,
        graded_at TEXT NOT NULL,
        UNIQUE (game_id, play_id, position, criterion, author_id),
        FOREIGN KEY (game_id, play_id) REFERENCES play (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
    `);
    db.prepare("INSERT INTO library_note (name, value) VALUES (?, ?)").run("observer-id", randomUUID());
  },
};
