import type { Migration } from "../migration.ts";

/** The mechanics books that a person has made: each as the text of its file, kept to the letter. */
export const books: Migration = {
  number: 30,
  up(db) {
    db.exec(`
      CREATE TABLE book (
        id TEXT PRIMARY KEY NOT NULL,
        file TEXT NOT NULL
      ) STRICT;
    `);
  },
};
