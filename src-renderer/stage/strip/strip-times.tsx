import { type KeyboardEvent, memo, type PointerEvent, useRef, useState } from "react";
import { type PlayTime, playTimeNames, playTimes, timeOf } from "#core/game/breakdown-edits";
import type { Play } from "#core/game/records";
import { clock } from "#core/game/words";
import type { StripScale } from "./strip-scale.ts";

/** What is nearer together than this is too small to be taken hold of: WCAG 2.2, 2.5.8, target size. */
const leastApartPx = 24;
/** Instants this near are one. */
const sameSec = 1e-6;

export type MoveTime = (playId: string, which: PlayTime, timeSec: number) => void;

/**
 * The times of the plays on the strip. With `onMoveTime` each can be dragged, or moved a frame at a time with the arrows
 * (ten with the page keys), while its play is at hand and is shown large enough; the film goes along, and the time is set on letting go. Escape
 * leaves it as it was.
 */
export const StripTimes = memo(function StripTimes(props: {
  readonly plays: readonly Play[];
  /** Where the film stands; null where no time can be moved, and it makes no difference. */
  readonly atSec: number | null;
  readonly scale: StripScale;
  readonly secAt: (clientX: number) => number;
  readonly frameSec: number;
  readonly onSeek: (timeSec: number) => void;
  readonly onMoveTime: MoveTime | undefined;
}) {
  const { plays, atSec, scale, secAt, frameSec, onSeek, onMoveTime } = props;
  const [draft, setDraft] = useState<Draft | null>(null);
  // What is let go of in the same moment as it moved must not be the one before.
  const held = useRef<Draft | null>(null);
  const isDragging = useRef(false);
  const hold = (next: Draft | null) => {
    held.current = next;
    setDraft(next);
    if (next) onSeek(next.sec);
  };
  const letGo = () => {
    const last = held.current;
    held.current = null;
    setDraft(null);
    if (last) onMoveTime?.(last.playId, last.which, last.sec);
  };
  return plays.flatMap((play) => {
    const isHere = atSec !== null && atSec >= play.startSec - sameSec && atSec <= play.endSec + sameSec;
    const times = playTimes.flatMap((which) => timeOf(play, which) ?? []).toSorted((a, b) => a - b);
    const hasRoom = times.every((sec, i) => i === 0 || scale.widthPx(times[i - 1]!, sec) >= leastApartPx);
    return playTimes.map((which) => {
      const isDrafted = draft?.playId === play.id && draft.which === which;
      const at = isDrafted ? draft.sec : timeOf(play, which);
      if (at === null || !scale.isShown(at, at)) return null;
      const isEdge = which === "start" || which === "end";
      const key = `${play.id} ${which}`;
      const looks = `strip-tick ${which}`;
      const place = { left: scale.left(at) };
      const canMove = onMoveTime && (isDrafted || (isHere && hasRoom));
      if (!canMove)
        return isEdge ? null : <span key={key} className={looks} style={place} title={playTimeNames[which]} />;
      return (
        <button
          key={key}
          type="button"
          role="slider"
          tabIndex={0}
          className={`strip-hold ${looks}`}
          style={place}
          aria-label={`Play ${play.number}: ${playTimeNames[which].toLowerCase()}`}
          aria-valuemin={0}
          aria-valuemax={Math.max(at, play.endSec)}
          aria-valuenow={at}
          aria-valuetext={clock(at)}
          title={`${playTimeNames[which]}, ${clock(at)}: drag, or move it with the arrows`}
          onPointerDown={(event) => {
            event.stopPropagation();
            event.currentTarget.setPointerCapture(event.pointerId);
            isDragging.current = true;
          }}
          onPointerMove={(event: PointerEvent) => {
            if (event.buttons !== 1) return;
            event.stopPropagation();
            if (!isDragging.current) return;
            hold({ playId: play.id, which, sec: secAt(event.clientX) });
          }}
          onPointerUp={(event) => {
            event.stopPropagation();
            if (held.current) letGo();
            else if (isDragging.current) onSeek(at);
            isDragging.current = false;
          }}
          onPointerCancel={() => hold(null)}
          onKeyDown={(event: KeyboardEvent) => {
            const frames = { ArrowLeft: -1, ArrowRight: 1, PageDown: -10, PageUp: 10 }[event.key];
            if (frames !== undefined)
              hold({ playId: play.id, which, sec: Math.max(0, (held.current?.sec ?? at) + frames * frameSec) });
            else if (event.key === "Escape" && held.current) {
              isDragging.current = false;
              hold(null);
              onSeek(timeOf(play, which) ?? at);
            } else if (event.key === "Enter") onSeek(at);
            else return;
            event.preventDefault();
            event.stopPropagation();
          }}
          onKeyUp={(event) => event.key !== "Escape" && letGo()}
          onBlur={letGo}
        />
      );
    });
  });
});

type Draft = { readonly playId: string; readonly which: PlayTime; readonly sec: number };
