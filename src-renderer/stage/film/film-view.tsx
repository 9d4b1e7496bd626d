import type { KeyboardEvent, RefObject } from "react";
import type { Film } from "#core/game/records";
import { usePaneView } from "../use-view.ts";

const panStepPx = 60;
/** Toward what lies in the arrow's direction. */
const arrows: Record<string, readonly [number, number] | undefined> = {
  ArrowLeft: [1, 0],
  ArrowRight: [-1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

/** A film to look at and nothing over it: the wheel enlarges at the pointer, a drag or the arrows move what is enlarged. */
export function FilmView(props: {
  readonly film: Film;
  readonly canvas: RefObject<HTMLCanvasElement | null>;
  readonly video: RefObject<HTMLVideoElement | null>;
}) {
  const { film, canvas, video } = props;
  const { paneRef, view, isEnlarged, pan, style } = usePaneView(film);
  const onKeyDown = (event: KeyboardEvent) => {
    const way = arrows[event.key];
    if (!way || !isEnlarged || event.defaultPrevented) return;
    event.preventDefault();
    pan(way[0] * panStepPx, way[1] * panStepPx);
  };
  return (
    <div
      ref={paneRef}
      className="film-pane"
      role="application"
      aria-label={`Film ${film.label}`}
      tabIndex={0}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={(event) => event.buttons === 1 && pan(event.movementX, event.movementY)}
      onKeyDown={onKeyDown}
    >
      <video
        ref={video}
        className="film"
        style={style}
        muted
        playsInline
        preload="auto"
        tabIndex={-1}
        aria-hidden="true"
      />
      <canvas ref={canvas} className={`film${view.scale > 2 ? " close" : ""}`} style={style} aria-hidden="true" />
    </div>
  );
}
