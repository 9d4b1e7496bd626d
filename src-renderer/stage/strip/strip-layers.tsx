/**
 * What lies on the strip, in layers that are drawn again only when what they show has changed: a step of the film moves none of
 * them, and a game has hundreds of each.
 */
import { memo } from "react";
import type { Moment, Play } from "#core/game/records";
import { clock, downAndDistance, phaseNames } from "#core/game/words";
import type { StripScale } from "./strip-scale.ts";

export const StripPictures = memo(function StripPictures(props: {
  readonly timesSec: readonly number[];
  readonly stepSec: number;
  /** Addresses by the instant. */
  readonly pictures: ReadonlyMap<number, string | null>;
  readonly scale: StripScale;
}) {
  const { timesSec, stepSec, pictures, scale } = props;
  const width = scale.width(0, stepSec);
  return (
    <div className="strip-pictures" aria-hidden="true">
      {timesSec.map((timeSec) => {
        const address = pictures.get(timeSec);
        return (
          <span key={timeSec} data-time={timeSec} style={{ left: scale.left(timeSec), width }}>
            {address ? <img src={address} alt="" draggable={false} /> : null}
          </span>
        );
      })}
    </div>
  );
});

export const StripPlays = memo(function StripPlays(props: {
  readonly plays: readonly Play[];
  readonly moments: readonly Moment[];
  readonly hereId: string | null;
  readonly scale: StripScale;
  readonly secAt: (clientX: number) => number;
  readonly onSeek: (timeSec: number) => void;
  readonly onEnlarge: (play: Play) => void;
}) {
  const { plays, moments, hereId, scale, secAt, onSeek, onEnlarge } = props;
  return plays
    .filter((play) => scale.isShown(play.startSec, play.endSec))
    .map((play) => (
      <button
        key={play.id}
        type="button"
        className={`strip-play${play.id === hereId ? " here" : ""}`}
        style={{ left: scale.left(play.startSec), width: `calc(${scale.width(play.startSec, play.endSec)} - 2px)` }}
        aria-label={`Play ${play.number}, ${downAndDistance(play.situation)}`}
        onPointerDown={(event) => event.stopPropagation()}
        onDoubleClick={() => onEnlarge(play)}
        onClick={(event) => {
          // By key it goes to the play's own moment; by pointer to where it was clicked.
          if (event.detail === 0) onSeek(firstMoment(play, moments)?.timeSec ?? play.startSec);
          else onSeek(secAt(event.clientX));
        }}
      >
        <b>{play.number}</b> <span>{downAndDistance(play.situation)}</span>
      </button>
    ));
});

/** For the pointer: by keyboard the moments are in the list of the Play page, and a key goes from one to the next. */
export const StripMoments = memo(function StripMoments(props: {
  readonly moments: readonly Moment[];
  readonly surveyed: ReadonlySet<string>;
  readonly hereId: string | null;
  readonly scale: StripScale;
  readonly onSeek: (timeSec: number) => void;
}) {
  const { moments, surveyed, hereId, scale, onSeek } = props;
  return moments
    .filter(({ timeSec }) => scale.isShown(timeSec, timeSec))
    .map((moment) => (
      <span
        key={moment.id}
        className={`strip-moment${surveyed.has(moment.id) ? " surveyed" : ""}${moment.id === hereId ? " here" : ""}`}
        style={{ left: scale.left(moment.timeSec) }}
        aria-hidden="true"
        title={`${phaseNames[moment.phase]}, ${clock(moment.timeSec)}`}
        onPointerDown={(event) => event.stopPropagation()}
        onClick={() => onSeek(moment.timeSec)}
      />
    ));
});

function firstMoment(play: Play, moments: readonly Moment[]): Moment | undefined {
  return moments.filter((moment) => moment.playId === play.id).toSorted((a, b) => a.timeSec - b.timeSec)[0];
}
