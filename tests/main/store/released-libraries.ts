/** Libraries that earlier programs wrote, with what those programs read in them (`tests/fixtures/libraries/README.md`). */
import { copyFileSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import { asTheTemplate } from "#core/field/field-choices";
import { nothingSaid } from "#core/game/records";
import type { OpenedGame } from "../../../src-main/store/library.ts";

const folder = join(import.meta.dirname, "..", "..", "fixtures", "libraries");

export type LooseRecord = { readonly id: string; readonly [property: string]: unknown };
type HistoryState = OpenedGame["history"];
/** Records by the name of their list, as a game is opened; the game itself is a list of one. */
export type Lists = { readonly [list: string]: readonly LooseRecord[] };
/** A state beside another one: only the lists that differ. */
type Step = { readonly history: HistoryState; readonly records: Lists };

export type ReleasedGame = {
  readonly summary: LooseRecord & { readonly title: string };
  readonly sequence: number;
  readonly history: HistoryState;
  readonly filmStates: readonly { readonly filmId: string; readonly state: string }[];
  readonly counts: { readonly [list: string]: number };
  readonly records: Lists;
  readonly versions?: readonly object[];
  readonly saidVersions?: readonly object[];
  /** With every edit made again that was taken back, beside `records`. */
  readonly top: Step;
  /** What each undo leads back to from there, beside the state before it. */
  readonly undone: readonly Step[];
};

export type ReleasedContent = {
  readonly schema: number;
  readonly games: readonly ReleasedGame[];
  readonly notes: { readonly [name: string]: string };
  readonly books?: readonly { readonly id: string; readonly file: string; readonly fault: null }[];
  readonly settings?: object;
  readonly packets?: readonly object[];
  readonly conflicts?: readonly object[];
};

const stemOf = (schema: number) => `schema-${String(schema).padStart(4, "0")}`;

/** The schemas of which there is both a library and what was in it. */
export function releasedSchemas(): number[] {
  const names = readdirSync(folder);
  return names
    .flatMap((name) => /^schema-(\d{4})\.crewglass$/u.exec(name)?.[1] ?? [])
    .map(Number)
    .filter((schema) => names.includes(`${stemOf(schema)}.json`))
    .toSorted((a, b) => a - b);
}

export function releasedContent(schema: number): ReleasedContent {
  return JSON.parse(readFileSync(join(folder, `${stemOf(schema)}.json`), "utf8")) as ReleasedContent;
}

/** Copies the library of a schema into a folder, and says where it is. */
export function copyReleased(schema: number, into: string): string {
  const path = join(into, "library.crewglass");
  copyFileSync(join(folder, `${stemOf(schema)}.crewglass`), path);
  return path;
}

export function listsOf(opened: OpenedGame): Lists {
  const { game, sequence: _, history: __, ...lists } = opened;
  return { game: [game], ...lists };
}

/** All states that undo and redo lead to, from the first to the last edit, with the names of what can be taken back and made again. */
export function statesOf(game: ReleasedGame): { readonly history: HistoryState; readonly lists: Lists }[] {
  const states = [{ history: game.top.history, lists: { ...game.records, ...game.top.records } }];
  for (const { history, records } of game.undone)
    states.unshift({ history, lists: { ...states[0]!.lists, ...records } });
  return states;
}

type Adding = {
  readonly schema: number;
  readonly list: string;
  readonly add: (record: LooseRecord, game: ReleasedGame) => object;
};

/**
 * What the migration to a schema adds to the records of a list. None has changed or dropped a property that was there; what
 * stands otherwise in the tables (a stake's click as one of a list) comes out as it went in.
 */
const additions: readonly Adding[] = [
  { schema: 20, list: "game", add: () => ({ fieldChoices: asTheTemplate }) },
  { schema: 20, list: "films", add: () => ({ lens: null }) },
  { schema: 20, list: "stakes", add: () => ({ kind: "point", raw: null }) },
  // In the order they were attached. A film that was removed comes back, if it does, among the first.
  {
    schema: 40,
    list: "films",
    add: ({ id }, { records }) => ({
      order:
        Math.max(
          0,
          records["films"]!.findIndex((film) => film.id === id),
        ) + 1,
    }),
  },
  { schema: 40, list: "plays", add: ({ snapSec }) => ({ ...nothingSaid, snapSec }) },
  { schema: 60, list: "grades", add: () => ({ momentIds: [] }) },
];

/** The lists of a game as they are after an upgrade: each record as it was, with what was added since. */
export function upgraded(lists: Lists, game: ReleasedGame, schema: number): Lists {
  const due = additions.filter((adding) => adding.schema > schema);
  return Object.fromEntries(
    Object.entries(lists).map(([list, records]) => {
      const adding = due.filter((one) => one.list === list);
      return [list, records.map((record) => Object.assign({}, record, ...adding.map(({ add }) => add(record, game))))];
    }),
  );
}

export type RawContent = {
  readonly schema: number;
  readonly applicationId: number;
  /** The text of every table, index and trigger, by its name. */
  readonly parts: { readonly [name: string]: string | null };
  /** The rows of every table in their order, each a line of JSON. */
  readonly rows: { readonly [table: string]: readonly string[] };
};

/** All that a closed library holds, whatever pages it lies in. */
export function rawContent(path: string): RawContent {
  const db = new BetterSqlite3(path, { fileMustExist: true });
  try {
    const number = (name: string) => Number(db.pragma(name, { simple: true }));
    const parts = db
      .prepare<[], { type: string; name: string; sql: string | null }>("SELECT type, name, sql FROM sqlite_schema")
      .all();
    const tables = parts.filter(({ type }) => type === "table");
    return {
      schema: number("user_version"),
      applicationId: number("application_id"),
      parts: Object.fromEntries(parts.map(({ type, name, sql }) => [`${type} ${name}`, sql])),
      rows: Object.fromEntries(
        tables.map(({ name }) => [
          name,
          db
            .prepare(`SELECT * FROM "${name}"`)
            .raw()
            .all()
            .map((row) => JSON.stringify(row)),
        ]),
      ),
    };
  } finally {
    db.close();
  }
}
