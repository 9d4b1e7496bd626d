import { playSecOf, toPlaySec } from "#core/game/angles";
import { stopsOf } from "#core/game/moment-proposals";
import { type Change, put, removeMoment, removePlay } from "#core/game/changes";
import { ensureMoment, likelyPhase } from "#core/game/edits";
import { type Moment, type Phase, phases, type Play } from "#core/game/records";
import { SituationForm } from "../app/situation-form.tsx";
import { Button } from "../parts/button.tsx";
import { Angles } from "./angles.tsx";
import type { Fieldbook } from "./use-fieldbook.ts";
import { clock, phaseNames } from "#core/game/words";

/** The play one is in: what the crew knew before the snap, when the snap was, and which frames are judged. */
export function PlayPage({
  fieldbook,
  onGo,
  onAngle,
}: {
  readonly fieldbook: Fieldbook;
  /** To an instant of the play, on the clock of its own film. */
  readonly onGo: (playSec: number) => void;
  readonly onAngle: (filmId: string) => void;
}) {
  const { play, here, readOnly, records, layout, situation, edit, newId } = fieldbook;
  const startPlay = () => {
    if (!here) return;
    const { changes } = ensureMoment(records, here, situation, newId);
    void edit("Start a play", changes);
  };
  if (!play) {
    return (
      <div className="page">
        <div className="empty">
          <p>{here ? "No play covers this frame." : "Stop the film on a frame."}</p>
          <Button look="primary" disabled={!here || readOnly} onPress={startPlay}>
            Start a play here
          </Button>
          <p>The first stake or mark on a frame starts one too.</p>
        </div>
      </div>
    );
  }
  return (
    <div className="page">
      <SituationForm
        game={records.game}
        layout={layout}
        play={play}
        onChange={(label, change) => fieldbook.changePlay(label, play.id, change)}
      />
      <SpotFromMark fieldbook={fieldbook} play={play} />
      <Times fieldbook={fieldbook} play={play} onGo={onGo} />
      <Moments fieldbook={fieldbook} play={play} onGo={onGo} />
      <Angles fieldbook={fieldbook} play={play} onAngle={onAngle} />
      <div className="row">
        <Button
          disabled={readOnly}
          onPress={() => void edit(`Remove play ${play.number}`, removePlay(records, play.id))}
        >
          Remove play {play.number} and what is measured on it
        </Button>
      </div>
    </div>
  );
}

/** Sets the line of scrimmage and the ball's place from the ball's mark in this frame. */
function SpotFromMark({ fieldbook, play }: { readonly fieldbook: Fieldbook; readonly play: Play }) {
  const { edit, judged } = fieldbook;
  const ballMark = judged.placed.find((mark) => mark.subject.kind === "ball");
  if (!ballMark) return null;
  const { xYards, yYards } = ballMark.measured.position;
  return (
    <Button
      title="Sets the line of scrimmage and the ball's place from the ball's mark in this frame"
      onPress={() => {
        const situation = { ...play.situation, scrimmageXYards: xYards, ballYYards: yYards };
        void edit(`Spot of play ${play.number} from the ball’s mark`, [put("play", play, { ...play, situation })]);
      }}
    >
      Take the spot from the ball’s mark
    </Button>
  );
}

