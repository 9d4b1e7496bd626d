import { useMemo, useRef, useState } from "react";
import {
  type CsvTable,
  type LeftOut,
  type Mapping,
  mapHeadings,
  playsOfTable,
  readCsv,
  writeCsv,
} from "#core/cutlist/csv-list";
import { listColumns, type ListedField, type ListedPlay } from "#core/cutlist/listed-play";
import { type ImportPlan, planImport } from "#core/cutlist/plan-import";
import { readVttList, writeVttList } from "#core/cutlist/vtt-list";
import type { FieldLayout } from "#core/field/template";
import type { Change } from "#core/game/changes";
import type { DownRules } from "#core/game/next-situation";
import type { Film, GameRecords } from "#core/game/records";
import { clock, downAndDistance } from "#core/game/words";
import { saveText } from "../app/save-text.ts";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { Slip } from "../parts/slip.tsx";

type Read =
  | { readonly kind: "table"; readonly name: string; readonly table: CsvTable }
  | {
      readonly kind: "list";
      readonly name: string;
      readonly plays: readonly ListedPlay[];
      readonly leftOut: readonly LeftOut[];
    }
  | { readonly kind: "refused"; readonly name: string; readonly sentence: string };

/** Larger than any cut list: a film chosen by mistake is not read as text. */
const mostBytes = 20_000_000;

