import { type KeyboardEvent, type PointerEvent, useRef, useState } from "react";
import { type PlayTime, playTimeNames, playTimes, timeOf } from "#core/game/breakdown-edits";
import type { Play } from "#core/game/records";
import { clock } from "#core/game/words";

/** Film shown on either side of the play. Seconds. */
const marginSec = 2;
const letters: Record<PlayTime, string> = { start: "B", snap: "N", release: "R", catch: "C", dead: "D", end: "E" };

/** The times of one play on a line of its own, to be dragged, or moved a frame at a time with the arrows. */
export function PlayTimes(props: {
  readonly play: Play;
  readonly timeSec: number;
  readonly frameSec: number;
  readonly readOnly: boolean;
  readonly onMove: (which: PlayTime, timeSec: number) => void;
  /** Takes back what was said of an instant that need not be. */
  readonly onClear: (which: Exclude<PlayTime, "start" | "end">) => void;
  readonly onSeek: (timeSec: number) => void;
}) {
  const { play, timeSec, frameSec, readOnly, onMove, onClear, onSeek } = props;
  const line = useRef<HTMLDivElement>(null);
  const [dragged, setDragged] = useState<{ which: PlayTime; sec: number } | null>(null);
  const from = Math.max(0, play.startSec - marginSec);
  const span = play.endSec + marginSec - from;
  const share = (sec: number) => `${(100 * Math.min(1, Math.max(0, (sec - from) / span))).toFixed(3)}%`;
  const secAt = (event: PointerEvent) => {
    const box = line.current?.getBoundingClientRect();
    return box ? from + (Math.min(box.width, Math.max(0, event.clientX - box.left)) / box.width) * span : from;
  };
  const atOf = (which: PlayTime) => (dragged?.which === which ? dragged.sec : timeOf(play, which));
  const press = (which: PlayTime) => (event: KeyboardEvent) => {
    const at = timeOf(play, which);
    const way = { ArrowLeft: -1, ArrowRight: 1, PageDown: -10, PageUp: 10 }[event.key];
    if (at === null) return;
    const isCleared = event.key === "Delete" || event.key === "Backspace";
    if (event.key === "Enter") onSeek(at);
    else if (isCleared && !readOnly && which !== "start" && which !== "end") onClear(which);
    else if (way !== undefined && !readOnly) onMove(which, at + way * frameSec);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <div className="play-times" role="group" aria-label={`Times of play ${play.number}`}>
      <div
        ref={line}
        className="times-line"
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          onSeek(secAt(event));
        }}
        onPointerMove={(event) => event.buttons === 1 && onSeek(secAt(event))}
      >
        <span
          className="times-span"
          style={{ left: share(play.startSec), width: `calc(${share(play.endSec)} - ${share(play.startSec)})` }}
        />
        <span className="strip-head" style={{ left: share(timeSec) }} />
        {playTimes.map((which) => {
          const at = atOf(which);
          if (at === null) return null;
          return (
            <button
              key={which}
              type="button"
              role="slider"
              className={`time-tick tick-${which}`}
              style={{ left: share(at) }}
              aria-label={`${playTimeNames[which]} of play ${play.number}`}
              aria-valuemin={from}
              aria-valuemax={from + span}
              aria-valuenow={at}
              aria-valuetext={clock(at)}
              title={`${playTimeNames[which]}, ${clock(at)}`}
              onKeyDown={press(which)}
              onPointerDown={(event) => {
                event.stopPropagation();
                if (!readOnly) event.currentTarget.setPointerCapture(event.pointerId);
              }}
              onPointerMove={(event) => {
                if (event.buttons !== 1 || readOnly) return;
                event.stopPropagation();
                setDragged({ which, sec: secAt(event) });
              }}
              onPointerUp={(event) => {
                event.stopPropagation();
                if (dragged?.which === which) onMove(which, dragged.sec);
                else onSeek(at);
                setDragged(null);
              }}
            >
              {letters[which]}
            </button>
          );
        })}
      </div>
    </div>
  );
}