function Times({
  fieldbook,
  play,
  onGo,
}: {
  readonly fieldbook: Fieldbook;
  readonly play: Play;
  readonly onGo: (timeSec: number) => void;
}) {
  const { here, readOnly, records } = fieldbook;
  const playSec = here ? toPlaySec(play, records.angles, here.film.id, here.timeSec) : null;
  const set = (label: string, part: Partial<Play>) =>
    void fieldbook.changePlay(label, play.id, (now) => ({ ...now, ...part }));
  const rows = [
    {
      name: "Starts",
      at: play.startSec,
      part: (timeSec: number): Partial<Play> => ({ startSec: timeSec }),
      fits: (t: number) => t < play.endSec,
    },
    {
      name: "Snap",
      at: play.snapSec,
      part: (timeSec: number): Partial<Play> => ({ snapSec: timeSec }),
      fits: () => true,
    },
    {
      name: "Ends",
      at: play.endSec,
      part: (timeSec: number): Partial<Play> => ({ endSec: timeSec }),
      fits: (t: number) => t > play.startSec,
    },
  ];
  return (
    <section aria-label="Times">
      <table className="ledger">
        <tbody>
          {rows.map((row) => (
            <tr key={row.name}>
              <th scope="row">{row.name}</th>
              <td className="number">{row.at === null ? "not set" : clock(row.at)}</td>
              <td>
                <Button
                  look="bare"
                  name={`Go to ${row.name}`}
                  disabled={row.at === null}
                  onPress={() => row.at !== null && onGo(row.at)}
                >
                  go
                </Button>
                <Button
                  look="bare"
                  name={`${row.name}: is this frame`}
                  disabled={playSec === null || readOnly || !row.fits(playSec)}
                  onPress={() => playSec !== null && set(row.name, row.part(playSec))}
                >
                  is this frame
                </Button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Moments({
  fieldbook,
  play,
  onGo,
}: {
  readonly fieldbook: Fieldbook;
  readonly play: Play;
  readonly onGo: (timeSec: number) => void;
}) {
  const { records, moment, here, edit, newId, situation, readOnly } = fieldbook;
  const moments = records.moments
    .filter((candidate) => candidate.playId === play.id)
    .toSorted((a, b) => a.timeSec - b.timeSec);
  const open = stopsOf(records, play).filter((stop) => stop.moment === null);
  const setPhase = (target: Moment, phase: Phase) =>
    void edit("Phase of a moment", [put("moment", target, { ...target, phase })]);
  const add = () => {
    if (!here) return;
    const changes: Change[] = ensureMoment(records, here, situation, newId).changes;
    void edit("Judge this frame", changes);
  };
  return (
    <section aria-label="Moments">
      <h3>Moments judged</h3>
      {moments.length === 0 ? <p className="soft">None yet: stop on a frame and survey it, or add it here.</p> : null}
      <ul className="ruled-list">
        {moments.map((candidate) => (
          <li key={candidate.id} className={`moment-row${candidate.id === moment?.id ? " chosen" : ""}`}>
            <Button
              look="bare"
              name={`Go to ${phaseNames[candidate.phase]} at ${clock(candidate.timeSec)}`}
              onPress={() => onGo(playSecOf(play, records.angles, candidate))}
            >
              {clock(candidate.timeSec)}
            </Button>
            <select
              aria-label={`Phase of the moment at ${clock(candidate.timeSec)}`}
              value={candidate.phase}
              onChange={(event) => setPhase(candidate, event.target.value as Phase)}
            >
              {phases.map((phase) => (
                <option key={phase} value={phase}>
                  {phaseNames[phase]}
                </option>
              ))}
            </select>
            <span className="soft">
              {records.stakes.filter((stake) => stake.momentId === candidate.id).length} stakes,{" "}
              {records.marks.filter((mark) => mark.momentId === candidate.id).length} marks
            </span>
            <Button
              look="bare"
              name={`Remove the moment at ${clock(candidate.timeSec)}`}
              disabled={readOnly}
              onPress={() => void edit("Remove a moment", removeMoment(records, candidate))}
            >
              ✕
            </Button>
          </li>
        ))}
      </ul>
      {open.length > 0 ? (
        <>
          <h3>Worth judging</h3>
          <ul className="ruled-list" aria-label="Moments proposed">
            {open.map(({ phase, playSec, because }) => (
              <li key={phase} className="moment-row open">
                <Button
                  look="bare"
                  name={`${clock(playSec)}: go to ${phaseNames[phase]}, ${because}`}
                  onPress={() => onGo(playSec)}
                >
                  {clock(playSec)}
                </Button>
                <span>
                  {phaseNames[phase]} <span className="soft">{because}</span>
                </span>
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {here && !moment ? (
        <Button disabled={readOnly} onPress={add}>
          Judge this frame:{" "}
          {phaseNames[
            likelyPhase(play, toPlaySec(play, records.angles, here.film.id, here.timeSec) ?? here.timeSec)
          ].toLowerCase()}
        </Button>
      ) : null}
    </section>
  );
}
