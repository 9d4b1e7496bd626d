import { useState } from "react";
import { inOrder } from "#core/game/angles";
import { renumbered } from "#core/game/breakdown-edits";
import { applyChanges, type Change, put, remove } from "#core/game/changes";
import type { Film, GameRecords } from "#core/game/records";
import { clock } from "#core/game/words";
import { Button } from "../parts/button.tsx";
import { Slip } from "../parts/slip.tsx";

/** The films of a game in their order: to be moved, named anew, and taken out while nothing rests on them. */
export function FilmList(props: {
  readonly records: GameRecords;
  readonly readOnly: boolean;
  readonly edit: (label: string, changes: readonly Change[]) => Promise<unknown>;
  readonly onAttach: () => void;
  readonly onClose: () => void;
}) {
  const { records, readOnly, edit, onAttach, onClose } = props;
  const films = inOrder(records.films);
  const [dragged, setDragged] = useState<string | null>(null);
  /** Every film gets its place anew, so that films of one place come apart too. */
  const reorder = (film: Film, to: number) => {
    const others = films.filter(({ id }) => id !== film.id);
    const next = others.toSpliced(to, 0, film);
    const changes = next.flatMap((one, at) =>
      one.order === at + 1 ? [] : [put("film", one, { ...one, order: at + 1 })],
    );
    if (changes.length === 0) return;
    // Plays count through the films in their order.
    void edit(`Move film “${film.label}”`, [...changes, ...renumbered(applyChanges(records, changes))]);
  };
  const restingOn = (film: Film) =>
    records.plays.filter(({ filmId }) => filmId === film.id).length +
    records.angles.filter(({ filmId }) => filmId === film.id).length;
  return (
    <Slip title="Films of this game" onClose={onClose}>
      {films.length === 0 ? <p className="empty">No film yet.</p> : null}
      <ol className="film-list">
        {films.map((film, at) => {
          const rests = restingOn(film);
          return (
            <li
              key={film.id}
              className={dragged === film.id ? "dragged" : ""}
              onDragOver={(event) => event.preventDefault()}
              onDrop={(event) => {
                event.preventDefault();
                const moved = films.find(({ id }) => id === dragged);
                if (moved) reorder(moved, at);
              }}
            >
              <span
                className="grip"
                aria-hidden="true"
                title="Drag to another place"
                draggable={!readOnly}
                onDragStart={() => setDragged(film.id)}
                onDragEnd={() => setDragged(null)}
              >
                {at + 1}
              </span>
              <FilmName film={film} readOnly={readOnly} edit={edit} />
              <span className="soft">
                {clock(film.durationSec)}, {film.widthPx} × {film.heightPx},{" "}
                {rests === 0 ? "no plays" : rests === 1 ? "1 play" : `${rests} plays`}
              </span>
              <Button
                look="bare"
                name={`Move ${film.label} up`}
                disabled={readOnly || at === 0}
                onPress={() => reorder(film, at - 1)}
              >
                ↑
              </Button>
              <Button
                look="bare"
                name={`Move ${film.label} down`}
                disabled={readOnly || at === films.length - 1}
                onPress={() => reorder(film, at + 1)}
              >
                ↓
              </Button>
              <Button
                look="bare"
                name={`Take ${film.label} out of the game`}
                title={rests > 0 ? "Its plays must be removed first." : "The file itself is left alone."}
                disabled={readOnly || rests > 0}
                onPress={() => void edit(`Take film “${film.label}” out`, [remove("film", film)])}
              >
                ✕
              </Button>
            </li>
          );
        })}
      </ol>
      {films.length > 0 ? (
        <p className="soft">
          Plays are numbered through the films in this order. A film is taken out when no play is on it any more: its
          file is left alone, and Undo brings it back.
        </p>
      ) : null}
      <div className="end">
        <Button disabled={readOnly} onPress={onAttach}>
          Attach films…
        </Button>
        <Button look="primary" onPress={onClose}>
          Close
        </Button>
      </div>
    </Slip>
  );
}

function FilmName({
  film,
  readOnly,
  edit,
}: {
  readonly film: Film;
  readonly readOnly: boolean;
  readonly edit: (label: string, changes: readonly Change[]) => Promise<unknown>;
}) {
  const [typed, setTyped] = useState(film.label);
  const hand = () => {
    const label = typed.trim().slice(0, 200);
    if (label === "" || label === film.label) return setTyped(film.label);
    void edit(`Name film “${label.slice(0, 100)}”`, [put("film", film, { ...film, label })]);
  };
  return (
    <input
      aria-label={`Name of the film ${film.label}`}
      value={typed}
      readOnly={readOnly}
      maxLength={200}
      onChange={(event) => setTyped(event.target.value)}
      onBlur={hand}
      onKeyDown={(event) => {
        if (event.key === "Enter") hand();
      }}
    />
  );
}
