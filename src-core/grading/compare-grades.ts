import { criteria, type Criterion, type Grade, type Play } from "../game/records.ts";

/** One cell that two people graded, or one of them; points are null where it cannot be judged, undefined where not graded. */
export type ComparedCell = {
  readonly playId: string | null;
  readonly playNumber: number;
  readonly criterion: Criterion;
  readonly own: number | null | undefined;
  readonly other: number | null | undefined;
};

export type Comparison = {
  readonly cells: readonly ComparedCell[];
  /** Cells that both gave points, those with the same points, and the mean of other less own; null without any. */
  readonly both: number;
  readonly same: number;
  readonly meanDifference: number | null;
};

/** An official's grades by two authors, cell by cell: the whole game first, then by play. */
export function compareGrades(
  grades: readonly Grade[],
  plays: readonly Play[],
  position: string,
  ownId: string,
  otherId: string,
): Comparison {
  const numberOf = new Map(plays.map(({ id, number }) => [id, number]));
  const cells = new Map<string, ComparedCell>();
  for (const grade of grades) {
    if (grade.position !== position || (grade.authorId !== ownId && grade.authorId !== otherId)) continue;
    const key = `${grade.playId ?? ""}/${grade.criterion}`;
    const before = cells.get(key) ?? {
      playId: grade.playId,
      playNumber: grade.playId === null ? 0 : (numberOf.get(grade.playId) ?? 0),
      criterion: grade.criterion,
      own: undefined,
      other: undefined,
    };
    cells.set(key, { ...before, [grade.authorId === ownId ? "own" : "other"]: grade.points });
  }
  const differences = [...cells.values()].flatMap(({ own, other }) =>
    typeof own === "number" && typeof other === "number" ? [other - own] : [],
  );
  return {
    cells: [...cells.values()].toSorted(
      (a, b) => a.playNumber - b.playNumber || criteria.indexOf(a.criterion) - criteria.indexOf(b.criterion),
    ),
    both: differences.length,
    same: differences.filter((difference) => difference === 0).length,
    meanDifference:
      differences.length === 0 ? null : differences.reduce((sum, one) => sum + one, 0) / differences.length,
  };
}

/** Who else has graded an official in a game. */
export function otherAuthors(grades: readonly Grade[], position: string, ownId: string): string[] {
  return [
    ...new Set(
      grades.filter((grade) => grade.position === position && grade.authorId !== ownId).map(({ authorId }) => authorId),
    ),
  ].toSorted();
}
