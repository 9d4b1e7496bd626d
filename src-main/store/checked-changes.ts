import { Failure } from "#core/contract/errors";
import { type Change, squash } from "#core/game/changes";
import type { Family, RecordOf } from "#core/game/records";
import type { RowTable } from "./row-table.ts";
import { sameRecord } from "./same-record.ts";
import { recordShapes, type Tables } from "./tables.ts";

type AnyRecord = RecordOf[Family];

/** The table of a change's family, for records whose family is known only to be the same as the change's. */
export function tableOf(tables: Tables, family: Family): RowTable<Family> {
  return tables[family] as unknown as RowTable<Family>;
}

/**
 * The net changes of an edit, each checked: it belongs to this game, its `before` is what is stored (or what an earlier
 * change of the same edit left), and its `after` could be read back. Throws INVALID or STALE; nothing is written here.
 */
export function checkedChanges(tables: Tables, gameId: string, changes: readonly Change[]): Change[] {
  const left = new Map<string, AnyRecord | null>();
  const checked = changes.map((change): Change => {
    const key = `${change.family}/${change.id}`;
    const after = change.after === null ? null : readable(change.family, change.after);
    assertFits(change, gameId);
    const earlier = left.get(key);
    const stored = earlier === undefined ? tableOf(tables, change.family).get(change.id) : earlier;
    if (!sameRecord(stored, change.before)) {
      throw new Failure(
        "STALE",
        `The ${change.family} was changed in another window since this one read it. Nothing was written: look at it as it is now and do the edit again.`,
      );
    }
    left.set(key, after);
    return { ...change, after } as Change;
  });
  return squash(checked);
}

function assertFits(change: Change, gameId: string): void {
  const { family, before, after } = change;
  const wrong = (what: string) => new Failure("INVALID", `${what} Nothing was written.`);
  if (before === null && after === null) throw wrong(`A change of a ${family} neither makes, edits nor removes it.`);
  for (const record of [before, after]) {
    if (record === null) continue;
    if (record.id !== change.id) throw wrong(`A change of the ${family} ${change.id} holds another record.`);
    const owner = "gameId" in record ? record.gameId : record.id;
    if (owner !== gameId) throw wrong(`A change of the ${family} ${change.id} belongs to another game.`);
  }
  if (family === "game" && (before === null || after === null)) {
    throw wrong("An edit of a game cannot make or remove the game itself.");
  }
}

/** What the record will be when it is read back; refused when it could not be. */
function readable(family: Family, record: AnyRecord): AnyRecord {
  const result = recordShapes[family].safeParse(record);
  if (result.success) return result.data;
  const issue = result.error.issues[0];
  const at = [family, ...(issue?.path ?? [])].join(".");
  throw new Failure("INVALID", `${at}: ${issue?.message ?? "not as it should be"}. Nothing was written.`);
}
