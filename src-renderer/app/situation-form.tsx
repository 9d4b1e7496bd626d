import { directionSign } from "#core/field/frames";
import type { FieldLayout } from "#core/field/template";
import {
  type Down,
  type Game,
  type Play,
  type PlayEnd,
  type PlayKind,
  playEnds,
  playKinds,
  type PlayResult,
  type Situation,
} from "#core/game/records";
import { downAndDistance, playEndNames, playKindNames, yardsToGo } from "#core/game/words";
import { Choice, NumberField } from "../parts/labelled.tsx";

/** Applied to the play as it is by then: another edit may still be on its way when a field is left. */
export type ChangePlay = (label: string, change: (now: Play) => Play) => unknown;

/** What the crew knew before the snap, and how the play ended. Every value by keyboard; each change is one edit. */
export function SituationForm(props: {
  readonly game: Game;
  readonly layout: FieldLayout;
  readonly play: Play;
  readonly onChange: ChangePlay;
}) {
  const { game, layout, play, onChange } = props;
  const { situation } = play;
  const changePlay = (label: string, part: Partial<Play> | ((now: Play) => Partial<Play>)) =>
    void onChange(label, (now) => ({ ...now, ...(typeof part === "function" ? part(now) : part) }));
  const change = (label: string, part: Partial<Situation>) =>
    changePlay(label, (now) => ({ situation: { ...now.situation, ...part } }));
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
  return (
    <section aria-label="Situation" className="situation-form">
      <h2>
        Play {play.number} <span className="soft">{downAndDistance(situation)}</span>
      </h2>
      <div className="grid3">
        <Choice
          label="Offence (A)"
          value={situation.offence}
          options={[
            { value: "home", name: game.homeName },
            { value: "away", name: game.awayName },
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
          field="distance"
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
        <Choice<PlayKind | "">
          label="Kind"
          value={play.kind ?? ""}
          options={[
            { value: "", name: "not said" },
            ...playKinds.map((kind) => ({ value: kind, name: playKindNames[kind] })),
          ]}
          onChange={(kind) => changePlay("Kind", { kind: kind === "" ? null : kind })}
        />
        <NumberField
          label="Quarter"
          value={play.quarter}
          min={1}
          max={20}
          allowEmpty
          onChange={(quarter) => changePlay("Quarter", { quarter: quarter === null ? null : Math.round(quarter) })}
        />
        <NumberField
          label="Series"
          value={play.series}
          min={1}
          max={999}
          allowEmpty
          onChange={(series) => changePlay("Series", { series: series === null ? null : Math.round(series) })}
        />
        <Choice<PlayEnd | "">
          label="Ended"
          value={play.result?.kind ?? ""}
          options={[
            { value: "", name: "not said" },
            ...playEnds.map((kind) => ({ value: kind, name: playEndNames[kind] })),
          ]}
          onChange={(kind) => changePlay("End", (now) => ({ result: kind === "" ? null : resultOf(kind, now) }))}
        />
        <NumberField
          label="Gained, yd"
          field="gain"
          value={gainOf(play)}
          min={-60}
          max={120}
          allowEmpty
          onChange={(yards) => changePlay("Gain", (now) => ({ result: withGain(now, yards) }))}
        />
      </div>
    </section>
  );
}

/** An end of this kind: with the spot that was said before, where the kind has one. */
export function resultOf(kind: PlayEnd, { situation, result }: Play): PlayResult {
  const hasSpot = kind === "spot" || kind === "turnover";
  const here = { xYards: situation.scrimmageXYards, yYards: situation.ballYYards };
  return { kind, spot: hasSpot ? (result?.spot ?? here) : null };
}

export function gainOf({ situation, result }: Play): number | null {
  if (!result?.spot) return null;
  return directionSign(situation.direction) * (result.spot.xYards - situation.scrimmageXYards);
}

function withGain(play: Play, yards: number | null): PlayResult | null {
  const { situation, result } = play;
  if (yards === null) return result && result.kind !== "spot" ? { ...result, spot: null } : null;
  const xYards = situation.scrimmageXYards + directionSign(situation.direction) * yards;
  return {
    kind: result?.kind === "turnover" ? "turnover" : "spot",
    spot: { xYards, yYards: result?.spot?.yYards ?? situation.ballYYards },
  };
}
