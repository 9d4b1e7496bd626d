import { useState } from "react";
import { writeCsv } from "#core/cutlist/csv-list";
import { listColumns, numberColumn } from "#core/cutlist/list-columns";
import { writeVttList } from "#core/cutlist/vtt-list";
import type { Film, GameRecords } from "#core/game/records";
import { saveText } from "../app/save-text.ts";
import { Button } from "../parts/button.tsx";
import { Choice } from "../parts/labelled.tsx";
import { Slip } from "../parts/slip.tsx";

/** The plays as a file to keep: of the film in view, or, as a table, of the whole game. */
export function CutListExport({
  records,
  film,
  onClose,
}: {
  readonly records: GameRecords;
  readonly film: Film;
  readonly onClose: () => void;
}) {
  const [format, setFormat] = useState<"csv" | "vtt">("csv");
  const [scope, setScope] = useState<"film" | "game">("film");
  // The times of WebVTT are those of the one film it goes with.
  const isWhole = format === "csv" && scope === "game";
  const plays = records.plays
    .filter(({ filmId }) => isWhole || filmId === film.id)
    .toSorted((a, b) => a.number - b.number);
  const name = `plays of ${isWhole ? records.game.title : film.label}.${format}`;
  const save = () => {
    if (format === "csv") saveText(name, writeCsv(plays, records.films), "text/csv");
    else saveText(name, writeVttList(records.game.title, plays, film), "text/vtt");
    onClose();
  };
  return (
    <Slip title="Export a cut list" onClose={onClose}>
      <Choice
        label="As"
        value={format}
        options={[
          { value: "csv", name: "CSV: a table, a row a play" },
          { value: "vtt", name: "WebVTT: a cue a play, beside the film" },
        ]}
        onChange={setFormat}
      />
      {format === "csv" && records.films.length > 1 ? (
        <Choice
          label="Plays"
          value={scope}
          options={[
            { value: "film", name: `of “${film.label}”` },
            { value: "game", name: "of all films of the game" },
          ]}
          onChange={setScope}
        />
      ) : null}
      <p role="status">
        {plays.length === 0
          ? `“${film.label}” has no plays yet.`
          : `${plays.length} ${plays.length === 1 ? "play" : "plays"}, as “${name}”.`}
      </p>
      {format === "csv" ? (
        <details>
          <summary>What the columns hold</summary>
          {/* It scrolls, so that the keyboard must reach it. */}
          <dl className="column-list" tabIndex={0} aria-label="Columns">
            {[numberColumn, ...listColumns].map(({ heading, holds }) => (
              <div key={heading}>
                <dt>{heading}</dt>
                <dd>{holds}</dd>
              </div>
            ))}
          </dl>
        </details>
      ) : (
        <p className="soft">
          Each cue says the situation in words, and then all that is known of the play as JSON, by the headings of the
          table.
        </p>
      )}
      <div className="end">
        <Button onPress={onClose}>Cancel</Button>
        <Button look="primary" disabled={plays.length === 0} onPress={save}>
          Save the file
        </Button>
      </div>
    </Slip>
  );
}
