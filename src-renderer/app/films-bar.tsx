import { type ReactNode, useState } from "react";
import { inOrder, nextAngle } from "#core/game/angles";
import type { Change } from "#core/game/changes";
import type { Film, GameRecords } from "#core/game/records";
import { Button } from "../parts/button.tsx";
import { FilmChooser } from "./film-chooser.tsx";
import { FilmList } from "./film-list.tsx";
import type { GameCache } from "./game-cache.ts";
import { useService } from "./service.tsx";

/** In the head of a place: which film is in view, the same instant from another angle, and the game's films to be ordered. */
export function FilmsBar(props: {
  readonly records: GameRecords;
  readonly film: Film;
  readonly timeSec: number;
  readonly readOnly: boolean;
  readonly edit: (label: string, changes: readonly Change[]) => Promise<unknown>;
  readonly onFilm: (filmId: string) => void;
  readonly onNextAngle: () => void;
  readonly onAttach: () => void;
  readonly children?: ReactNode;
}) {
  const { records, film, onFilm, onAttach } = props;
  const [listing, setListing] = useState(false);
  const next = nextAngle(records, { filmId: film.id, timeSec: props.timeSec });
  const nextLabel = records.films.find(({ id }) => id === next?.filmId)?.label;
  return (
    <>
      {records.angles.length > 0 ? (
        <Button
          name={nextLabel === undefined ? "Other angle: none here" : `Other angle: ${nextLabel}`}
          title={nextLabel ?? "No other film shows this instant."}
          disabled={nextLabel === undefined}
          onPress={props.onNextAngle}
          shortcut="/"
        >
          Other angle
        </Button>
      ) : null}
      {records.films.length > 1 ? (
        <select
          className="film-choice"
          aria-label="Film"
          value={film.id}
          onChange={(event) => onFilm(event.target.value)}
        >
          {inOrder(records.films).map(({ id, label }) => (
            <option key={id} value={id}>
              {label}
            </option>
          ))}
        </select>
      ) : null}
      {props.children}
      <Button onPress={() => setListing(true)}>Films…</Button>
      {listing ? (
        <FilmList
          records={records}
          readOnly={props.readOnly}
          edit={props.edit}
          onAttach={() => {
            setListing(false);
            onAttach();
          }}
          onClose={() => setListing(false)}
        />
      ) : null}
    </>
  );
}

/** Attaches one film, which is then shown, or several, which come after those that the game has. */
export function AttachFilms({
  cache,
  onClose,
  onFilm,
}: {
  readonly cache: GameCache;
  readonly onClose: () => void;
  readonly onFilm: (filmId: string) => void;
}) {
  const { client } = useService();
  const attach = (path: string) => cache.through(() => client.films.attach({ gameId: cache.gameId, path }));
  return (
    <FilmChooser
      title="Attach films"
      onEach={attach}
      onClose={onClose}
      onChosen={async (path) => {
        const before = new Set(cache.getState().records.films.map(({ id }) => id));
        await attach(path);
        onClose();
        const added = cache.getState().records.films.find(({ id }) => !before.has(id));
        if (added) onFilm(added.id);
      }}
    />
  );
}
