import { type KeyboardEvent, type PointerEvent, useEffect, useMemo, useRef, useState } from "react";
import type { Film, Moment, Play } from "#core/game/records";
import { clock } from "#core/game/words";
import { Button } from "../../parts/button.tsx";
import type { PlayerState } from "../film/film-player.ts";
import "./strip.css";
import { StripMoments, StripPictures, StripPlays } from "./strip-layers.tsx";
import { following, rangeOf, type StripRange, withinFilm, zoomRange } from "./strip-range.ts";
import { stripScale } from "./strip-scale.ts";
import { type MoveTime, StripTimes } from "./strip-times.tsx";
import { useThumbs } from "./use-thumbs.ts";

const seekStepSec = 1;
const longStepSec = 10;
/** Where a frame's length is not given. */
const usualFrameSec = 1 / 30;
/** Of fewer pictures than these the making is over before it is read about. */
const worthSaying = 60;

/**
 * The film as a strip of small pictures, with its plays and their times, the judged moments, what a survey was carried
 * to, and where one is. Times of the plays are those of this film. With `onMoveTime` they can be moved (seconds of this
 * film, as they were dropped: whoever takes them keeps them in order).
 */
export function ContactStrip(props: {
  readonly film: Film;
  readonly plays: readonly Play[];
  readonly moments: readonly Moment[];
  readonly surveyed: ReadonlySet<string>;
  /** Stretches that a survey was carried to. */
  readonly carried: readonly { readonly id: string; readonly startSec: number; readonly endSec: number }[];
  /** Plays that the film seems to show, and which of them is at hand. */
  readonly proposed?: readonly { readonly startSec: number; readonly endSec: number; readonly here: boolean }[];
  readonly state: PlayerState;
  readonly onSeek: (timeSec: number) => void;
  readonly onMoveTime?: MoveTime;
  readonly frameSec?: number;
}) {
  const { film, plays, moments, state, onSeek } = props;
  const { durationSec } = film;
  const strip = useRef<HTMLDivElement>(null);
  const [range, setRange] = useState<StripRange>({ fromSec: 0, toSec: durationSec });
  const [widthPx, setWidthPx] = useState(0);
  const [hoverSec, setHoverSec] = useState<number | null>(null);
  const pictures = useThumbs(film, range, widthPx, hoverSec, state);
  const scale = useMemo(() => stripScale(range, widthPx), [range, widthPx]);
  const here = plays.find((play) => state.timeSec >= play.startSec && state.timeSec < play.endSec) ?? null;

  useEffect(() => setRange({ fromSec: 0, toSec: durationSec }), [film.id, durationSec]);
  useEffect(() => setRange((before) => following(before, state.timeSec, durationSec)), [state.timeSec, durationSec]);

  const secAt = (clientX: number) => {
    const box = strip.current?.getBoundingClientRect();
    if (!box) return 0;
    const at = Math.min(1, Math.max(0, (clientX - box.left) / box.width));
    return range.fromSec + at * (range.toSec - range.fromSec);
  };
  const latest = useRef({ secAt, durationSec, onSeek });
  latest.current = { secAt, durationSec, onSeek };
  // The same functions at every step of the film, so that the layers need not be drawn again.
  const [stable] = useState(() => ({
    secAt: (clientX: number) => latest.current.secAt(clientX),
    seek: (timeSec: number) => latest.current.onSeek(timeSec),
    enlarge: (play: Play) => setRange(rangeOf(play, latest.current.durationSec)),
  }));
  useEffect(() => {
    const element = strip.current;
    if (!element) return;
    const observer = new ResizeObserver(([entry]) => entry && setWidthPx(entry.contentRect.width));
    observer.observe(element);
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const at = latest.current.secAt(event.clientX);
      const total = latest.current.durationSec;
      const sideways = event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY);
      setRange((before) => {
        if (!sideways) return zoomRange(before, at, Math.exp(-event.deltaY * 0.002), total);
        const by = ((event.deltaX || event.deltaY) / 600) * (before.toSec - before.fromSec);
        return withinFilm({ fromSec: before.fromSec + by, toSec: before.toSec + by }, total);
      });
    };
    element.addEventListener("wheel", onWheel, { passive: false });
    return () => {
      observer.disconnect();
      element.removeEventListener("wheel", onWheel);
    };
  }, []);

  const isWhole = range.toSec - range.fromSec >= durationSec - 1e-6;
  const showWhole = () => setRange({ fromSec: 0, toSec: durationSec });
  const showPlay = () => here && setRange(rangeOf(here, durationSec));
  const zoom = (factor: number) => setRange((before) => zoomRange(before, state.timeSec, factor, durationSec));
  const seek = (event: PointerEvent) => onSeek(secAt(event.clientX));
  const onKeyDown = (event: KeyboardEvent) => {
    const by = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    const step = event.shiftKey ? longStepSec : seekStepSec;
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (by !== undefined) onSeek(Math.min(durationSec, Math.max(0, state.timeSec + by * step)));
    else if (event.key === "Home") onSeek(0);
    else if (event.key === "End") onSeek(durationSec);
    else if (event.key === "ArrowUp" || event.key === "+" || event.key === "=") zoom(2);
    else if (event.key === "ArrowDown" || event.key === "-") zoom(0.5);
    else if (event.key === "0") showWhole();
    else if (event.key === "Enter") showPlay();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <div className="strip">
      <div
        ref={strip}
        className="strip-track contact"
        role="group"
        aria-label="The film from end to end"
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          seek(event);
        }}
        onPointerMove={(event) => {
          setHoverSec(secAt(event.clientX));
          if (event.buttons === 1) seek(event);
        }}
        onPointerLeave={() => setHoverSec(null)}
      >
        <StripPictures
          timesSec={pictures.timesSec}
          stepSec={pictures.stepSec}
          pictures={pictures.state.pictures}
          scale={scale}
        />
        <StripPlays
          plays={plays}
          moments={moments}
          hereId={here?.id ?? null}
          scale={scale}
          secAt={stable.secAt}
          onSeek={stable.seek}
          onEnlarge={stable.enlarge}
        />
        {props.proposed
          ?.filter(({ startSec, endSec }) => scale.isShown(startSec, endSec))
          .map((one) => (
            // For the pointer it is film like any other; by keyboard the proposed plays are in their list.
            <span
              key={one.startSec}
              className={`strip-proposed${one.here ? " here" : ""}`}
              style={{ left: scale.left(one.startSec), width: `calc(${scale.width(one.startSec, one.endSec)} - 2px)` }}
              aria-hidden="true"
            >
              proposed
            </span>
          ))}
        {props.carried.map(({ id, startSec, endSec }) => (
          <span
            key={id}
            className="strip-carried"
            style={{ left: scale.left(startSec), width: scale.width(startSec, endSec) }}
            aria-hidden="true"
          />
        ))}
        <StripMoments
          moments={moments}
          surveyed={props.surveyed}
          hereId={moments.find(({ frameIndex }) => frameIndex === state.frameIndex)?.id ?? null}
          scale={scale}
          onSeek={stable.seek}
        />
        <span
          className="strip-head"
          style={{ left: scale.left(state.timeSec) }}
          role="slider"
          tabIndex={0}
          aria-label="Place in the film: left and right a second, up and down closer and further, Enter the play, 0 the whole film"
          aria-valuemin={0}
          aria-valuemax={durationSec}
          aria-valuenow={state.timeSec}
          aria-valuetext={clock(state.timeSec)}
          onKeyDown={onKeyDown}
        />
        <StripTimes
          plays={plays}
          atSec={props.onMoveTime ? state.timeSec : null}
          scale={scale}
          secAt={stable.secAt}
          frameSec={props.frameSec ?? usualFrameSec}
          onSeek={stable.seek}
          onMoveTime={props.onMoveTime}
        />
      </div>
      {hoverSec === null ? null : (
        <div className="strip-preview" style={{ left: `clamp(90px, ${scale.left(hoverSec)}, calc(100% - 90px))` }}>
          {pictures.preview ? <img src={pictures.preview} alt="" /> : null}
          <span>{clock(hoverSec)}</span>
        </div>
      )}
      <div className="strip-tools">
        <Button look="bare" disabled={isWhole} onPress={showWhole}>
          Whole film
        </Button>
        <Button look="bare" disabled={!here} onPress={showPlay}>
          This play
        </Button>
        <Making
          {...pictures.state.whole}
          waits={state.mode === "playing"}
          goesOn={pictures.makesWhole}
          onGoOn={pictures.setMakesWhole}
        />
      </div>
    </div>
  );
}

/** How many pictures of the whole film are made, and a way to stop. Nothing once all are there. */
function Making(props: {
  readonly made: number;
  readonly of: number;
  readonly waits: boolean;
  readonly goesOn: boolean;
  readonly onGoOn: (goesOn: boolean) => void;
}) {
  const { made, of, waits, goesOn, onGoOn } = props;
  if (!goesOn)
    return (
      <Button look="bare" onPress={() => onGoOn(true)}>
        Go on making pictures
      </Button>
    );
  if (of < worthSaying || made >= of) return null;
  return (
    <span className="strip-making">
      <progress aria-label="Pictures of the film made" value={made} max={of} />
      {made} of {of} pictures{waits ? ", waiting while the film plays" : ""}
      <Button look="bare" name="Stop making pictures" onPress={() => onGoOn(false)}>
        Stop
      </Button>
    </span>
  );
}
