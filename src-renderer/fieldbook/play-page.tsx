import { directionSign } from "#core/field/frames";
import { type Change, put, removeMoment, removePlay } from "#core/game/changes";
import { ensureMoment, likelyPhase } from "#core/game/edits";
import { type Down, type Moment, type Phase, phases, type Play, type Situation } from "#core/game/records";
import { Button } from "../parts/button.tsx";
import { Choice, NumberField } from "../parts/labelled.tsx";
import type { Fieldbook } from "./use-fieldbook.ts";
import { clock, downAndDistance, phaseNames, yardsToGo } from "#core/game/words";

/** The play one is in: what the crew knew before the snap, when the snap was, and which frames are judged. */
export function PlayPage({
  fieldbook,
  onGo,
}: {
  readonly fieldbook: Fieldbook;
  readonly onGo: (timeSec: number) => void;
}) {
  const { play, here, readOnly, records, situation, edit, newId } = fieldbook;
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
      <SituationForm fieldbook={fieldbook} play={play} />
      <Times fieldbook={fieldbook} play={play} onGo={onGo} />
      <Moments fieldbook={fieldbook} play={play} onGo={onGo} />
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

function SituationForm({ fieldbook, play }: { readonly fieldbook: Fieldbook; readonly play: Play }) {
  const { records, layout, edit, judged } = fieldbook;
  const { situation } = play;
  const change = (label: string, part: Partial<Situation>) =>
    void edit(`${label} of play ${play.number}`, [
      put("play", play, { ...play, situation: { ...situation, ...part } }),
    ]);
  const sign = directionSign(situation.direction);
  const toGo = yardsToGo(situation);
  const fromLeft = situation.scrimmageXYards - layout.leftGoalXYards;
  const length = layout.rightGoalXYards - layout.leftGoalXYards;
  const half: "left" | "right" = fromLeft <= length / 2 ? "left" : "right";
  const yardLine = half === "left" ? fromLeft : length - fromLeft;
  const setSpot = (side: "left" | "right", number: number) => {
    const scrimmageXYards = side === "left" ? layout.leftGoalXYards + number : layout.rightGoalXYards - number;
    change("Spot", { scrimmageXYards });
  };
  const ballMark = judged.placed.find((mark) => mark.subject.kind === "ball");
  return (
    <section aria-label="Situation">
      <h2>
        Play {play.number} <span className="soft">{downAndDistance(situation)}</span>
      </h2>
      <div className="grid3">
        <Choice
          label="Offence (A)"
          value={situation.offence}
          options={[
            { value: "home", name: records.game.homeName },
            { value: "away", name: records.game.awayName },
          ]}
          onChange={(offence) => change("Offence", { offence })}
        />
        <Choice
          label="Going"
          value={situation.direction}
          options={[
            { value: "right", name: "to the right →" },
            { value: "left", name: "to the left ←" },
          ]}
          onChange={(direction) => {
            const lineToGainXYards = toGo === null ? null : situation.scrimmageXYards + directionSign(direction) * toGo;
            change("Direction", { direction, lineToGainXYards });
          }}
        />
        <Choice
          label="Down"
          value={String(situation.down ?? 0)}
          options={["1", "2", "3", "4", "0"].map((down) => ({
            value: down,
            name: down === "0" ? "none (try, kick)" : down,
          }))}
          onChange={(down) => change("Down", { down: down === "0" ? null : (Number(down) as Down) })}
        />
        <NumberField
          label="To the line to gain, yd"
          value={toGo}
          min={0}
          max={120}
          allowEmpty
          onChange={(distance) =>
            change("Distance", {
              lineToGainXYards: distance === null ? null : situation.scrimmageXYards + sign * distance,
            })
          }
        />
        <Choice
          label="Scrimmage, half"
          value={half}
          options={[
            { value: "left", name: "left half" },
            { value: "right", name: "right half" },
          ]}
          onChange={(side) => setSpot(side, yardLine)}
        />
        <NumberField
          label="Scrimmage, yard line"
          value={yardLine}
          min={-10}
          max={length / 2}
          onChange={(number) => number !== null && setSpot(half, number)}
        />
        <NumberField
          label="Ball, yd from near side"
          value={situation.ballYYards}
          min={0}
          max={layout.widthYards}
          onChange={(ballYYards) => ballYYards !== null && change("Ball", { ballYYards })}
        />
      </div>
      {ballMark ? (
        <Button
          title="Sets the line of scrimmage and the ball's place from the ball's mark in this frame"
          onPress={() => {
            const { xYards, yYards } = ballMark.measured.position;
            change("Spot from the ball's mark", {
              scrimmageXYards: xYards,
              ballYYards: yYards,
              lineToGainXYards: situation.lineToGainXYards,
            });
          }}
        >
          Take the spot from the ball’s mark
        </Button>
      ) : null}
    </section>
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
  const { here, edit, readOnly } = fieldbook;
  const set = (label: string, part: Partial<Play>) =>
    void edit(`${label} of play ${play.number}`, [put("play", play, { ...play, ...part })]);
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
                  name={`${row.name} at this frame`}
                  disabled={!here || readOnly || !row.fits(here.timeSec)}
                  onPress={() => here && set(row.name, row.part(here.timeSec))}
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
              onPress={() => onGo(candidate.timeSec)}
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
      {here && !moment ? (
        <Button disabled={readOnly} onPress={add}>
          Judge this frame: {phaseNames[likelyPhase(play, here.timeSec)].toLowerCase()}
        </Button>
      ) : null}
    </section>
  );
}
