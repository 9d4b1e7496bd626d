import { families, type Family, type GameRecords, type Moment, type RecordOf } from "./records.ts";

/**
 * One record as it was and as it becomes. `before` null makes a record, `after` null removes it. A list of changes is
 * what one edit does, what the history keeps, and, inverted, what takes the edit back.
 */
export type Change = {
  [F in Family]: {
    readonly family: F;
    readonly id: string;
    readonly before: RecordOf[F] | null;
    readonly after: RecordOf[F] | null;
  };
}[Family];

export function put<F extends Family>(family: F, before: RecordOf[F] | null, after: RecordOf[F]): Change {
  return { family, id: after.id, before, after } as unknown as Change;
}

export function remove<F extends Family>(family: F, before: RecordOf[F]): Change {
  return { family, id: before.id, before, after: null } as unknown as Change;
}

/** The changes that take these back, in the order they must be applied. */
export function invert(changes: readonly Change[]): Change[] {
  return changes.map((change) => ({ ...change, before: change.after, after: change.before }) as Change).toReversed();
}

/** Folds several changes of one record into one; a record made and removed again disappears from the list. */
export function squash(changes: readonly Change[]): Change[] {
  const folded = new Map<string, Change>();
  for (const change of changes) {
    const key = `${change.family}/${change.id}`;
    const earlier = folded.get(key);
    folded.set(key, earlier ? ({ ...change, before: earlier.before } as Change) : change);
  }
  return [...folded.values()].filter((change) => change.before !== null || change.after !== null);
}

function replaced<T extends { readonly id: string }>(rows: readonly T[], id: string, after: T | null): readonly T[] {
  const at = rows.findIndex((row) => row.id === id);
  if (after === null) return at < 0 ? rows : rows.toSpliced(at, 1);
  return at < 0 ? [...rows, after] : rows.with(at, after);
}

/** The records after the changes. A change of the game record itself cannot remove it here. */
export function applyChanges(records: GameRecords, changes: readonly Change[]): GameRecords {
  let next = records;
  for (const change of changes) {
    switch (change.family) {
      case "game":
        next = { ...next, game: change.after ?? next.game };
        break;
      case "film":
        next = { ...next, films: replaced(next.films, change.id, change.after) };
        break;
      case "play":
        next = { ...next, plays: replaced(next.plays, change.id, change.after) };
        break;
      case "angle":
        next = { ...next, angles: replaced(next.angles, change.id, change.after) };
        break;
      case "moment":
        next = { ...next, moments: replaced(next.moments, change.id, change.after) };
        break;
      case "stake":
        next = { ...next, stakes: replaced(next.stakes, change.id, change.after) };
        break;
      case "carry":
        next = { ...next, carries: replaced(next.carries, change.id, change.after) };
        break;
      case "mark":
        next = { ...next, marks: replaced(next.marks, change.id, change.after) };
        break;
      case "grade":
        next = { ...next, grades: replaced(next.grades, change.id, change.after) };
        break;
      case "ruling":
        next = { ...next, rulings: replaced(next.rulings, change.id, change.after) };
        break;
      case "note":
        next = { ...next, notes: replaced(next.notes, change.id, change.after) };
        break;
      case "seal":
        next = { ...next, seals: replaced(next.seals, change.id, change.after) };
        break;
    }
  }
  return next;
}

/** Owners before what they own for rows that stay, and the other way round for rows that go. */
export function inWriteOrder(changes: readonly Change[]): Change[] {
  const rank = (change: Change) => {
    const at = families.indexOf(change.family);
    return change.after === null ? -1 - at : at;
  };
  return changes.toSorted((a, b) => rank(a) - rank(b));
}

/** Removes a moment with its stakes, marks and what was carried from it. */
export function removeMoment(records: GameRecords, moment: Moment): Change[] {
  return [
    ...records.marks.filter((mark) => mark.momentId === moment.id).map((mark) => remove("mark", mark)),
    ...records.carries.filter((carry) => carry.momentId === moment.id).map((carry) => remove("carry", carry)),
    ...records.stakes.filter((stake) => stake.momentId === moment.id).map((stake) => remove("stake", stake)),
    remove("moment", moment),
  ];
}

/** Removes a play with everything measured and graded on it. */
export function removePlay(records: GameRecords, playId: string): Change[] {
  const play = records.plays.find((candidate) => candidate.id === playId);
  if (!play) return [];
  const moments = records.moments.filter((moment) => moment.playId === playId);
  return [
    ...moments.flatMap((moment) => removeMoment(records, moment)),
    ...records.angles.filter((angle) => angle.playId === playId).map((angle) => remove("angle", angle)),
    ...records.grades.filter((grade) => grade.playId === playId).map((grade) => remove("grade", grade)),
    ...records.rulings.filter((ruling) => ruling.playId === playId).map((ruling) => remove("ruling", ruling)),
    ...records.notes.filter((note) => note.playId === playId).map((note) => remove("note", note)),
    remove("play", play),
  ];
}
