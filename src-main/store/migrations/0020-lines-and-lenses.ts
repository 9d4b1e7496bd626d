import type { Migration } from "../migration.ts";
import { addToHistory } from "./add-to-history.ts";

const choices = { hashSet: null, numbers: null, goalWidth: null, custom: null };

/**
 * Stakes on lines, where a click was before it was settled on the paint, a film's lens, a game's own field, and surveys
 * carried to other frames. What the history keeps is rewritten too: an edit made before must still be taken back.
 */
export const linesAndLenses: Migration = {
  number: 20,
  up(db) {
    db.exec(`
      ALTER TABLE game ADD COLUMN field_choices_json TEXT NOT NULL DEFAULT '${JSON.stringify(choices)}';
      ALTER TABLE film ADD COLUMN lens_json TEXT;

      CREATE TABLE new_stake (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        moment_id TEXT NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('point', 'line')),
        target_id TEXT NOT NULL,
        clicks_json TEXT NOT NULL,
        sigma_px REAL NOT NULL,
        FOREIGN KEY (game_id, moment_id) REFERENCES moment (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
      INSERT INTO new_stake (id, game_id, moment_id, kind, target_id, clicks_json, sigma_px)
        SELECT id, game_id, moment_id, 'point', landmark_id,
          json_array(json_object('at', json(click_json), 'raw', NULL)), sigma_px
        FROM stake ORDER BY rowid;
      DROP TABLE stake;
      ALTER TABLE new_stake RENAME TO stake;
      CREATE INDEX stake_moment ON stake (game_id, moment_id);

      CREATE TABLE carry (
        id TEXT PRIMARY KEY NOT NULL,
        game_id TEXT NOT NULL REFERENCES game (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
        moment_id TEXT NOT NULL,
        first_index INTEGER NOT NULL,
        frame_count INTEGER NOT NULL,
        frames TEXT NOT NULL,
        stop_before TEXT,
        stop_after TEXT,
        FOREIGN KEY (game_id, moment_id) REFERENCES moment (game_id, id) DEFERRABLE INITIALLY DEFERRED
      ) STRICT;
      CREATE INDEX carry_moment ON carry (game_id, moment_id);
    `);
    addToHistory(db, {
      game: () => ({ fieldChoices: choices }),
      film: () => ({ lens: null }),
      stake: () => ({ kind: "point", raw: null }),
    });
  },
};
