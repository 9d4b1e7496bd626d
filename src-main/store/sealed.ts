import { Failure } from "#core/contract/errors";
import type { Change } from "#core/game/changes";
import type { Seal } from "#core/game/records";

/** Families that a seal leaves free: where a film lies, and what an author keeps to themselves. */
const free: ReadonlySet<string> = new Set(["film", "note"]);

/**
 * Throws INVALID where a sealed game would be changed by more than an amendment: a grade or ruling of an author who has sealed it
 * that says why. What other authors say comes and goes as it likes until they have sealed it too. It holds what a person edits here:
 * what an import brings has been sealed, or amended, where it was said, and goes past it (`bring` in history.ts).
 */
export function assertFitsSeals(seals: readonly Seal[], changes: readonly Change[]): void {
  if (seals.length === 0) return;
  const sealedBy = new Set(seals.map(({ authorId }) => authorId));
  const refused = (sentence: string) => new Failure("INVALID", `${sentence} Nothing was written.`);
  for (const change of changes) {
    if (free.has(change.family)) continue;
    if (change.family === "seal") {
      if (change.before !== null) throw refused("A game that is finalised stays so.");
      continue;
    }
    if (change.family !== "grade" && change.family !== "ruling")
      throw refused("This game is finalised: what was broken down and measured stays as it was graded.");
    const author = (change.before ?? change.after)?.authorId ?? "";
    if (!sealedBy.has(author)) continue;
    if (change.after === null)
      throw refused("This game is finalised: what was said is amended with a reason, and not taken back.");
    const why = change.family === "grade" ? change.after.reason : change.after.comment;
    if (why.trim() === "") throw refused("This game is finalised: an amendment says why.");
  }
}

/** Whether an edit is never taken back: it seals the game, or amends a sealed one. */
export function isFinal(seals: readonly Seal[], changes: readonly Change[]): boolean {
  return seals.length > 0 || changes.some(({ family }) => family === "seal");
}