/** Cut lists of a film, out and in. What taking one in will do is shown first, and done as one edit. */
export function CutLists(props: {
  readonly records: GameRecords;
  readonly film: Film;
  readonly layout: FieldLayout;
  readonly rules: DownRules;
  readonly readOnly: boolean;
  readonly onClose: () => void;
  readonly onTake: (label: string, changes: readonly Change[]) => Promise<unknown>;
}) {
  const { records, film, layout, rules, readOnly, onClose, onTake } = props;
  const [read, setRead] = useState<Read | null>(null);
  const [mapping, setMapping] = useState<Mapping>({});
  const [replaces, setReplaces] = useState(false);
  const file = useRef<HTMLInputElement>(null);

  const take = (name: string, text: string) => {
    const next = readAny(name, text);
    setRead(next);
    if (next.kind === "table") setMapping(mapHeadings(next.table.headings));
  };
  const choose = async (chosen: File) => {
    if (chosen.size > mostBytes)
      return setRead({
        kind: "refused",
        name: chosen.name,
        sentence: "This file is too large for a cut list: choose a CSV or WebVTT file.",
      });
    take(chosen.name, await chosen.text());
  };
  const list = useMemo(() => {
    if (read?.kind === "table") return playsOfTable(read.table, mapping);
    return read?.kind === "list" ? read : null;
  }, [read, mapping]);
  const plan: ImportPlan | null = useMemo(
    () =>
      list
        ? planImport({
            records,
            filmId: film.id,
            listed: list.plays,
            replaces,
            newId: () => crypto.randomUUID(),
            rules,
            layout,
          })
        : null,
    [list, records, film.id, replaces, rules, layout],
  );
  const left = plan && list ? [...list.leftOut, ...plan.leftOut].toSorted((a, b) => a.line - b.line) : [];
  const does = plan === null ? 0 : plan.added.length + plan.changed.length;
  return (
    <Slip title={`Cut lists of “${film.label}”`} onClose={onClose}>
      <Export records={records} film={film} />
      <h3>Import</h3>
      <div
        className="drop"
        onDragOver={(event) => event.preventDefault()}
        onDrop={(event) => {
          event.preventDefault();
          const [dropped] = event.dataTransfer.files;
          if (dropped) void choose(dropped);
        }}
      >
        <p>A WebVTT file (.vtt) or a table (.csv, with headings in its first row). Times are seconds, or h:mm:ss.</p>
        <Button look={read ? "plain" : "primary"} onPress={() => file.current?.click()}>
          {read ? "Choose another file…" : "Choose a file…"}
        </Button>
        <input
          ref={file}
          className="visually-hidden"
          type="file"
          accept=".vtt,.csv,.txt,.tsv,text/vtt,text/csv"
          aria-label="File of a cut list"
          tabIndex={-1}
          onChange={(event) => {
            const chosen = event.target.files?.[0];
            event.target.value = "";
            if (chosen) void choose(chosen);
          }}
        />
        <Labelled label="Or paste it here">
          <textarea
            rows={3}
            onChange={(event) => event.target.value.trim() !== "" && take("what was pasted", event.target.value)}
          />
        </Labelled>
      </div>
      {read?.kind === "refused" ? (
        <p className="contradiction" role="alert">
          {read.name}: {read.sentence}
        </p>
      ) : null}
      {read?.kind === "table" ? <Columns table={read.table} mapping={mapping} onMapping={setMapping} /> : null}
      {plan ? (
        <section aria-label="What it will do">
          <h3>What it will do</h3>
          <p role="status">
            {plan.added.length} new, {plan.changed.length} changed, {plan.same} there already, {left.length} left out.
          </p>
          <label className="check">
            <input type="checkbox" checked={replaces} onChange={(event) => setReplaces(event.target.checked)} />
            Change plays that are there to what the list says
          </label>
          <ul className="import-list">
            {plan.added.map((play) => (
              <li key={play.id}>
                <b>new</b> {clock(play.startSec)} to {clock(play.endSec)}, {downAndDistance(play.situation)}
              </li>
            ))}
            {plan.changed.map(({ before, after }) => (
              <li key={after.id}>
                <b>play {before.number}</b> {downAndDistance(before.situation)} → {downAndDistance(after.situation)},{" "}
                {clock(after.startSec)} to {clock(after.endSec)}
              </li>
            ))}
            {left.map(({ line, reason }) => (
              <li key={`${line} ${reason}`} className="left-out">
                <b>left out</b> line {line}: {reason}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      <div className="end">
        <Button onPress={onClose}>Close</Button>
        <Button
          look="primary"
          disabled={does === 0 || readOnly}
          onPress={() =>
            void onTake(`Import ${does} ${does === 1 ? "play" : "plays"}`, plan?.changes ?? []).then(onClose)
          }
        >
          Import {does} {does === 1 ? "play" : "plays"}
        </Button>
      </div>
    </Slip>
  );
}

/** The plays of the film in view, to be kept as a file. */
function Export({ records, film }: { readonly records: GameRecords; readonly film: Film }) {
  const plays = records.plays.filter(({ filmId }) => filmId === film.id).toSorted((a, b) => a.number - b.number);
  const name = `plays of ${film.label}`;
  return (
    <section aria-label="Export">
      <h3>Export</h3>
      <p className="soft">
        {plays.length === 0
          ? "No plays on this film yet."
          : `${plays.length} plays: a table for a spreadsheet, or cues for a player that reads WebVTT.`}
      </p>
      <div className="row">
        <Button disabled={plays.length === 0} onPress={() => saveText(`${name}.csv`, writeCsv(plays), "text/csv")}>
          Export CSV
        </Button>
        <Button
          disabled={plays.length === 0}
          onPress={() => saveText(`${name}.vtt`, writeVttList(records.game.title, plays), "text/vtt")}
        >
          Export WebVTT
        </Button>
      </div>
    </section>
  );
}

/** Which column of the file is what: found by the headings, and to be said where they do not tell. */
function Columns(props: {
  readonly table: CsvTable;
  readonly mapping: Mapping;
  readonly onMapping: (mapping: Mapping) => void;
}) {
  const { table, mapping, onMapping } = props;
  const map = (field: ListedField, column: string) => {
    const { [field]: _before, ...rest } = mapping;
    onMapping(column === "" ? rest : { ...rest, [field]: Number(column) });
  };
  return (
    <section aria-label="Columns of the file">
      <h3>Columns</h3>
      <div className="column-map">
        {listColumns.map(({ field, heading, holds }) => (
          <Labelled key={field} label={heading}>
            <select
              title={holds}
              value={mapping[field] === undefined ? "" : String(mapping[field])}
              onChange={(event) => map(field, event.target.value)}
            >
              <option value="">not in the file</option>
              {table.headings.map((name, index) => (
                <option key={index} value={index}>
                  {name === "" ? `column ${index + 1}` : name}
                </option>
              ))}
            </select>
          </Labelled>
        ))}
      </div>
    </section>
  );
}

function readAny(name: string, text: string): Read {
  if (/^\uFEFF?WEBVTT/u.test(text)) {
    const list = readVttList(text);
    return list.ok
      ? { kind: "list", name, plays: list.plays, leftOut: list.leftOut }
      : { kind: "refused", name, sentence: `Line ${list.line}: ${list.reason}` };
  }
  const table = readCsv(text);
  return table.ok
    ? { kind: "table", name, table }
    : { kind: "refused", name, sentence: `Line ${table.line}: ${table.reason}` };
}
