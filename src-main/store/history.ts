import { Failure } from "#core/contract/errors";
import { type Change, invert, inWriteOrder } from "#core/game/changes";
import { checkedChanges, tableOf } from "./checked-changes.ts";
import { parseJson } from "./row-table.ts";
import { assertFitsSeals, isFinal } from "./sealed.ts";
import type { Sqlite } from "./sqlite.ts";
import { changesShape, type Tables } from "./tables.ts";
import { advance, type EntryKind, type HistoryEntry, type UndoStacks } from "./undo-stacks.ts";

/** The names of the edits that can be taken back or made again next; null when there is none. */
export type HistoryState = { readonly undo: string | null; readonly redo: string | null };

/** What one commit, undo or redo did. `sequence` counts them within the game, from 1 without gaps. */
export type Edited = { readonly sequence: number; readonly changes: Change[]; readonly history: HistoryState };

/** The one write door of a game. Everything thrown leaves the library as it was. */
export type History = {
  /**
   * Checks every change against what is stored, then writes the rows and the change set in one transaction. Throws
   * NOT_FOUND (no such game), STALE (a record is no longer what the edit saw), INVALID (the changes do not fit, or the
   * game is sealed against them).
   */
  readonly commit: (gameId: string, label: string, changes: readonly Change[]) => Edited;
  /** Takes back the newest edit that stands, as a commit of its inverse. Throws INVALID when there is none. */
  readonly undo: (gameId: string) => Edited;
  /** Makes again the edit that was taken back last; a new edit in between clears it. Throws INVALID when none. */
  readonly redo: (gameId: string) => Edited;
  /**
   * Writes what came from outside a game's own edits, as an import does: whatever the seals hold, since a sealed game keeps what its
   * author said and takes in what others say. It is never taken back, nor is what was edited before it. Runs inside the
   * caller's transaction; `edited` is called once that is on disk.
   */
  readonly bring: (gameId: string, label: string, changes: readonly Change[]) => { readonly edited: () => Edited };
  readonly at: (gameId: string) => { readonly sequence: number; readonly history: HistoryState };
  /** Drops what is remembered of a game that has been removed. */
  readonly forget: (gameId: string) => void;
};

type StoredEntry = { readonly label: string; readonly changes_json: string };

export function openHistory(db: Sqlite, tables: Tables, clock: () => Date): History {
  const selectLog = db.prepare<[string], HistoryEntry>(
    "SELECT sequence, kind, target FROM history WHERE game_id = ? ORDER BY sequence",
  );
  const selectEntry = db.prepare<[string, number], StoredEntry>(
    "SELECT label, changes_json FROM history WHERE game_id = ? AND sequence = ?",
  );
  const insertEntry = db.prepare<[string, number, EntryKind, string, string, number | null, string]>(
    "INSERT INTO history (game_id, sequence, kind, label, changes_json, target, at) VALUES (?, ?, ?, ?, ?, ?, ?)",
  );

  // This process is the only writer of the library, so the stacks stay true from one read of the log to the next write.
  const known = new Map<string, UndoStacks>();
  const stacksOf = (gameId: string): UndoStacks => {
    const before = known.get(gameId);
    if (before !== undefined) return before;
    const stacks: UndoStacks = { undo: [], redo: [], sequence: 0 };
    for (const entry of selectLog.iterate(gameId)) advance(stacks, entry);
    known.set(gameId, stacks);
    return stacks;
  };

  const entryOf = (gameId: string, sequence: number): StoredEntry => {
    const entry = selectEntry.get(gameId, sequence);
    if (entry === undefined) throw new Error(`history of ${gameId} has no entry ${sequence}`);
    return entry;
  };
  const changesOf = (gameId: string, sequence: number): readonly Change[] => {
    const parsed = changesShape.safeParse(parseJson(entryOf(gameId, sequence).changes_json));
    if (parsed.success) return parsed.data;
    throw new Failure(
      "LIBRARY_FAILED",
      `The library's history ${gameId}/${sequence} cannot be read, so this cannot be taken back or made again. Nothing was changed.`,
    );
  };

  const labelOf = (gameId: string, sequence: number | undefined) =>
    sequence === undefined ? null : entryOf(gameId, sequence).label;
  const stateOf = (gameId: string): HistoryState => {
    const stacks = stacksOf(gameId);
    return { undo: labelOf(gameId, stacks.undo.at(-1)), redo: labelOf(gameId, stacks.redo.at(-1)) };
  };

  const keepEntry = (gameId: string, entry: HistoryEntry, label: string, changes: readonly Change[]) => {
    const { sequence, kind, target } = entry;
    insertEntry.run(gameId, sequence, kind, label, JSON.stringify(changes), target, clock().toISOString());
  };
  const write = db.transaction(
    (gameId: string, entry: HistoryEntry, label: string, changes: readonly Change[]): Change[] => {
      const net = checkedChanges(tables, gameId, changes);
      assertFitsSeals(tables.seal.ofGame(gameId), net);
      writeRows(tables, net);
      keepEntry(gameId, entry, label, net);
      return net;
    },
  );

  const record = (
    gameId: string,
    kind: EntryKind,
    target: number | null,
    label: string,
    changes: readonly Change[],
  ): Edited => {
    const stacks = stacksOf(gameId);
    const entry: HistoryEntry = { sequence: stacks.sequence + 1, kind, target };
    const net = write.immediate(gameId, entry, label, changes);
    advance(stacks, entry);
    return { sequence: entry.sequence, changes: net, history: stateOf(gameId) };
  };

  const assertGame = (gameId: string) => {
    if (tables.game.get(gameId) === null) throw new Failure("NOT_FOUND", "This game is no longer in the library.");
  };

  const step = (gameId: string, kind: "undo" | "redo"): Edited => {
    assertGame(gameId);
    const target = stacksOf(gameId)[kind].at(-1);
    if (target === undefined) throw new Failure("INVALID", `There is nothing to ${kind} in this game.`);
    const changes = changesOf(gameId, target);
    const label = entryOf(gameId, target).label;
    return record(gameId, kind, target, label, kind === "undo" ? invert(changes) : changes);
  };

  return {
    commit: (gameId, label, changes) => {
      assertGame(gameId);
      const kind = isFinal(tables.seal.ofGame(gameId), changes) ? "final" : "edit";
      return record(gameId, kind, null, label, changes);
    },
    undo: (gameId) => step(gameId, "undo"),
    redo: (gameId) => step(gameId, "redo"),
    bring: (gameId, label, changes) => {
      const stacks = stacksOf(gameId);
      const entry: HistoryEntry = { sequence: stacks.sequence + 1, kind: "final", target: null };
      writeRows(tables, changes);
      keepEntry(gameId, entry, label, changes);
      return {
        edited: () => {
          advance(stacks, entry);
          return { sequence: entry.sequence, changes: [...changes], history: stateOf(gameId) };
        },
      };
    },
    at: (gameId) => ({ sequence: stacksOf(gameId).sequence, history: stateOf(gameId) }),
    forget: (gameId) => void known.delete(gameId),
  };
}

export function writeRows(tables: Tables, changes: readonly Change[]): void {
  for (const change of inWriteOrder(changes)) {
    const table = tableOf(tables, change.family);
    if (change.after === null) table.remove(change.id);
    else if (change.before === null) table.insert(change.after);
    else table.update(change.after);
  }
}
