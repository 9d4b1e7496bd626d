import { type CSSProperties, type KeyboardEvent, type PointerEvent, useRef, useState } from "react";

/** A size that a person gave a part of the window, pixels; null while it has its usual one. Kept for this machine only. */
export type KeptSize = readonly [sizePx: number | null, keep: (sizePx: number | null) => void];

export function useKeptSize(key: string): KeptSize {
  const [sizePx, setSize] = useState<number | null>(() => {
    const kept = Number(localStorage.getItem(key));
    return Number.isFinite(kept) && kept > 0 ? kept : null;
  });
  const keep = (next: number | null): void => {
    if (next === null) localStorage.removeItem(key);
    else localStorage.setItem(key, String(Math.round(next)));
    setSize(next);
  };
  return [sizePx, keep];
}

/** The size as a custom property for the style of the grid that it is given to; nothing while it is the usual one. */
export function sizeStyle(property: `--${string}`, [sizePx]: KeptSize): CSSProperties {
  return sizePx === null ? {} : { [property]: `${sizePx}px` };
}

const stepPx = 16;
const farPx = 80;

/**
 * The line before a part at the bottom or at the right of the window, by which the part is made larger or smaller: by
 * dragging, or with the arrows, Home and End when it has the focus; a double click gives the usual size back.
 */
export function Divider({
  name,
  before,
  size,
  leastPx,
  mostPx,
}: {
  readonly name: string;
  /** Which side of the part it lies at. */
  readonly before: "top" | "left";
  readonly size: KeptSize;
  readonly leastPx: number;
  readonly mostPx: number;
}) {
  const line = useRef<HTMLDivElement>(null);
  const from = useRef<{ readonly at: number; readonly sizePx: number } | null>(null);
  const [sizePx, keep] = size;
  const isTop = before === "top";
  const measured = (): number => {
    const box = line.current?.nextElementSibling?.getBoundingClientRect();
    return (isTop ? box?.height : box?.width) ?? leastPx;
  };
  const hold = (px: number): number => Math.min(mostPx, Math.max(leastPx, px));
  const place = (event: PointerEvent): number => (isTop ? event.clientY : event.clientX);
  const onKeyDown = (event: KeyboardEvent): void => {
    const step = event.shiftKey ? farPx : stepPx;
    const to: Record<string, number | undefined> = {
      [isTop ? "ArrowUp" : "ArrowLeft"]: measured() + step,
      [isTop ? "ArrowDown" : "ArrowRight"]: measured() - step,
      Home: leastPx,
      End: mostPx,
    };
    const next = to[event.key];
    if (next === undefined || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    event.stopPropagation();
    keep(hold(next));
  };
  return (
    <div
      ref={line}
      className={`divider ${before}`}
      role="separator"
      aria-label={name}
      aria-orientation={isTop ? "horizontal" : "vertical"}
      aria-valuemin={leastPx}
      aria-valuemax={mostPx}
      aria-valuenow={Math.round(sizePx ?? measured())}
      tabIndex={0}
      title={`${name}: drag, or use the arrows; a double click gives the usual size back`}
      onKeyDown={onKeyDown}
      onDoubleClick={() => keep(null)}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        from.current = { at: place(event), sizePx: measured() };
      }}
      onPointerMove={(event) => {
        if (from.current && event.buttons === 1) keep(hold(from.current.sizePx + from.current.at - place(event)));
      }}
      onPointerUp={() => {
        from.current = null;
      }}
    />
  );
}
