import { angleOf, filmsOf, inOrder, proposedInstant, toPlaySec } from "#core/game/angles";
import { put, remove } from "#core/game/changes";
import type { Angle, Play } from "#core/game/records";
import { clock } from "#core/game/words";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import type { Fieldbook } from "./use-fieldbook.ts";

/** The films that show a play, tied by one instant that both show. */
export function Angles({
  fieldbook,
  play,
  onAngle,
}: {
  readonly fieldbook: Fieldbook;
  readonly play: Play;
  readonly onAngle: (filmId: string) => void;
}) {
  const { records, film, readOnly, edit, setTie, setFilmId, setSeekWhenOpen } = fieldbook;
  if (records.films.length < 2) return null;
  const showing = filmsOf(play, records);
  const others = inOrder(records.films).filter(({ id }) => !showing.includes(id));
  /** Goes to where the instant should be by what is tied already, and to where that film was left without. */
  const look = (filmId: string, angle: Angle | null) => {
    const playInstantSec = angle?.playInstantSec ?? play.snapSec ?? play.startSec;
    const proposed = angle ?? proposedInstant(play, records, filmId, playInstantSec);
    setTie({ playId: play.id, playInstantSec, filmId });
    if (proposed) setSeekWhenOpen({ filmId, timeSec: proposed.instantSec });
    setFilmId(filmId);
  };
  const labelOf = (id: string) => records.films.find((one) => one.id === id)?.label ?? "";
  return (
    <section aria-label="Angles">
      <h3>Angles</h3>
      <ul className="ruled-list">
        {showing.map((id) => {
          const angle = angleOf(records.angles, play.id, id);
          return (
            <li key={id} className={`moment-row${id === film?.id ? " chosen" : ""}`}>
              <Button
                look="bare"
                name={`Show play ${play.number} on ${labelOf(id)}`}
                pressed={id === film?.id}
                onPress={() => onAngle(id)}
              >
                {labelOf(id)}
              </Button>
              <span className="soft">{angle ? `tied at ${clock(angle.instantSec)}` : "the play’s own film"}</span>
              {angle ? (
                <Button
                  look="bare"
                  name={`Tie anew: play ${play.number} to ${labelOf(id)}`}
                  disabled={readOnly}
                  onPress={() => look(id, angle)}
                >
                  Tie anew
                </Button>
              ) : null}
              {angle ? (
                <Button
                  look="bare"
                  name={`Untie play ${play.number} from ${labelOf(id)}`}
                  disabled={readOnly || records.moments.some((one) => one.playId === play.id && one.filmId === id)}
                  title="Moments judged on this angle must be removed first."
                  onPress={() => void edit(`Untie play ${play.number} from ${labelOf(id)}`, [remove("angle", angle)])}
                >
                  ✕
                </Button>
              ) : null}
            </li>
          );
        })}
      </ul>
      {others.length > 0 && !readOnly ? (
        <Labelled label={`Another angle: the ${play.snapSec === null ? "start" : "snap"} is looked for in`}>
          <select
            value=""
            onChange={(event) => {
              const filmId = event.target.value;
              if (filmId === "") return;
              look(filmId, null);
            }}
          >
            <option value="">choose a film…</option>
            {others.map(({ id, label }) => (
              <option key={id} value={id}>
                {label}
              </option>
            ))}
          </select>
        </Labelled>
      ) : null}
    </section>
  );
}

/** Over the film while an instant of a play is looked for in it. */
export function TyingBar({ fieldbook }: { readonly fieldbook: Fieldbook }) {
  const { tie, setTie, here, records, edit, newId, setFilmId, setSeekWhenOpen, tell } = fieldbook;
  const play = records.plays.find(({ id }) => id === tie?.playId);
  if (!tie || !play) return null;
  const back = () => {
    setTie(null);
    setSeekWhenOpen({ filmId: play.filmId, timeSec: tie.playInstantSec });
    setFilmId(play.filmId);
  };
  const label = records.films.find(({ id }) => id === tie.filmId)?.label ?? "another film";
  const angle = angleOf(records.angles, play.id, tie.filmId);
  const proposed = angle ? null : proposedInstant(play, records, tie.filmId, tie.playInstantSec);
  const onIt = here && here.film.id === tie.filmId ? here : null;
  const bind = async () => {
    if (!onIt) return;
    const tied: Angle = {
      id: angle?.id ?? newId(),
      gameId: records.game.id,
      playId: play.id,
      filmId: tie.filmId,
      playInstantSec: tie.playInstantSec,
      instantSec: onIt.timeSec,
    };
    const taken = records.plays.find((one) => {
      if (one.id === play.id) return false;
      const sec = toPlaySec(one, records.angles, tie.filmId, onIt.timeSec);
      return sec !== null && sec >= one.startSec && sec < one.endSec;
    });
    if (taken) return tell(`Play ${taken.number} is at this frame already: untie it first, or choose another frame.`);
    setTie(null);
    await edit(`Tie play ${play.number} to ${label}`, [put("angle", angle, tied)]);
  };
  return (
    <div className="tying" role="status">
      <p>
        Go to the frame of {label} that shows the {play.snapSec === tie.playInstantSec ? "snap" : "start"} of play{" "}
        {play.number}.{proposed ? ` By play ${proposed.from.number} it is at ${clock(proposed.instantSec)}.` : ""}
      </p>
      <Button look="primary" disabled={!onIt} onPress={() => void bind()}>
        This frame is it
      </Button>
      <Button onPress={back}>Leave it</Button>
    </div>
  );
}
