import { type RefObject, useEffect, useRef, useState } from "react";
import { type ImagePoint, screenPoint } from "#core/field/units";
import { fitView, panBy, type Size, toImage, toScreen, type View, zoomAt } from "./view.ts";

export type PaneView = {
  readonly paneRef: RefObject<HTMLDivElement | null>;
  readonly pane: Size;
  readonly view: View;
  readonly isEnlarged: boolean;
  /** About a point of the image, or the pane's middle; no smaller than the whole image. */
  readonly zoom: (factor: number, at: ImagePoint | null) => void;
  readonly fit: () => void;
  /** Screen pixels; an image that is not enlarged stays. */
  readonly pan: (dxPx: number, dyPx: number) => void;
  readonly imageAt: (event: { readonly clientX: number; readonly clientY: number }) => ImagePoint;
  /** What lays the film's own pixels into the pane. */
  readonly style: { readonly transform: string; readonly width: number; readonly height: number };
};

/** How an image lies in its pane: whole at first and when the pane changes its size, enlarged by the wheel at the pointer. */
export function usePaneView(image: Size): PaneView {
  const paneRef = useRef<HTMLDivElement>(null);
  const [pane, setPane] = useState<Size>({ widthPx: 1, heightPx: 1 });
  const [zoomed, setZoomed] = useState<View | null>(null);
  const view = zoomed ?? fitView(image, pane);

  useEffect(() => {
    const element = paneRef.current;
    if (!element) return;
    const observer = new ResizeObserver(([entry]) => {
      if (entry) setPane({ widthPx: entry.contentRect.width, heightPx: entry.contentRect.height });
      setZoomed(null);
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, []);

  const zoom = (factor: number, at: ImagePoint | null) => {
    const centre = screenPoint(pane.widthPx / 2, pane.heightPx / 2);
    const next = zoomAt(view, at ? toScreen(view, at) : centre, factor, image, pane);
    setZoomed(next.scale <= fitView(image, pane).scale * 1.001 ? null : next);
  };
  const imageAt: PaneView["imageAt"] = (event) => {
    const box = paneRef.current?.getBoundingClientRect();
    return toImage(view, screenPoint(event.clientX - (box?.left ?? 0), event.clientY - (box?.top ?? 0)));
  };

  // React attaches wheel listeners as passive; zooming must be able to keep the page from scrolling.
  const latest = useRef({ zoom, imageAt });
  latest.current = { zoom, imageAt };
  useEffect(() => {
    const element = paneRef.current;
    if (!element) return;
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      latest.current.zoom(Math.exp(-event.deltaY * 0.0016), latest.current.imageAt(event));
    };
    element.addEventListener("wheel", onWheel, { passive: false });
    return () => element.removeEventListener("wheel", onWheel);
  }, []);

  return {
    paneRef,
    pane,
    view,
    isEnlarged: zoomed !== null,
    zoom,
    fit: () => setZoomed(null),
    pan: (dxPx, dyPx) => zoomed && setZoomed(panBy(zoomed, dxPx, dyPx, image, pane)),
    imageAt,
    style: {
      transform: `translate(${view.xPx}px, ${view.yPx}px) scale(${view.scale})`,
      width: image.widthPx,
      height: image.heightPx,
    },
  };
}
