import { paperSheet } from "#core/picture/inks";
import { baselineShare, type Line, type Paint, type Painted, paintedShapes } from "#core/picture/painted";
import type { PicturePoint, Shape } from "#core/picture/shape";
import type { ReportPicture } from "#core/report/document";

/** Paints a report's pictures on a canvas, in the window or in a worker. Everything is sized by the picture's point of ink. */
export type PaintContext = CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;

/** What of the picture's measure is seen where on the canvas: its box fills the width. */
export type PaintView = Pick<ReportPicture, "surface" | "box" | "inkUnit"> & { readonly widthPx: number };

/** A still, and the part of the picture's measure that it covers: the box itself, or the whole frame it is cut from. */
export type PaintStill = { readonly image: CanvasImageSource; readonly covers: ReportPicture["box"] };

/** Whole pixels, even ones: halved colours have half as many. */
export function paintedSize({ box, widthPx }: Pick<PaintView, "box" | "widthPx">): {
  widthPx: number;
  heightPx: number;
} {
  const even = (px: number) => Math.max(2, 2 * Math.round(px / 2));
  return { widthPx: even(widthPx), heightPx: even((widthPx * box.height) / box.width) };
}

/** The sheet and the still under a picture; what the still does not cover is left blank. */
export function paintGround(context: PaintContext, view: PaintView, still: PaintStill | null): void {
  const { widthPx, heightPx } = paintedSize(view);
  context.fillStyle = paperSheet;
  context.fillRect(0, 0, widthPx, heightPx);
  if (!still) return;
  const [x, y] = onCanvas(view)([still.covers.x, still.covers.y]);
  const scale = view.widthPx / view.box.width;
  context.imageSmoothingQuality = "high";
  context.drawImage(still.image, x, y, still.covers.width * scale, still.covers.height * scale);
}

export function paintShapes(context: PaintContext, view: PaintView, shapes: readonly Shape[]): void {
  const scale = view.widthPx / view.box.width;
  const at = onCanvas(view);
  context.lineJoin = "round";
  for (const painted of paintedShapes(shapes, view)) paint({ context, at, scale }, painted);
  context.globalAlpha = 1;
  context.setLineDash([]);
}

type Pen = {
  readonly context: PaintContext;
  readonly at: (point: PicturePoint) => PicturePoint;
  /** Pixels that one of the picture's measure is long. */
  readonly scale: number;
};

function onCanvas({ box, widthPx }: PaintView): (point: PicturePoint) => PicturePoint {
  const scale = widthPx / box.width;
  return ([x, y]) => [(x - box.x) * scale, (y - box.y) * scale];
}

/** The window's own letters, without those that only it would have. */
export const letterFaces = '"Segoe UI", "Helvetica Neue", "Noto Sans", "DejaVu Sans", Arial, sans-serif';

function paint(pen: Pen, painted: Painted): void {
  const { context, at, scale } = pen;
  switch (painted.kind) {
    case "path":
      context.beginPath();
      for (const [index, point] of painted.points.entries()) {
        const [x, y] = at(point);
        if (index === 0) context.moveTo(x, y);
        else context.lineTo(x, y);
      }
      if (painted.closed) context.closePath();
      return fillAndStroke(pen, painted);
    case "circle": {
      const [x, y] = at(painted.at);
      context.beginPath();
      context.arc(x, y, painted.radius * scale, 0, 2 * Math.PI);
      return fillAndStroke(pen, painted);
    }
    case "letters": {
      const [x, y] = at(painted.middle);
      const sizePx = painted.size * scale;
      context.save();
      context.translate(x, y);
      if (painted.turned) context.rotate(Math.PI);
      context.textAlign = "center";
      context.textBaseline = "alphabetic";
      context.font = `700 ${sizePx}px ${letterFaces}`;
      if (painted.halo) {
        setLine(pen, painted.halo);
        context.strokeText(painted.text, 0, baselineShare * sizePx);
      }
      setFill(pen, painted.fill);
      context.fillText(painted.text, 0, baselineShare * sizePx);
      return context.restore();
    }
  }
}

function fillAndStroke(pen: Pen, { fill, line }: { readonly fill: Paint | null; readonly line: Line | null }): void {
  if (fill) {
    setFill(pen, fill);
    pen.context.fill();
  }
  if (!line) return;
  setLine(pen, line);
  pen.context.stroke();
}

function setFill({ context }: Pen, { colour, opacity }: Paint): void {
  context.fillStyle = colour;
  context.globalAlpha = opacity;
}

function setLine({ context, scale }: Pen, { paint: { colour, opacity }, width, dash }: Line): void {
  context.strokeStyle = colour;
  context.globalAlpha = opacity;
  context.lineWidth = width * scale;
  context.setLineDash(dash.map((length) => length * scale));
}
