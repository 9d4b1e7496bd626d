import { type RefObject, useEffect, useRef } from "react";
import type { ImagePoint } from "#core/field/units";

const sidePx = 168;
const magnification = 7;

/** A magnified look at the frame round the pointer, for clicks finer than a pixel. The middle of the cross is the point. */
export function Loupe(props: {
  readonly source: RefObject<HTMLCanvasElement | null>;
  readonly at: ImagePoint;
  readonly onLeft: boolean;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const { source, at } = props;
  useEffect(() => {
    const paint = canvas.current?.getContext("2d");
    const film = source.current;
    if (!paint || !film) return;
    const span = sidePx / magnification;
    paint.imageSmoothingEnabled = false;
    paint.fillStyle = "#0a0d0e";
    paint.fillRect(0, 0, sidePx, sidePx);
    // The film's canvas may hold a frame at another size than it is shown at.
    const density = film.width / (film.clientWidth || film.width);
    paint.drawImage(
      film,
      (at.uPx - span / 2) * density,
      (at.vPx - span / 2) * density,
      span * density,
      span * density,
      0,
      0,
      sidePx,
      sidePx,
    );
    const middle = sidePx / 2;
    for (const [colour, width] of [
      ["#10181acc", 3],
      ["#ffd978", 1],
    ] as const) {
      paint.strokeStyle = colour;
      paint.lineWidth = width;
      paint.beginPath();
      for (const side of [-1, 1]) {
        paint.moveTo(middle + side * 5, middle);
        paint.lineTo(middle + side * 40, middle);
        paint.moveTo(middle, middle + side * 5);
        paint.lineTo(middle, middle + side * 40);
      }
      paint.stroke();
    }
  });
  return (
    <div className={`loupe ${props.onLeft ? "left" : "right"}`} aria-hidden="true">
      <canvas ref={canvas} width={sidePx} height={sidePx} />
      <span>
        {at.uPx.toFixed(1)}, {at.vPx.toFixed(1)} px
      </span>
    </div>
  );
}
