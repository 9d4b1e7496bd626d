import {
  type KeyboardEvent,
  type PointerEvent,
  useEffect,
  useMemo,
  useRef,
  useState,
  useSyncExternalStore,
} from "react";
import type { Film, Moment, Play } from "#core/game/records";
import { clock, downAndDistance, phaseNames } from "#core/game/words";
import type { PlayerState } from "../film/film-player.ts";
import "./strip.css";
import { following, pictureTimes, type StripRange, withinFilm, zoomRange } from "./strip-range.ts";
import { createThumbs, type Thumbs } from "./thumbs.ts";

const pictureWidthPx = 88;
const seekStepSec = 1;

/** The film as a strip of small pictures, with its plays, the judged moments on them, and where one is. */
export function ContactStrip(props: {
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
  const { durationSec } = film;
  const strip = useRef<HTMLDivElement>(null);
  const [range, setRange] = useState<StripRange>({ fromSec: 0, toSec: durationSec });
  const [widthPx, setWidthPx] = useState(0);
  const [hoverSec, setHoverSec] = useState<number | null>(null);
  const thumbs = useThumbs(film, state.mode === "playing");
  const pictures = useSyncExternalStore(thumbs?.subscribe ?? nothing, thumbs?.getState ?? noPictures);

  useEffect(() => setRange({ fromSec: 0, toSec: durationSec }), [film.id, durationSec]);
  useEffect(() => setRange((before) => following(before, state.timeSec, durationSec)), [state.timeSec, durationSec]);
  const times = useMemo(() => pictureTimes(range, widthPx, pictureWidthPx), [range, widthPx]);
  const step = times.length > 1 ? times[1]! - times[0]! : 1;
  // The picture under the pointer comes from the same grid, and first.
  const hoverAt = hoverSec === null ? null : Math.max(0, Math.floor(hoverSec / (step / 2)) * (step / 2));
  useEffect(() => {
    if (widthPx > 0) thumbs?.want(hoverAt === null ? times : [hoverAt, ...times]);
  }, [thumbs, times, hoverAt, widthPx]);

  const secAt = (clientX: number) => {
    const box = strip.current?.getBoundingClientRect();
    if (!box) return 0;
    const at = Math.min(1, Math.max(0, (clientX - box.left) / box.width));
    return range.fromSec + at * (range.toSec - range.fromSec);
  };
  const latest = useRef({ secAt, durationSec });
  latest.current = { secAt, durationSec };
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

  const span = range.toSec - range.fromSec || 1;
  const share = (sec: number) => `${((100 * (sec - range.fromSec)) / span).toFixed(3)}%`;
  const width = (fromSec: number, toSec: number) => `${((100 * (toSec - fromSec)) / span).toFixed(3)}%`;
  const isShown = (fromSec: number, toSec: number) => toSec > range.fromSec && fromSec < range.toSec;
  const seek = (event: PointerEvent) => onSeek(secAt(event.clientX));
  const onKeyDown = (event: KeyboardEvent) => {
    const by = { ArrowLeft: -seekStepSec, ArrowRight: seekStepSec }[event.key];
    if (by !== undefined) onSeek(Math.min(durationSec, Math.max(0, state.timeSec + by)));
    else if (event.key === "Home") onSeek(0);
    else if (event.key === "End") onSeek(durationSec);
    else if (event.key === "ArrowUp") setRange(zoomRange(range, state.timeSec, 2, durationSec));
    else if (event.key === "ArrowDown") setRange(zoomRange(range, state.timeSec, 0.5, durationSec));
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  const preview = hoverAt === null ? null : (pictures.get(hoverAt) ?? null);
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
        <div className="strip-pictures" aria-hidden="true">
          {times.map((timeSec) => {
            const address = pictures.get(timeSec);
            return (
              <span key={timeSec} data-time={timeSec} style={{ left: share(timeSec), width: width(0, step) }}>
                {address ? <img src={address} alt="" draggable={false} /> : null}
              </span>
            );
          })}
        </div>
        {plays
          .filter((play) => isShown(play.startSec, play.endSec))
          .map((play) => (
            <button
              key={play.id}
              type="button"
              className={`strip-play${state.timeSec >= play.startSec && state.timeSec < play.endSec ? " here" : ""}`}
              style={{ left: share(play.startSec), width: `calc(${width(play.startSec, play.endSec)} - 2px)` }}
              aria-label={`Play ${play.number}, ${downAndDistance(play.situation)}`}
              onPointerDown={(event) => event.stopPropagation()}
              onClick={(event) => {
                // A click on the play's own moment goes there; on the rest of it, to where it was clicked.
                if (event.detail === 0) onSeek(firstMoment(play, moments)?.timeSec ?? play.startSec);
                else onSeek(secAt(event.clientX));
              }}
            >
              <b>{play.number}</b> <span>{downAndDistance(play.situation)}</span>
            </button>
          ))}
        {plays.flatMap((play) =>
          ticks.flatMap(({ field, name }) => {
            const at = play[field];
            return at === null || !isShown(at, at) ? (
              []
            ) : (
              <span
                key={`${play.id} ${field}`}
                className={`strip-tick ${field}`}
                style={{ left: share(at) }}
                title={name}
              />
            );
          }),
        )}
        {props.carried.map(({ id, startSec, endSec }) => (
          <span
            key={id}
            className="strip-carried"
            style={{ left: share(startSec), width: width(startSec, endSec) }}
            aria-hidden="true"
          />
        ))}
        {moments
          .filter(({ timeSec }) => isShown(timeSec, timeSec))
          .map((moment) => (
            // For the pointer: by keyboard the moments are in the list of the Play page, and a key goes from one to the next.
            <span
              key={moment.id}
              className={`strip-moment${props.surveyed.has(moment.id) ? " surveyed" : ""}${moment.frameIndex === state.frameIndex ? " here" : ""}`}
              style={{ left: share(moment.timeSec) }}
              aria-hidden="true"
              title={`${phaseNames[moment.phase]}, ${clock(moment.timeSec)}`}
              onPointerDown={(event) => event.stopPropagation()}
              onClick={() => onSeek(moment.timeSec)}
            />
          ))}
        <span
          className="strip-head"
          style={{ left: share(state.timeSec) }}
          role="slider"
          tabIndex={0}
          aria-label="Place in the film: left and right a second, up and down closer and further"
          aria-valuemin={0}
          aria-valuemax={durationSec}
          aria-valuenow={state.timeSec}
          aria-valuetext={clock(state.timeSec)}
          onKeyDown={onKeyDown}
        />
      </div>
      {hoverSec === null ? null : (
        <div className="strip-preview" style={{ left: `clamp(90px, ${share(hoverSec)}, calc(100% - 90px))` }}>
          {preview ? <img src={preview} alt="" /> : null}
          <span>{clock(hoverSec)}</span>
        </div>
      )}
    </div>
  );
}

const ticks = [
  { field: "snapSec", name: "Snap" },
  { field: "releaseSec", name: "Release" },
  { field: "catchSec", name: "Catch" },
  { field: "deadSec", name: "Dead ball" },
] as const;

const nothing = () => () => {};
const none: ReadonlyMap<number, string | null> = new Map();
const noPictures = () => none;

/** The small pictures of a film, made while it stands still. */
function useThumbs(film: Film, isPlaying: boolean): Thumbs | null {
  const [thumbs, setThumbs] = useState<Thumbs | null>(null);
  const { id, fingerprint } = film;
  useEffect(() => {
    const made = createThumbs({ url: new URL(`/film/${id}`, location.href).href, fingerprint });
    setThumbs(made);
    return () => {
      made.dispose();
      setThumbs(null);
    };
  }, [id, fingerprint]);
  useEffect(() => thumbs?.pause(isPlaying), [thumbs, isPlaying]);
  return thumbs;
}

function firstMoment(play: Play, moments: readonly Moment[]): Moment | undefined {
  return moments.filter((moment) => moment.playId === play.id).toSorted((a, b) => a.timeSec - b.timeSec)[0];
}
