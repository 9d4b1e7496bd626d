import type { Play } from "#core/game/records";
import { Button } from "../../parts/button.tsx";
import { type FilmPlayer, type PlayerState, playRates } from "./film-player.ts";
import { clock } from "#core/game/words";

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
        shortcut="G"
      >
        Loop
      </Button>
    </div>
  );
}
