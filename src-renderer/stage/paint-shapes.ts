import { paperInks, paperSheet, type Stroke } from "#core/picture/paper-inks";
import type { Ink, PicturePoint, Shape } from "#core/picture/shape";
import type { ReportPicture } from "#core/report/document";
import { filmInks } from "./film-inks.ts";

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
  const pen: Pen = {
    context,
    at: onCanvas(view),
    scale: view.widthPx / view.box.width,
    point: (view.inkUnit * view.widthPx) / view.box.width,
    isFilm: view.surface === "film",
  };
  context.lineJoin = "round";
  context.textAlign = "center";
  context.textBaseline = "alphabetic";
  for (const shape of shapes) paintShape(pen, shape);
}

type Pen = {
  readonly context: PaintContext;
  readonly at: (point: PicturePoint) => PicturePoint;
  /** Pixels that one of the picture's measure is long, and that one point of ink is wide. */
  readonly scale: number;
  readonly point: number;
  readonly isFilm: boolean;
};

function onCanvas({ box, widthPx }: PaintView): (point: PicturePoint) => PicturePoint {
  const scale = widthPx / box.width;
  return ([x, y]) => [(x - box.x) * scale, (y - box.y) * scale];
}

const filmHalo = "#10181acc";

/** Areas hatched on paper, so that they can be told apart without their colours; how far apart, in points, and the slant. */
const hatches: Partial<
  Record<Ink, { readonly everyPoints: number; readonly slant: 1 | -1; readonly isBare: boolean }>
> = {
  zone: { everyPoints: 7, slant: 1, isBare: true },
  "target-missed": { everyPoints: 6.5, slant: 1, isBare: false },
  "no-running": { everyPoints: 8.8, slant: -1, isBare: true },
};

function paintShape(pen: Pen, shape: Shape): void {
  const stroke = (pen.isFilm ? filmInks : paperInks)[shape.ink];
  switch (shape.kind) {
    case "path":
      return paintPath(pen, shape, stroke);
    case "cross": {
      const [x, y] = pen.at(shape.at);
      const arm = 6 * pen.point;
      return strokeOver(pen, stroke, () => {
        pen.context.moveTo(x - arm, y);
        pen.context.lineTo(x + arm, y);
        pen.context.moveTo(x, y - arm);
        pen.context.lineTo(x, y + arm);
      });
    }
    case "ring": {
      const [x, y] = pen.at(shape.at);
      return strokeOver(pen, stroke, () =>
        pen.context.arc(x, y, ringPoints(pen, shape.ink) * pen.point, 0, 2 * Math.PI),
      );
    }
    case "arrow":
      return paintArrow(pen, shape, stroke);
    case "label":
      return paintLabel(pen, shape, stroke);
  }
}

/** On film a ring lies round a foot, on a plan round a letter; what nobody saw has two letters in it. */
const ringPoints = ({ isFilm }: Pen, ink: Ink) => (isFilm ? 8 : ink === "sight-hidden" ? 14 : 9);

function setStroke({ context, point }: Pen, { colour, widthPx, dash = [] }: Stroke): void {
  context.strokeStyle = colour;
  context.lineWidth = widthPx * point;
  context.setLineDash(dash.map((length) => length * point));
}

/** Over film a line has a dark one under it, or it is lost on bright ground. */
function strokeOver(pen: Pen, stroke: Stroke, trace: () => void): void {
  const { context } = pen;
  if (stroke.widthPx <= 0) return;
  context.beginPath();
  trace();
  if (pen.isFilm) {
    setStroke(pen, { ...stroke, colour: filmHalo, widthPx: stroke.widthPx + 2 });
    context.stroke();
  }
  setStroke(pen, stroke);
  context.stroke();
  context.setLineDash([]);
}

function paintPath(pen: Pen, { ink, points, closed }: Extract<Shape, { kind: "path" }>, stroke: Stroke): void {
  const { context } = pen;
  const placed = points.map(pen.at);
  const trace = () => {
    for (const [i, [x, y]] of placed.entries()) {
      if (i === 0) context.moveTo(x, y);
      else context.lineTo(x, y);
    }
    if (closed) context.closePath();
  };
  if (!closed) return strokeOver(pen, stroke, trace);
  const hatch = pen.isFilm ? undefined : hatches[ink];
  context.beginPath();
  trace();
  if (stroke.fill !== undefined) {
    context.fillStyle = stroke.fill;
    context.fill();
  }
  if (hatch) paintHatch(pen, placed, stroke, hatch.everyPoints * pen.point, hatch.slant);
  if (hatch?.isBare === true || stroke.widthPx <= 0) return;
  context.beginPath();
  trace();
  setStroke(pen, stroke);
  context.stroke();
  context.setLineDash([]);
}

