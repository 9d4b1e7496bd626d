import type { Migration } from "../migration.ts";
import { addToHistory } from "./add-to-history.ts";

/**
 * The order of a game's films, the times, kind and end of a play, and the same play on another film. Films stood in the
 * order they were attached in.
 */
export const breakdown: Migration = {
  number: 40,
  up(db) {
    db.exec(`
      ALTER TABLE film ADD COLUMN order_number INTEGER NOT NULL DEFAULT 1;
      UPDATE film SET order_number = (
        SELECT count(*) FROM film AS earlier WHERE earlier.game_id = film.game_id AND earlier.rowid <= film.rowid
      );
      ALTER TABLE play ADD COLUMN release_sec REAL;
      ALTER TABLE play ADD COLUMN catch_sec REAL;
      ALTER TABLE play ADD COLUMN dead_sec REAL;
      ALTER TABLE play ADD COLUMN kind TEXT;
      ALTER TABLE play ADD COLUMN quarter INTEGER;
      ALTER TABLE play ADD COLUMN series INTEGER;
      ALTER TABLE play ADD COLUMN result_json TEXT;

      CREATE TABLE angle (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        play_id TEXT NOT NULL,
        film_id TEXT NOT NULL,
        play_instant_sec REAL NOT NULL,
        instant_sec REAL NOT NULL,
        FOREIGN KEY (game_id, play_id) REFERENCES play (game_id, id) DEFERRABLE INITIALLY DEFERRED,
        FOREIGN KEY (game_id, film_id) REFERENCES film (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
      CREATE INDEX angle_play ON angle (game_id, play_id);
      CREATE INDEX angle_film ON angle (game_id, film_id);
    `);
    const orders = new Map(
      db
        .prepare<[], { id: string; order_number: number }>("SELECT id, order_number FROM film")
        .all()
        .map((film) => [film.id, film.order_number]),
    );
    addToHistory(db, {
      film: ({ id }) => ({ order: orders.get(String(id)) ?? 1 }),
      play: () => ({
        releaseSec: null,
        catchSec: null,
        deadSec: null,
        kind: null,
        quarter: null,
        series: null,
        result: null,
      }),
    });
  },
};
