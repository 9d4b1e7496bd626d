import type { Sqlite } from "./sqlite.ts";

/** Small facts of the library itself, by name. */
export type LibraryNotes = {
  readonly get: (name: string) => string | null;
  readonly set: (name: string, value: string) => void;
};

export function openLibraryNotes(db: Sqlite): LibraryNotes {
  const select = db.prepare<[string], { value: string }>("SELECT value FROM library_note WHERE name = ?");
  const upsert = db.prepare<[string, string]>(
    "INSERT INTO library_note (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value",
  );
  return {
    get: (name) => select.get(name)?.value ?? null,
    set: (name, value) => void upsert.run(name, value),
  };
}
