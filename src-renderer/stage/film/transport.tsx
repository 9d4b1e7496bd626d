import { useRef } from "react";
import type { Play } from "#core/game/records";
import { Button } from "../../parts/button.tsx";
import { type FilmPlayer, type PlayerState, playRates } from "./film-player.ts";
import { clock } from "#core/game/words";
import { ShuttleBar } from "./shuttle-bar.tsx";
import { toggleWholeScreen } from "./whole-screen.ts";

/** The film's controls. Each shows the key that does the same. */
export function Transport({
  player,
  state,
  play,
  onLoop,
  loopKey,
}: {
  readonly player: FilmPlayer;
  readonly state: PlayerState;
  readonly play: Play | null;
  readonly onLoop: () => void;
  /** The place's key for the loop, where it has one. */
  readonly loopKey?: string;
}) {
  const bar = useRef<HTMLDivElement>(null);
  return (
    <div className="transport-room">
      <div ref={bar} className="transport" role="toolbar" aria-label="Film">
        <Button name="−10: ten frames back" onPress={() => void player.step(-10)} shortcut="⇧Q">
          −10
        </Button>
        <Button name="−1: one frame back" onPress={() => void player.step(-1)} shortcut="Q">
          −1
        </Button>
        <Button
          look="primary"
          name={state.mode === "playing" ? "Stop on the frame" : "Play"}
          onPress={() => void player.toggle()}
        >
          {state.mode === "playing" ? "Stop" : "Play"}
        </Button>
        <Button name="+1: one frame on" onPress={() => void player.step(1)} shortcut="W">
          +1
        </Button>
        <Button name="+10: ten frames on" onPress={() => void player.step(10)} shortcut="⇧W">
          +10
        </Button>
        <output className="readout" aria-label="Time and frame">
          {clock(state.timeSec)} <span className="soft">frame {state.frameIndex}</span>
        </output>
        <span className="gap" />
        <ShuttleBar player={player} />
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
          name="Loop: run this play over and over"
          pressed={state.loop !== null}
          disabled={!play && !state.loop}
          onPress={onLoop}
          {...(loopKey === undefined ? {} : { shortcut: loopKey })}
        >
          Loop
        </Button>
        <Button
          name="Full screen: the film alone, and back"
          onPress={() => void toggleWholeScreen(bar.current?.closest("section") ?? null)}
          shortcut="9"
        >
          Full
        </Button>
      </div>
    </div>
  );
}