/** Lines on a grid of the whole canvas, so that those of neighbours go on across their edge. The path is the one begun. */
function paintHatch(pen: Pen, outline: readonly PicturePoint[], stroke: Stroke, everyPx: number, slant: 1 | -1): void {
  const { context } = pen;
  const [xs, ys] = [outline.map(([x]) => x), outline.map(([, y]) => y)];
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const step = everyPx * Math.SQRT2;
  const offsets = [left, right].flatMap((x) => [top, bottom].map((y) => x + slant * y));
  context.save();
  context.clip();
  context.beginPath();
  for (let k = Math.ceil(Math.min(...offsets) / step); k * step <= Math.max(...offsets); k++) {
    context.moveTo(k * step - slant * top, top);
    context.lineTo(k * step - slant * bottom, bottom);
  }
  setStroke(pen, { colour: stroke.colour, widthPx: 1 });
  context.stroke();
  context.restore();
}

function paintArrow(pen: Pen, { from, to }: Extract<Shape, { kind: "arrow" }>, stroke: Stroke): void {
  const { context, point } = pen;
  const [[x0, y0], [x1, y1]] = [pen.at(from), pen.at(to)];
  const length = Math.hypot(x1 - x0, y1 - y0);
  if (length === 0) return;
  const [dx, dy] = [(x1 - x0) / length, (y1 - y0) / length];
  // A short arrow has a small head, or it would reach back beyond where it comes from.
  const head = Math.min((5 + 1.5 * stroke.widthPx) * point, 0.6 * length);
  const half = 0.42 * head;
  const [bx, by] = [x1 - dx * head, y1 - dy * head];
  strokeOver(pen, { colour: stroke.colour, widthPx: stroke.widthPx }, () => {
    context.moveTo(x0, y0);
    context.lineTo(bx + dx * 0.2 * head, by + dy * 0.2 * head);
  });
  context.beginPath();
  context.moveTo(x1, y1);
  context.lineTo(bx - dy * half, by + dx * half);
  context.lineTo(bx + dy * half, by - dx * half);
  context.closePath();
  context.fillStyle = stroke.colour;
  context.fill();
}

/** The window's own letters, without those that only it would have. */
export const letterFaces = '"Segoe UI", "Helvetica Neue", "Noto Sans", "DejaVu Sans", Arial, sans-serif';

/** Letters' size in points of ink; whoever is judged is larger than whoever is there too. */
const letterPoints: Partial<Record<Ink, number>> = {
  official: 15,
  offence: 12.5,
  defence: 12.5,
  ball: 6.5,
  "field-line": 12,
  note: 13,
};
const usualLetterPoints = 13;
/** Digits are painted on the field, and are as large as they lie there: yards. */
const digitYards = 2.75;

/** How far the foot of the letters is below their middle: half of a capital's height, in the letters' size. */
export const middleOfCapitals = 0.36;

const labelDropPoints = { above: -15, on: 0, below: 15 };

/** Over film an official's letters stand on a tag, as they do in the window. */
function paintTag({ context, point }: Pen, text: string, colour: string): void {
  const [width, height] = [(8 + text.length * 10.5) * point, 19 * point];
  context.fillStyle = "#10181ae0";
  context.strokeStyle = colour;
  context.lineWidth = point;
  context.beginPath();
  context.roundRect(-width / 2, -height / 2, width, height, 2 * point);
  context.fill();
  context.stroke();
}

/**
 * The ground behind letters, laid round them so that lines do not run into them; none round what lies on the field itself,
 * nor round the ball, which would blot out who holds it.
 */
function paperHalo(ink: Ink): string | null {
  if (ink === "field-digit" || ink === "field-line" || ink === "ball") return null;
  return ink === "note" ? paperSheet : (paperInks.grass.fill ?? paperSheet);
}

function paintLabel(pen: Pen, shape: Extract<Shape, { kind: "label" }>, { colour }: Stroke): void {
  const { context, point, isFilm } = pen;
  const [x, y] = pen.at(shape.at);
  const isDigit = shape.ink === "field-digit";
  const sizePx = isDigit && !isFilm ? digitYards * pen.scale : (letterPoints[shape.ink] ?? usualLetterPoints) * point;
  context.save();
  context.translate(x, y + labelDropPoints[shape.place] * point);
  if (isFilm && shape.ink === "official") paintTag(pen, shape.text, colour);
  if (shape.turned === true) context.rotate(Math.PI);
  context.font = `${isDigit || shape.ink === "field-line" ? 500 : 700} ${sizePx}px ${letterFaces}`;
  const halo = isFilm ? filmHalo : paperHalo(shape.ink);
  if (halo !== null) {
    context.strokeStyle = halo;
    context.lineWidth = (isFilm ? 3 : 3.6) * point;
    context.strokeText(shape.text, 0, middleOfCapitals * sizePx);
  }
  context.fillStyle = colour;
  context.fillText(shape.text, 0, middleOfCapitals * sizePx);
  context.restore();
}
