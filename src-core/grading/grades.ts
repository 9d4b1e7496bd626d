import { type Change, put, remove } from "../game/changes.ts";
import type { Criterion, GameRecords, Grade, Play, Seal } from "../game/records.ts";
import { isOnScale, type OwnScale, type Scale, scaleById, scales } from "./scales.ts";
import { timeAfter } from "./time-after.ts";

/** One cell of a grade sheet: a play or the whole game (null), an official and a criterion. */
export type GradeCell = { readonly playId: string | null; readonly position: string; readonly criterion: Criterion };

export type GradeSaid = {
  /** Null: it cannot be judged from film. */
  readonly points: number | null;
  readonly reason: string;
  readonly comment: string;
  /** Moments taken as evidence by hand. */
  readonly momentIds: readonly string[];
};

/** Who says it, and when. */
export type By = { readonly authorId: string; readonly now: Date; readonly newId: () => string };

export type GradeEdit =
  | { readonly ok: true; readonly label: string; readonly changes: readonly Change[] }
  | { readonly ok: false; readonly sentence: string };

export function gradeAt(grades: readonly Grade[], cell: GradeCell, authorId: string): Grade | null {
  const isHere = (grade: Grade) =>
    grade.playId === cell.playId && grade.position === cell.position && grade.criterion === cell.criterion;
  return grades.find((grade) => isHere(grade) && grade.authorId === authorId) ?? null;
}

/** As `gradeAt` for grades of one author, where many cells are asked for. */
export function gradesByCell(grades: readonly Grade[]): (cell: GradeCell) => Grade | null {
  const keyOf = ({ playId, position, criterion }: GradeCell) => JSON.stringify([playId, position, criterion]);
  const there = new Map<string, Grade>();
  for (const grade of grades) {
    const key = keyOf(grade);
    if (!there.has(key)) there.set(key, grade);
  }
  return (cell) => there.get(keyOf(cell)) ?? null;
}

/** The scale that an author grades a game by: that of their grades, which are all of one. Others may have taken another. */
export function scaleOf(grades: readonly Grade[], chosen: string, own: readonly OwnScale[] = []): Scale {
  return scaleById(grades[0]?.scaleId ?? chosen, own) ?? scales[0];
}

/** The seal of an author on a game; null while they are not finished with it. */
export function sealOf(seals: readonly Seal[], authorId: string): Seal | null {
  return seals.find((seal) => seal.authorId === authorId) ?? null;
}

/**
 * The time at which something is said: now, but later than what it follows (the version `before` it, and the seal of its author), since a
 * clock may have been put back. What stands after a seal would not say otherwise that it is an amendment.
 */
export function saidAt({ seals }: Pick<GameRecords, "seals">, before: string | null, by: By): string {
  const follows = [before, sealOf(seals, by.authorId)?.sealedAt ?? null].filter((at) => at !== null);
  return timeAfter(by.now, follows);
}

/** Why a grade cannot stand as it is, in words that say what to do; null where it can. */
export function gradeFault(
  scale: Scale,
  suggested: number | null,
  said: Pick<GradeSaid, "points" | "reason">,
  sealed = false,
): string | null {
  const { points } = said;
  if (points !== null && !isOnScale(scale, points)) return `${points} is no point of the scale “${scale.name}”.`;
  if (said.reason.trim() !== "") return null;
  if (sealed) return "The game is finalised: say why it is amended, then it counts.";
  if (points === null) return null;
  if (scale.reasonAt.includes(points)) return `${points} is an end of the scale: say why, then it counts.`;
  if (suggested !== null && points !== suggested)
    return `The findings suggest ${suggested}: say why it is ${points}, then it counts.`;
  return null;
}

/** Says, or says anew, what an official is graded in a cell; refused with what is missing. */
export function gradeEdit(
  records: GameRecords,
  cell: GradeCell,
  scale: Scale,
  suggested: number | null,
  said: GradeSaid,
  by: By,
): GradeEdit {
  const play = records.plays.find(({ id }) => id === cell.playId);
  if (!play && cell.playId !== null) return { ok: false, sentence: "This play is no longer in the game." };
  const other = records.grades.find(({ scaleId, authorId }) => scaleId !== scale.id && authorId === by.authorId);
  if (other)
    return {
      ok: false,
      sentence: "You have graded this game on another scale: take those grades back before you change it.",
    };
  const isSealed = sealOf(records.seals, by.authorId) !== null;
  const sentence = gradeFault(scale, suggested, said, isSealed);
  if (sentence !== null) return { ok: false, sentence };
  const before = gradeAt(records.grades, cell, by.authorId);
  const after: Grade = {
    id: before?.id ?? by.newId(),
    gameId: records.game.id,
    ...cell,
    scaleId: scale.id,
    points: said.points,
    suggested,
    reason: said.reason.trim(),
    comment: said.comment.trim(),
    momentIds: said.momentIds,
    authorId: by.authorId,
    gradedAt: saidAt(records, before?.gradedAt ?? null, by),
  };
  const verb = isSealed ? "Amend the grade of" : "Grade";
  const label = `${verb} ${cell.position} in ${cell.criterion} of ${play ? `play ${play.number}` : "the game"}`;
  return { ok: true, label, changes: [put("grade", before, after)] };
}

export function takeGradeBack(records: GameRecords, grade: Grade): GradeEdit {
  if (sealOf(records.seals, grade.authorId))
    return { ok: false, sentence: "The game is finalised: a grade is amended with a reason, and not taken back." };
  const play = records.plays.find(({ id }) => id === grade.playId);
  const label = `Take back the grade of ${grade.position} in ${grade.criterion} of ${play ? `play ${play.number}` : "the game"}`;
  return { ok: true, label, changes: [remove("grade", grade)] };
}

/** Whether everybody of the crew has a grade of the play. */
export function isGraded({ grades, game }: Pick<GameRecords, "grades" | "game">, play: Play): boolean {
  const graded = new Set(grades.filter(({ playId }) => playId === play.id).map(({ position }) => position));
  return game.crew.length > 0 && game.crew.every(({ position }) => graded.has(position));
}
