import { useState } from "react";
import { FilmChooser } from "../app/film-chooser.tsx";
import { Button } from "../parts/button.tsx";
import type { OpenFailure } from "../stage/film/film-reader.ts";
import type { Fieldbook } from "./use-fieldbook.ts";

/** In place of the film: none attached yet, not where it was, not the same file any more, or one that cannot be shown. */
export function NoFilm({
  fieldbook,
  failure,
  onTryAgain,
  onAttach,
}: {
  readonly fieldbook: Fieldbook;
  readonly failure: OpenFailure | null;
  readonly onTryAgain: () => void;
  readonly onAttach: () => void;
}) {
  const { film, filmState, cache, client, attempt, readOnly } = fieldbook;
  const [finding, setFinding] = useState(false);
  if (!film) {
    return (
      <section className="film-side bare" aria-label="Film">
        <div className="empty">
          <h2>No film yet</h2>
          <p>
            Attach the game’s film. The file stays where it is; Crewglass only remembers where, and knows it again if it
            moves.
          </p>
          <Button look="primary" disabled={readOnly} onPress={onAttach}>
            Attach film…
          </Button>
        </div>
      </section>
    );
  }
  const gone = filmState === "missing" || failure?.reason === "unreachable";
  const isAnother = !gone && (filmState === "changed" || failure?.reason === "changed");
  return (
    <section className="film-side bare" aria-label="Film">
      <div className="empty">
        <h2>
          {gone
            ? "The film is not where it was"
            : isAnother
              ? "This is not the film that was attached"
              : "This film cannot be shown"}
        </h2>
        <p className="path">{film.path}</p>
        {failure && !gone && !isAnother ? <p>{failure.message}</p> : null}
        {isAnother ? (
          <p>The file at this place has another content now. What was measured on the film is kept.</p>
        ) : null}
        <p>What was surveyed and marked on it is safe. Where is it now?</p>
        <div className="row">
          <Button look="primary" disabled={readOnly} onPress={() => setFinding(true)}>
            Find it…
          </Button>{" "}
          <Button
            onPress={() => {
              onTryAgain();
              void attempt(() => cache.refreshFilms());
            }}
          >
            Look again
          </Button>
        </div>
      </div>
      {finding ? (
        <FilmChooser
          title={`Where is “${film.label}” now?`}
          takesFolder
          onClose={() => setFinding(false)}
          onChosen={async (path) => {
            await cache.through(() => client.films.relocate({ gameId: film.gameId, filmId: film.id, path }));
            setFinding(false);
          }}
        />
      ) : null}
    </section>
  );
}
