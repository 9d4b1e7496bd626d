import { type PointerEvent, useRef } from "react";
import type { Film, Moment, Play } from "#core/game/records";
import { Button } from "../../parts/button.tsx";
import { type FilmPlayer, type PlayerState, playRates } from "./film-player.ts";
import { clock, downAndDistance, phaseNames } from "#core/game/words";

/** The film's controls. Each shows the key that does the same. */
export function Transport({
  player,
  state,
  play,
  onLoop,
}: {
  readonly player: FilmPlayer;
  readonly state: PlayerState;
  readonly play: Play | null;
  readonly onLoop: () => void;
}) {
  return (
    <div className="transport" role="toolbar" aria-label="Film">
      <Button name="Ten frames back" onPress={() => void player.step(-10)} shortcut="⇧Q">
        −10
      </Button>
      <Button name="One frame back" onPress={() => void player.step(-1)} shortcut="Q">
        −1
      </Button>
      <Button
        look="primary"
        name={state.mode === "playing" ? "Stop on the frame" : "Play"}
        onPress={() => void player.toggle()}
      >
        {state.mode === "playing" ? "Stop" : "Play"}
      </Button>
      <Button name="One frame on" onPress={() => void player.step(1)} shortcut="W">
        +1
      </Button>
      <Button name="Ten frames on" onPress={() => void player.step(10)} shortcut="⇧W">
        +10
      </Button>
      <output className="readout" aria-label="Time and frame">
        {clock(state.timeSec)} <span className="soft">frame {state.frameIndex}</span>
      </output>
      <span className="gap" />
      <label className="rate">
        <span className="soft">Speed</span>{" "}
        <select value={String(state.rate)} onChange={(event) => player.setRate(Number(event.target.value))}>
          {playRates.map((rate) => (
            <option key={rate} value={rate}>
              {rate}×
            </option>
          ))}
        </select>
      </label>
      <Button
        name="Run this play over and over"
        pressed={state.loop !== null}
        disabled={!play && !state.loop}
        onPress={onLoop}
        shortcut="G"
      >
        Loop
      </Button>
    </div>
  );
}

/** The whole film as a strip: its plays, the judged moments on them, and where one is. */
export function FilmStrip(props: {
  readonly film: Film;
  readonly plays: readonly Play[];
  readonly moments: readonly Moment[];
  readonly surveyed: ReadonlySet<string>;
  /** Stretches that a survey was carried to. */
  readonly carried: readonly { readonly id: string; readonly startSec: number; readonly endSec: number }[];
  readonly state: PlayerState;
  readonly onSeek: (timeSec: number) => void;
}) {
  const { film, plays, moments, state, onSeek } = props;
  const strip = useRef<HTMLDivElement>(null);
  const share = (timeSec: number) =>
    `${(100 * Math.min(1, Math.max(0, timeSec / (film.durationSec || 1)))).toFixed(3)}%`;
  const seek = (event: PointerEvent) => {
    const box = strip.current?.getBoundingClientRect();
    if (box) onSeek(((event.clientX - box.left) / box.width) * film.durationSec);
  };
  return (
    <div className="strip">
      <div
        ref={strip}
        className="strip-track"
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          seek(event);
        }}
        onPointerMove={(event) => event.buttons === 1 && seek(event)}
      >
        {plays.map((play) => (
          <button
            key={play.id}
            type="button"
            className={`strip-play${state.timeSec >= play.startSec && state.timeSec < play.endSec ? " here" : ""}`}
            style={{ left: share(play.startSec), width: `calc(${share(play.endSec - play.startSec)} - 2px)` }}
            aria-label={`Play ${play.number}, ${downAndDistance(play.situation)}`}
            onPointerDown={(event) => event.stopPropagation()}
            onClick={(event) => {
              // A click on the play's own moment goes there; on the rest of it, to where it was clicked.
              if (event.detail === 0) onSeek(firstMoment(play, moments)?.timeSec ?? play.startSec);
              else seek(event as unknown as PointerEvent);
            }}
          >
            <b>{play.number}</b> <span>{downAndDistance(play.situation)}</span>
          </button>
        ))}
        {props.carried.map(({ id, startSec, endSec }) => (
          <span
            key={id}
            className="strip-carried"
            style={{ left: share(startSec), width: share(endSec - startSec) }}
            aria-hidden="true"
          />
        ))}
        {moments.map((moment) => (
          <button
            key={moment.id}
            type="button"
            className={`strip-moment${props.surveyed.has(moment.id) ? " surveyed" : ""}${moment.frameIndex === state.frameIndex ? " here" : ""}`}
            style={{ left: share(moment.timeSec) }}
            aria-label={`${phaseNames[moment.phase]}, ${clock(moment.timeSec)}`}
            title={`${phaseNames[moment.phase]}, ${clock(moment.timeSec)}`}
            onPointerDown={(event) => event.stopPropagation()}
            onClick={() => onSeek(moment.timeSec)}
          />
        ))}
        <span className="strip-head" style={{ left: share(state.timeSec) }} />
      </div>
    </div>
  );
}

function firstMoment(play: Play, moments: readonly Moment[]): Moment | undefined {
  return moments.filter((moment) => moment.playId === play.id).toSorted((a, b) => a.timeSec - b.timeSec)[0];
}
