import type { Sqlite } from "./sqlite.ts";

/** One step of the schema. Numbered in tens and never edited once released; runs inside the upgrade's transaction. */
export type Migration = { readonly number: number; readonly up: (db: Sqlite) => void };
