import { type KeyboardEvent, memo } from "react";
import type { Criterion, Grade } from "#core/game/records";
import type { GradeCell } from "#core/grading/grades";

export type RowCell = {
  readonly position: string;
  readonly criterion: Criterion;
  readonly grade: Grade | null;
  readonly suggested: number | null;
};

type Props = {
  /** Null: the whole game. */
  readonly playId: string | null;
  readonly name: string;
  readonly aside: string;
  readonly row: number;
  readonly cells: readonly RowCell[];
  /** Column of the cell at hand, or -1. */
  readonly atColumn: number;
  readonly onChoose: (cell: GradeCell) => void;
  readonly onWalk: (event: KeyboardEvent, row: number, column: number) => void;
};

/** One row of the grade sheet, drawn again only when something in it is another. */
export const GradeRow = memo(
  function GradeRow({ playId, name, aside, row, cells, atColumn, onChoose, onWalk }: Props) {
    return (
      <tr data-number={name}>
        <th scope="row">
          {name} <span className="soft">{aside}</span>
        </th>
        {cells.map(({ position, criterion, grade, suggested }, column) => {
          const said =
            grade === null ? "not graded" : grade.points === null ? "cannot be judged" : `graded ${grade.points}`;
          const isOverruled = grade !== null && grade.points !== null && grade.points !== grade.suggested;
          return (
            <td key={`${position} ${criterion}`}>
              <button
                type="button"
                className={grade ? "graded" : "suggested"}
                tabIndex={column === atColumn ? 0 : -1}
                aria-current={column === atColumn ? "true" : undefined}
                aria-label={`${playId === null ? "The game" : `Play ${name}`}, ${position}, ${criterion}: ${said}${
                  suggested === null ? "" : `, suggested ${suggested}`
                }`}
                onClick={() => onChoose({ playId, position, criterion })}
                onKeyDown={(event) => onWalk(event, row, column)}
              >
                {grade ? (grade.points ?? "?") : suggested === null ? "·" : `≈ ${suggested}`}
                {isOverruled && grade.suggested !== null ? <i aria-hidden="true">≠</i> : null}
              </button>
            </td>
          );
        })}
      </tr>
    );
  },
  ({ cells: before, ...beside }, { cells, ...now }) =>
    Object.entries(now).every(([name, value]) => value === beside[name as keyof typeof beside]) &&
    cells.length === before.length &&
    cells.every((cell, column) => isSameCell(cell, before[column])),
);

function isSameCell(a: RowCell, b: RowCell | undefined): boolean {
  return (
    a.position === b?.position && a.criterion === b.criterion && a.grade === b.grade && a.suggested === b.suggested
  );
}
