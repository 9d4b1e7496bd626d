import { type Criterion, criteria, type GameRecords, type Grade, type Mark } from "../game/records.ts";
import type { Book } from "../mechanics/book.ts";
import type { Finding } from "../scoring/finding.ts";
import type { JudgedPlay } from "../scoring/judge-play.ts";
import { criterionByRule, type Scores } from "../scoring/play-scores.ts";
import type { GradeCell } from "./grades.ts";

/** The columns under one official: the criteria in which they were judged by the findings, or graded. */
export type GradeColumns = { readonly position: string; readonly criteria: readonly Criterion[] };

/** The same list with a person's own position before the others. */
export function ownFirst<T extends { readonly position: string }>(
  list: readonly T[],
  ownPosition: string | null,
): readonly T[] {
  return list.toSorted((a, b) => Number(b.position === ownPosition) - Number(a.position === ownPosition));
}

export function gradeColumns(
  judged: ReadonlyMap<string, JudgedPlay>,
  { game, grades }: Pick<GameRecords, "game" | "grades">,
): GradeColumns[] {
  return game.crew.map(({ position }) => {
    const there = new Set<Criterion>(
      grades.filter((grade) => grade.position === position).map(({ criterion }) => criterion),
    );
    for (const { scores } of judged.values())
      for (const official of scores.officials)
        if (official.position === position) for (const { criterion } of official.criteria) there.add(criterion);
    // Whatever the film shows or does not, where one stands can be graded.
    there.add("station");
    return { position, criteria: criteria.filter((criterion) => there.has(criterion)) };
  });
}

/** The computed score (0 to 100) of a cell; null where it is withheld, or nothing of it came up. */
export function scoreOfCell(
  judged: { readonly scores: Scores } | undefined,
  { position, criterion }: Pick<GradeCell, "position" | "criterion">,
): number | null {
  const official = judged?.scores.officials.find((one) => one.position === position);
  return official?.criteria.find((one) => one.criterion === criterion)?.score ?? null;
}

export type Evidence = {
  readonly finding: Finding;
  /** The moment it was seen at: that of the first mark it rests on. */
  readonly momentId: string | null;
};

/** The findings that a cell rests on. */
export function evidenceOf(
  judged: JudgedPlay | undefined,
  { position, criterion }: Pick<GradeCell, "position" | "criterion">,
  book: Book,
  marks: readonly Mark[],
): Evidence[] {
  if (!judged) return [];
  const byRule = criterionByRule(book);
  const momentOf = new Map(marks.map(({ id, momentId }) => [id, momentId]));
  const isOfCell = (finding: Finding) =>
    finding.position === position && byRule.get(finding.ruleId) === criterion && finding.verdict !== "not applicable";
  return [
    ...judged.findings.filter(isOfCell).map((finding) => ({
      finding,
      momentId: finding.markIds.flatMap((id) => momentOf.get(id) ?? [])[0] ?? null,
    })),
    ...judged.moments.flatMap(({ moment, judged: { findings } }) =>
      findings.filter(isOfCell).map((finding) => ({ finding, momentId: moment.id })),
    ),
  ];
}

/** How much of a sheet is graded: cells that have a score or a grade, and those of them that are graded. */
export function gradedShare(
  plays: readonly { readonly id: string }[],
  columns: readonly GradeColumns[],
  judged: ReadonlyMap<string, JudgedPlay>,
  grades: readonly Grade[],
): { readonly graded: number; readonly of: number } {
  const done = new Set(grades.map(({ playId, position, criterion }) => `${playId}/${position}/${criterion}`));
  let graded = 0;
  let of = 0;
  for (const { id: playId } of plays)
    for (const { position, criteria: own } of columns)
      for (const criterion of own) {
        const isDone = done.has(`${playId}/${position}/${criterion}`);
        if (isDone) graded++;
        if (isDone || scoreOfCell(judged.get(playId), { position, criterion }) !== null) of++;
      }
  return { graded, of };
}
