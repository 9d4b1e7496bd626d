import { type KeyboardEvent, type RefObject, useEffect, useRef, useState } from "react";
import { screenPoint } from "#core/field/units";
import type { Film } from "#core/game/records";
import { fitView, panBy, type Size, type View, zoomAt } from "../view.ts";

const panStepPx = 60;
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
  const paneRef = useRef<HTMLDivElement>(null);
  const [pane, setPane] = useState<Size>({ widthPx: 1, heightPx: 1 });
  const [zoomed, setZoomed] = useState<View | null>(null);
  const view = zoomed ?? fitView(film, pane);
  const latest = useRef({ view, pane });
  latest.current = { view, pane };

  useEffect(() => {
    const element = paneRef.current;
    if (!element) return;
    const observer = new ResizeObserver(([entry]) => {
      if (entry) setPane({ widthPx: entry.contentRect.width, heightPx: entry.contentRect.height });
      setZoomed(null);
    });
    observer.observe(element);
    // React attaches wheel listeners as passive; zooming must be able to keep the page from scrolling.
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const box = element.getBoundingClientRect();
      const at = screenPoint(event.clientX - box.left, event.clientY - box.top);
      const next = zoomAt(latest.current.view, at, Math.exp(-event.deltaY * 0.0016), film, latest.current.pane);
      setZoomed(next.scale <= fitView(film, latest.current.pane).scale * 1.001 ? null : next);
    };
    element.addEventListener("wheel", onWheel, { passive: false });
    return () => {
      observer.disconnect();
      element.removeEventListener("wheel", onWheel);
    };
  }, [film]);

  const pan = (dx: number, dy: number) => zoomed && setZoomed(panBy(zoomed, dx, dy, film, pane));
  const onKeyDown = (event: KeyboardEvent) => {
    const way = arrows[event.key];
    if (!way || !zoomed || event.defaultPrevented) return;
    event.preventDefault();
    pan(way[0] * panStepPx, way[1] * panStepPx);
  };
  const transform = {
    transform: `translate(${view.xPx}px, ${view.yPx}px) scale(${view.scale})`,
    width: film.widthPx,
    height: film.heightPx,
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
        style={transform}
        muted
        playsInline
        preload="auto"
        tabIndex={-1}
        aria-hidden="true"
      />
      <canvas ref={canvas} className={`film${view.scale > 2 ? " close" : ""}`} style={transform} aria-hidden="true" />
    </div>
  );
}
