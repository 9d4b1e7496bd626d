import { type KeyboardEvent, memo, useEffect, useRef, useState } from "react";
import type { Play } from "#core/game/records";
import { downAndDistance } from "#core/game/words";
import type { GradeColumns } from "#core/grading/grade-sheet";
import type { GradeCell } from "#core/grading/grades";
import { GradeRow, type RowCell } from "./grade-row.tsx";
import type { GradeSheet } from "./use-grade-sheet.ts";

type Props = {
  readonly plays: readonly Play[];
  readonly columns: readonly GradeColumns[];
  readonly at: GradeCell | null;
  readonly gradeIn: GradeSheet["gradeIn"];
  readonly suggestedIn: GradeSheet["suggestedIn"];
  readonly onChoose: (cell: GradeCell) => void;
};

/** Plays down, officials and their criteria across. The arrows walk it; a cell shows the grade, or what is suggested. */
export const GradeTable = memo(function GradeTable({ plays, columns, at, gradeIn, suggestedIn, onChoose }: Props) {
  const body = useRef<HTMLTableElement>(null);
  const flat = columns.flatMap(({ position, criteria }) => criteria.map((criterion) => ({ position, criterion })));
  const walked = useRef(false);
  useEffect(() => {
    if (walked.current) body.current?.querySelector<HTMLElement>('[aria-current="true"]')?.focus();
    walked.current = false;
  }, [at?.playId, at?.position, at?.criterion]);
  // The whole game stands above its plays.
  const rows: readonly { readonly id: string | null; readonly name: string; readonly aside: string }[] = [
    { id: null, name: "Game", aside: "" },
    ...plays.map((play) => ({
      id: play.id,
      name: String(play.number),
      aside: downAndDistance(play.situation),
    })),
  ];
  const walk = (event: KeyboardEvent, row: number, column: number) => {
    const to = {
      ArrowUp: [row - 1, column],
      ArrowDown: [row + 1, column],
      ArrowLeft: [row, column - 1],
      ArrowRight: [row, column + 1],
      Home: [row, 0],
      End: [row, flat.length - 1],
    }[event.key];
    if (!to) return;
    const there = rows[Math.min(rows.length - 1, Math.max(0, to[0] ?? 0))];
    const next = flat[Math.min(flat.length - 1, Math.max(0, to[1] ?? 0))];
    event.preventDefault();
    event.stopPropagation();
    if (!there || !next) return;
    walked.current = true;
    onChoose({ playId: there.id, ...next });
  };
  // The same functions at every drawing, so that rows in which nothing changed are not drawn again.
  const latest = useRef({ walk, onChoose });
  latest.current = { walk, onChoose };
  const [stable] = useState(() => ({
    walk: (event: KeyboardEvent, row: number, column: number) => latest.current.walk(event, row, column),
    choose: (cell: GradeCell) => latest.current.onChoose(cell),
  }));
  return (
    <table ref={body} className="grade-table">
      <thead>
        <tr>
          <th rowSpan={2} scope="col">
            Play
          </th>
          {columns.map(({ position, criteria }) => (
            <th key={position} scope="colgroup" colSpan={criteria.length}>
              {position}
            </th>
          ))}
        </tr>
        <tr>
          {flat.map(({ position, criterion }) => (
            <th key={`${position} ${criterion}`} scope="col">
              {criterion}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map(({ id, name, aside }, row) => {
          const cells = flat.map((cell): RowCell => {
            const here = { playId: id, ...cell };
            return { ...cell, grade: gradeIn(here), suggested: suggestedIn(here) };
          });
          const atColumn =
            at?.playId === id
              ? flat.findIndex(({ position, criterion }) => position === at.position && criterion === at.criterion)
              : -1;
          return (
            <GradeRow
              key={id ?? "game"}
              playId={id}
              name={name}
              aside={aside}
              row={row}
              cells={cells}
              atColumn={atColumn}
              onChoose={stable.choose}
              onWalk={stable.walk}
            />
          );
        })}
      </tbody>
    </table>
  );
});
