import { type KeyboardEvent, useMemo, useRef, useState } from "react";
import type { FieldLayout } from "#core/field/template";
import { type GameRecords, type Play, playKinds } from "#core/game/records";
import { playKindNames } from "#core/game/words";
import { wholeCrew } from "#core/scoring/finding";
import { useService } from "../app/service.tsx";
import { Button } from "../parts/button.tsx";
import { Choice } from "../parts/labelled.tsx";
import {
  cell,
  type ColumnId,
  columns,
  everything,
  fits,
  inSheetOrder,
  type SheetFilter,
  sheetRows,
  type Sorting,
} from "./sheet-rows.ts";
import type { JudgedPlays } from "../app/use-judged-plays.ts";

const findingKinds = [
  { value: "", name: "any" },
  { value: "ST-", name: "station" },
  { value: "KEY-", name: "key" },
  { value: "ZN-", name: "zone" },
  { value: "HO-", name: "handoff" },
  { value: "LK-", name: "look" },
  { value: "CT-", name: "count" },
] as const;

/** All plays of the game in a table that one sorts, filters and walks. */
export function PlaySheet(props: {
  readonly records: GameRecords;
  readonly layout: FieldLayout;
  readonly judged: JudgedPlays;
  readonly playId: string | null;
  readonly onGo: (play: Play) => void;
  readonly onOpen: (play: Play) => void;
}) {
  const { records, layout, judged, playId, onGo, onOpen } = props;
  const [sorting, setSorting] = useState<Sorting>({ by: "number", down: false });
  const [filter, setFilter] = useState<SheetFilter>(everything);
  const [walked, setWalked] = useState<string | null>(null);
  const body = useRef<HTMLTableSectionElement>(null);
  const { info } = useService();
  const all = useMemo(
    () => sheetRows(records, judged.findings, info.observerId),
    [records, judged.findings, info.observerId],
  );
  const rows = inSheetOrder(
    all.filter((row) => fits(row, filter)),
    sorting,
  );
  const count = (test: (row: (typeof all)[number]) => boolean) => all.filter(test).length;
  const reach = rows.some(({ play }) => play.id === walked)
    ? walked
    : (rows.find(({ play }) => play.id === playId)?.play.id ?? rows[0]?.play.id);

  const walk = (event: KeyboardEvent, at: number) => {
    const to = { ArrowUp: at - 1, ArrowDown: at + 1, Home: 0, End: rows.length - 1 }[event.key];
    const row = to === undefined ? undefined : rows[Math.min(rows.length - 1, Math.max(0, to))];
    const here = rows[at];
    if (row) {
      setWalked(row.play.id);
      body.current?.querySelector<HTMLElement>(`[data-play="${row.play.id}"]`)?.focus();
    } else if (event.key === "Enter" && here) onGo(here.play);
    else if (event.key === "m" && here) onOpen(here.play);
    else return;
    event.preventDefault();
  };
  const change = (part: Partial<SheetFilter>) => setFilter({ ...filter, ...part });
  const positions = ["", ...records.game.crew.map(({ position }) => position), wholeCrew];
  return (
    <section className="play-sheet" aria-label="Play sheet">
      <div className="sheet-bar">
        <h2>Play sheet</h2>
        <p className="progress" role="status">
          {all.length === 0
            ? ""
            : `${all.length} plays: ${count((row) => row.isBrokenDown)} broken down, ${count((row) => row.isSurveyed)} surveyed, ${count((row) => row.isMarked)} marked, ${count((row) => row.isGraded)} graded`}
          {judged.isDone ? "" : " · findings being read…"}
        </p>
        <div className="filters" role="group" aria-label="Show only">
          <Choice
            label="Down"
            value={String(filter.down ?? "")}
            options={[{ value: "", name: "any" }, ...["1", "2", "3", "4"].map((down) => ({ value: down, name: down }))]}
            onChange={(down) => change({ down: down === "" ? null : Number(down) })}
          />
          <Choice
            label="Distance"
            value={filter.distance}
            options={[
              { value: "any", name: "any" },
              { value: "short", name: "up to 3 yd" },
              { value: "middle", name: "3 to 7 yd" },
              { value: "long", name: "7 yd and more" },
            ]}
            onChange={(distance) => change({ distance })}
          />
          <Choice
            label="Kind"
            value={filter.kind}
            options={[
              { value: "", name: "any" },
              ...playKinds.map((kind) => ({ value: kind as string, name: playKindNames[kind] })),
            ]}
            onChange={(kind) => change({ kind })}
          />
          <Choice
            label="Missed by"
            value={filter.position}
            options={positions.map((position) => ({ value: position, name: position === "" ? "anybody" : position }))}
            onChange={(position) => change({ position })}
          />
          <Choice<string>
            label="Finding"
            value={filter.finding}
            options={findingKinds}
            onChange={(finding) => change({ finding })}
          />
          <Choice
            label="Evening"
            value={filter.progress}
            options={[
              { value: "any", name: "all plays" },
              { value: "to-do", name: "not marked yet" },
              { value: "surveyed", name: "surveyed" },
              { value: "marked", name: "marked" },
              { value: "to-grade", name: "not graded yet" },
              { value: "graded", name: "graded" },
            ]}
            onChange={(progress) => change({ progress })}
          />
        </div>
      </div>
      {rows.length === 0 ? (
        <div className="empty">
          {all.length === 0 ? (
            <p>No plays yet. Let the film run and press N at each snap.</p>
          ) : (
            <>
              <p>No play is like that.</p>
              <Button onPress={() => setFilter(everything)}>Show all plays</Button>
            </>
          )}
        </div>
      ) : (
        <div className="table-room">
          <table>
            <thead>
              <tr>
                {columns.map(({ id, name }) => (
                  <th
                    key={id}
                    scope="col"
                    aria-sort={sorting.by === id ? (sorting.down ? "descending" : "ascending") : undefined}
                  >
                    <button type="button" className="link" onClick={() => setSorting(sortedBy(sorting, id))}>
                      {name}
                      <span aria-hidden="true">{sorting.by === id ? (sorting.down ? " ▼" : " ▲") : ""}</span>
                    </button>
                  </th>
                ))}
              </tr>
            </thead>
            <tbody ref={body}>
              {rows.map((row, at) => (
                <tr
                  key={row.play.id}
                  data-play={row.play.id}
                  data-number={row.play.number}
                  tabIndex={row.play.id === reach ? 0 : -1}
                  aria-current={row.play.id === playId ? "true" : undefined}
                  onFocus={() => setWalked(row.play.id)}
                  onClick={() => onGo(row.play)}
                  onDoubleClick={() => onOpen(row.play)}
                  onKeyDown={(event) => walk(event, at)}
                >
                  {columns.map(({ id }) => (
                    <td key={id} className={`column-${id}`}>
                      {cell(row, id, records, layout)}
                    </td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </section>
  );
}

function sortedBy(sorting: Sorting, by: ColumnId): Sorting {
  return { by, down: sorting.by === by ? !sorting.down : by === "missed" || by === "moments" };
}
