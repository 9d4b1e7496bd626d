import { assertNever } from "#core/field/units";

/** `final`: what is done by it, and all before it, is never taken back. */
export type EntryKind = "edit" | "undo" | "redo" | "final";

/** One line of a game's history. `target` is the edit that an undo takes back or a redo makes again; null otherwise. */
export type HistoryEntry = { readonly sequence: number; readonly kind: EntryKind; readonly target: number | null };

/** Sequences of the edits that stand and of those taken back, newest last, and of the newest entry of any kind. */
export type UndoStacks = { readonly undo: number[]; readonly redo: number[]; sequence: number };

/** Advances the stacks by the next entry of the log. Throws when the log contradicts itself. */
export function advance(stacks: UndoStacks, entry: HistoryEntry): void {
  if (entry.sequence !== stacks.sequence + 1)
    throw new Error(`history goes from ${stacks.sequence} to ${entry.sequence}`);
  switch (entry.kind) {
    case "edit":
      stacks.undo.push(entry.sequence);
      stacks.redo.length = 0;
      break;
    case "final":
      stacks.undo.length = 0;
      stacks.redo.length = 0;
      break;
    case "undo":
      moveTop(stacks.undo, stacks.redo, entry);
      break;
    case "redo":
      moveTop(stacks.redo, stacks.undo, entry);
      break;
    default:
      assertNever(entry.kind);
  }
  stacks.sequence = entry.sequence;
}

function moveTop(from: number[], to: number[], entry: HistoryEntry): void {
  const target = from.at(-1);
  if (target === undefined || target !== entry.target)
    throw new Error(`history entry ${entry.sequence} has the wrong target`);
  from.pop();
  to.push(target);
}
