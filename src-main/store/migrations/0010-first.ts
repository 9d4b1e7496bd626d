import type { Migration } from "../migration.ts";

/**
 * The first tables. Every owned row names its game as well as its owner, and owners are referenced by both, so that no
 * row can hang under another game. References are checked at the end of a transaction: an edit may write in any order.
 */
export const first: Migration = {
  number: 10,
  up(db) {
    db.exec(`
      CREATE TABLE game (
        id TEXT PRIMARY KEY NOT NULL,
        title TEXT NOT NULL,
        played_on TEXT,
        level TEXT NOT NULL,
        home_name TEXT NOT NULL,
        away_name TEXT NOT NULL,
        players_per_side INTEGER NOT NULL,
        template_id TEXT NOT NULL,
        book_id TEXT NOT NULL,
        line_judge_side TEXT NOT NULL,
        crew_json TEXT NOT NULL
      ) STRICT;

      CREATE TABLE film (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        label TEXT NOT NULL,
        path TEXT NOT NULL,
        size_bytes INTEGER NOT NULL,
        fingerprint TEXT NOT NULL,
        width_px INTEGER NOT NULL,
        height_px INTEGER NOT NULL,
        duration_sec REAL NOT NULL,
        codec TEXT NOT NULL,
        UNIQUE (game_id, id)
      ) STRICT;

      CREATE TABLE play (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        film_id TEXT NOT NULL,
        number INTEGER NOT NULL,
        start_sec REAL NOT NULL,
        end_sec REAL NOT NULL,
        snap_sec REAL,
        situation_json TEXT NOT NULL,
        UNIQUE (game_id, id),
        FOREIGN KEY (game_id, film_id) REFERENCES film (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
      CREATE INDEX play_film ON play (game_id, film_id);

      CREATE TABLE moment (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        play_id TEXT NOT NULL,
        film_id TEXT NOT NULL,
        phase TEXT NOT NULL,
        frame_index INTEGER NOT NULL,
        time_sec REAL NOT NULL,
        UNIQUE (game_id, id),
        FOREIGN KEY (game_id, play_id) REFERENCES play (game_id, id) DEFERRABLE INITIALLY DEFERRED,
        FOREIGN KEY (game_id, film_id) REFERENCES film (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
      CREATE INDEX moment_play ON moment (game_id, play_id);
      CREATE INDEX moment_film ON moment (game_id, film_id);

      CREATE TABLE stake (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        moment_id TEXT NOT NULL,
        landmark_id TEXT NOT NULL,
        click_json TEXT NOT NULL,
        sigma_px REAL NOT NULL,
        FOREIGN KEY (game_id, moment_id) REFERENCES moment (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
      CREATE INDEX stake_moment ON stake (game_id, moment_id);

      CREATE TABLE mark (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        moment_id TEXT NOT NULL,
        subject_json TEXT NOT NULL,
        click_json TEXT NOT NULL,
        sigma_px REAL NOT NULL,
        facing_json TEXT,
        FOREIGN KEY (game_id, moment_id) REFERENCES moment (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
      CREATE INDEX mark_moment ON mark (game_id, moment_id);

      CREATE TABLE history (
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        sequence INTEGER NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('edit', 'undo', 'redo')),
        label TEXT NOT NULL,
        changes_json TEXT NOT NULL,
        target INTEGER,
        at TEXT NOT NULL,
        PRIMARY KEY (game_id, sequence),
        CHECK ((kind = 'edit') = (target IS NULL))
      ) STRICT;

      CREATE TABLE library_note (
        name TEXT PRIMARY KEY NOT NULL,
        value TEXT NOT NULL
      ) STRICT;
    `);
  },
};
