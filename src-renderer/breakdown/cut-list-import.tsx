import { useMemo, useRef, useState } from "react";
import { type Mapping, mapHeadings, playsOfTable } from "#core/cutlist/csv-list";
import { readCsv, type Separator } from "#core/cutlist/csv-table";
import { byClock, type TimeReading } from "#core/cutlist/list-times";
import { mostPlays, planImport } from "#core/cutlist/plan-import";
import { readVttList } from "#core/cutlist/vtt-list";
import type { FieldLayout } from "#core/field/template";
import type { Change } from "#core/game/changes";
import type { DownRules } from "#core/game/next-situation";
import type { Film, GameRecords } from "#core/game/records";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { Slip } from "../parts/slip.tsx";
import { CutListColumns } from "./cut-list-columns.tsx";
import { CutListPlan } from "./cut-list-plan.tsx";

type Source = { readonly name: string; readonly text: string };

/** Larger than any cut list: a film chosen by mistake is not read as text. */
const mostBytes = 20_000_000;

/** Takes a cut list in: what it will do is shown first, and done as one edit. */
export function CutListImport(props: {
  readonly records: GameRecords;
  readonly film: Film;
  /** Frames a second of the film, which a list may count its times in. */
  readonly framesPerSec: number;
  readonly layout: FieldLayout;
  readonly rules: DownRules;
  readonly onClose: () => void;
  readonly onTake: (label: string, changes: readonly Change[]) => Promise<unknown>;
}) {
  const { records, film, framesPerSec, layout, rules, onClose, onTake } = props;
  const [source, setSource] = useState<Source | null>(null);
  const [tooLarge, setTooLarge] = useState<string | null>(null);
  const [separator, setSeparator] = useState<Separator | null>(null);
  const [chosen, setChosen] = useState<Mapping | null>(null);
  const [times, setTimes] = useState<TimeReading>(byClock);
  const [replaces, setReplaces] = useState(false);
  const file = useRef<HTMLInputElement>(null);

  const take = (next: Source | null) => {
    setSource(next);
    setTooLarge(null);
    setSeparator(null);
    setChosen(null);
  };
  const choose = async (from: File) => {
    if (from.size > mostBytes) {
      take(null);
      setTooLarge(`${from.name}: This file is too large for a cut list: choose a CSV or WebVTT file.`);
    } else take({ name: from.name, text: await from.text() });
  };

  const { homeName, awayName } = records.game;
  const read = useMemo(() => {
    if (!source) return null;
    if (/^\uFEFF?WEBVTT/u.test(source.text)) {
      const list = readVttList(source.text, { home: homeName, away: awayName });
      return list.ok ? (atMost(list.plays.length) ?? { kind: "list" as const, list }) : refused(list);
    }
    const table = readCsv(source.text, separator ?? undefined);
    return table.ok ? (atMost(table.rows.length) ?? { kind: "table" as const, table }) : refused(table);
  }, [source, separator, homeName, awayName]);
  const table = read?.kind === "table" ? read.table : null;
  const mapping = useMemo(() => chosen ?? (table ? mapHeadings(table.headings) : {}), [chosen, table]);
  const list = useMemo(() => {
    if (read?.kind === "list") return read.list;
    return table ? playsOfTable(table, mapping, { times, sides: { home: homeName, away: awayName } }) : null;
  }, [read, table, mapping, times, homeName, awayName]);
  const plan = useMemo(() => {
    if (!list) return null;
    const newId = () => crypto.randomUUID();
    return planImport({ records, filmId: film.id, listed: list.plays, replaces, newId, rules, layout });
  }, [list, records, film.id, replaces, rules, layout]);

  const fault = tooLarge ?? (read?.kind === "refused" ? `${source?.name ?? ""}: ${read.sentence}` : null);
  const does = plan === null ? 0 : plan.added.length + plan.changed.length;
  /** Refused, it stays open: what was chosen is not lost. */
  const takeIn = async () => {
    if (plan && (await onTake(what, plan.changes)) !== null) onClose();
  };
  const what = `Import ${does} ${does === 1 ? "play" : "plays"}`;
  return (
    <Slip title={`Import a cut list onto “${film.label}”`} onClose={onClose}>
      <div
        className="drop"
        onDragOver={(event) => event.preventDefault()}
        onDrop={(event) => {
          event.preventDefault();
          const [dropped] = event.dataTransfer.files;
          const text = event.dataTransfer.getData("text/plain");
          if (dropped) void choose(dropped);
          else if (text.trim() !== "") take({ name: "What was dropped", text });
        }}
      >
        <p>
          A WebVTT file (.vtt) or a table (.csv, with headings in its first row): choose it, drop it here, or paste it.
        </p>
        <Button look={source ? "plain" : "primary"} onPress={() => file.current?.click()}>
          {source ? "Choose another file…" : "Choose a file…"}
        </Button>
        <input
          ref={file}
          className="visually-hidden"
          type="file"
          accept=".vtt,.csv,.txt,.tsv,text/vtt,text/csv"
          aria-label="File of a cut list"
          tabIndex={-1}
          onChange={(event) => {
            const from = event.target.files?.[0];
            event.target.value = "";
            if (from) void choose(from);
          }}
        />
        <Labelled label="Or paste it here">
          <textarea
            rows={3}
            onChange={(event) => {
              const text = event.target.value;
              take(text.trim() === "" ? null : { name: "What was pasted", text });
            }}
          />
        </Labelled>
      </div>
      {fault === null ? null : (
        <p className="contradiction" role="alert">
          {fault}
        </p>
      )}
      {table ? (
        <CutListColumns
          table={table}
          mapping={mapping}
          times={times}
          framesPerSec={framesPerSec}
          onSeparator={(next) => {
            setSeparator(next);
            setChosen(null);
          }}
          onMapping={setChosen}
          onTimes={setTimes}
        />
      ) : null}
      {plan && list ? (
        <CutListPlan
          plan={plan}
          unread={list.leftOut}
          films={records.films}
          replaces={replaces}
          onReplaces={setReplaces}
        />
      ) : null}
      <div className="end">
        <Button onPress={onClose}>Cancel</Button>
        <Button look="primary" disabled={does === 0} onPress={() => void takeIn()}>
          {what}
        </Button>
      </div>
    </Slip>
  );
}

const refused = ({ line, reason }: { readonly line: number; readonly reason: string }) => ({
  kind: "refused" as const,
  sentence: `Line ${line}: ${reason}`,
});

function atMost(rows: number) {
  const sentence = `It has ${rows} rows: more than ${mostPlays} are no cut list of a game.`;
  return rows > mostPlays ? { kind: "refused" as const, sentence } : null;
}
