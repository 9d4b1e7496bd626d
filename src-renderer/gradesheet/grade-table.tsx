import { type KeyboardEvent, useEffect, useRef } from "react";
import { downAndDistance } from "#core/game/words";
import type { GradeCell } from "#core/grading/grades";
import type { GradeSheet } from "./use-grade-sheet.ts";

/** Plays down, officials and their criteria across. The arrows walk it; a cell shows the grade, or what is suggested. */
export function GradeTable({ sheet }: { readonly sheet: GradeSheet }) {
  const { plays, columns, at } = sheet;
  const body = useRef<HTMLTableElement>(null);
  const flat = columns.flatMap(({ position, criteria }) => criteria.map((criterion) => ({ position, criterion })));
  const isAt = (cell: GradeCell) =>
    cell.playId === at?.playId && cell.position === at.position && cell.criterion === at.criterion;
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
    sheet.choose({ playId: there.id, ...next });
  };
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
        {rows.map(({ id, name, aside }, row) => (
          <tr key={id ?? "game"} data-number={name}>
            <th scope="row">
              {name} <span className="soft">{aside}</span>
            </th>
            {flat.map((cell, column) => {
              const here = { playId: id, ...cell };
              const grade = sheet.gradeIn(here);
              const suggested = sheet.suggestedIn(here);
              const said =
                grade === null ? "not graded" : grade.points === null ? "cannot be judged" : `graded ${grade.points}`;
              const isOverruled = grade !== null && grade.points !== null && grade.points !== grade.suggested;
              return (
                <td key={`${cell.position} ${cell.criterion}`}>
                  <button
                    type="button"
                    className={grade ? "graded" : "suggested"}
                    tabIndex={isAt(here) ? 0 : -1}
                    aria-current={isAt(here) ? "true" : undefined}
                    aria-label={`${id === null ? "The game" : `Play ${name}`}, ${cell.position}, ${cell.criterion}: ${said}${
                      suggested === null ? "" : `, suggested ${suggested}`
                    }`}
                    onClick={() => sheet.choose(here)}
                    onKeyDown={(event) => walk(event, row, column)}
                  >
                    {grade ? (grade.points ?? "?") : suggested === null ? "·" : `≈ ${suggested}`}
                    {isOverruled && grade.suggested !== null ? <i aria-hidden="true">≠</i> : null}
                  </button>
                </td>
              );
            })}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
