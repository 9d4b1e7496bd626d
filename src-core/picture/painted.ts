/**
 * Shapes as the strokes, fills and letters they are painted with, so that the writers of SVG and PDF draw the same picture and
 * each knows only its own way to draw a line. Points and lengths are in the picture's own measure.
 */
import { type Hatch, inksOn, paperGrass, type Stroke, type Surface } from "./inks.ts";
import type { PicturePoint, Shape } from "./shape.ts";

export type Paint = { readonly colour: string; readonly opacity: number };

export type Line = { readonly paint: Paint; readonly width: number; readonly dash: readonly number[] };

export type Painted =
  | {
      readonly kind: "path";
      readonly points: readonly PicturePoint[];
      readonly closed: boolean;
      readonly fill: Paint | null;
      readonly line: Line | null;
    }
  | {
      readonly kind: "circle";
      readonly at: PicturePoint;
      readonly radius: number;
      readonly fill: Paint | null;
      readonly line: Line | null;
    }
  /** Bold letters about their middle; the halo is drawn before them. */
  | {
      readonly kind: "letters";
      readonly text: string;
      readonly middle: PicturePoint;
      readonly size: number;
      readonly fill: Paint;
      readonly halo: Line | null;
      readonly turned: boolean;
    };

export type PictureBox = { readonly x: number; readonly y: number; readonly width: number; readonly height: number };

type Canvas = { readonly surface: Surface; readonly box: PictureBox; readonly unit: number };

/** How far below their middle letters stand, as a share of their size. */
export const baselineShare = 0.36;

const dark = "#10181a";

/** `#rrggbb` or `#rrggbbaa`. */
function paintOf(colour: string): Paint {
  if (colour.length !== 9) return { colour, opacity: 1 };
  return { colour: colour.slice(0, 7), opacity: Math.round((parseInt(colour.slice(7), 16) / 255) * 1000) / 1000 };
}

export function paintedShapes(
  shapes: readonly Shape[],
  { surface, box, inkUnit }: { surface: Surface; box: PictureBox; inkUnit: number },
): Painted[] {
  const canvas = { surface, box, unit: inkUnit };
  return shapes.flatMap((shape) => painted(shape, canvas));
}

function painted(shape: Shape, canvas: Canvas): Painted[] {
  const { surface, unit } = canvas;
  const stroke = inksOn[surface][shape.ink];
  switch (shape.kind) {
    case "path":
      return paintedPath(shape.points, shape.closed, stroke, canvas);
    case "cross": {
      const [x, y] = shape.at;
      const arm = 6 * unit * (stroke.slanted === true ? Math.SQRT1_2 : 1);
      const arms: PicturePoint[][] =
        stroke.slanted === true
          ? [
              [
                [x - arm, y - arm],
                [x + arm, y + arm],
              ],
              [
                [x - arm, y + arm],
                [x + arm, y - arm],
              ],
            ]
          : [
              [
                [x - arm, y],
                [x + arm, y],
              ],
              [
                [x, y - arm],
                [x, y + arm],
              ],
            ];
      const whole = { ...stroke, dash: [] };
      return [...halos(arms, whole, canvas), ...arms.map((points) => stroked(points, false, whole, unit))];
    }
    case "ring":
      return [
        {
          kind: "circle",
          at: shape.at,
          radius: ringPx(shape.ink, surface) * unit,
          fill: null,
          line: lineOf(stroke, unit),
        },
      ];
    case "arrow":
      return paintedArrow(shape.from, shape.to, stroke, canvas);
    case "label":
      return paintedLabel(shape, stroke, canvas);
  }
}

/** Over film a ring lies round a foot, on a plan round a letter; round what nobody saw there are two. */
function ringPx(ink: Shape["ink"], surface: Surface): number {
  if (surface === "film") return 8;
  return ink === "sight-hidden" ? 14 : 9;
}

function lineOf(stroke: Stroke, unit: number): Line | null {
  if (stroke.widthPx === 0) return null;
  const dash = (stroke.dash ?? []).map((length) => length * unit);
  return { paint: paintOf(stroke.colour), width: stroke.widthPx * unit, dash };
}

function stroked(points: readonly PicturePoint[], closed: boolean, stroke: Stroke, unit: number): Painted {
  return { kind: "path", points, closed, fill: null, line: lineOf(stroke, unit) };
}

/**
 * A dark edge under a thin line, without which it is lost on bright ground, and on any ground in grey. What is let through by its
 * ink is one of many, and would darken the film.
 */
function halos(
  lines: readonly (readonly PicturePoint[])[],
  stroke: Stroke,
  { surface, unit }: Canvas,
  closed = false,
): Painted[] {
  if (surface === "paper" || stroke.widthPx === 0 || paintOf(stroke.colour).opacity < 1) return [];
  const under = { ...stroke, colour: `${dark}a6`, widthPx: stroke.widthPx + 2 };
  return lines.map((points) => stroked(points, closed, under, unit));
}

function paintedPath(points: readonly PicturePoint[], closed: boolean, stroke: Stroke, canvas: Canvas): Painted[] {
  const { unit } = canvas;
  if (!closed) return [...halos([points], stroke, canvas), stroked(points, false, stroke, unit)];
  const fill = stroke.fill === undefined ? null : paintOf(stroke.fill);
  const { hatch } = stroke;
  return [
    ...(fill ? [{ kind: "path" as const, points, closed, fill, line: null }] : []),
    ...(hatch
      ? hatched(points, hatch, canvas).map((line) =>
          stroked(line, false, { colour: stroke.colour, widthPx: hatch.widthPx }, unit),
        )
      : []),
    ...halos([points], stroke, canvas, true),
    ...(stroke.widthPx > 0 ? [stroked(points, true, stroke, unit)] : []),
  ];
}

/**
 * Lines across a polygon, as pieces inside it (even-odd), on one grid for the whole picture, so that they go on across the
 * edge of two neighbours. Only what may be seen in the box is drawn.
 */
function hatched(points: readonly PicturePoint[], hatch: Hatch, { box, unit }: Canvas): PicturePoint[][] {
  const spacing = hatch.spacingPx * unit;
  const corners: PicturePoint[] = [
    [box.x, box.y],
    [box.x + box.width, box.y],
    [box.x, box.y + box.height],
    [box.x + box.width, box.y + box.height],
  ];
  return hatch.angles.flatMap((degrees) => {
    const [dx, dy] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
    const across = ([x, y]: PicturePoint) => dx * y - dy * x;
    const along = ([x, y]: PicturePoint) => dx * x + dy * y;
    const [own, seen] = [points.map(across), corners.map(across)];
    const last = Math.min(Math.max(...own), Math.max(...seen));
    const first = Math.max(Math.min(...own), Math.min(...seen));
    const lines: PicturePoint[][] = [];
    for (let k = Math.ceil(first / spacing); k * spacing <= last; k++) {
      const offset = k * spacing;
      const cuts = points
        .flatMap((from, i) => {
          const to = points[(i + 1) % points.length]!;
          const [a, b] = [across(from) - offset, across(to) - offset];
          return a < 0 === b < 0 ? [] : [along(from) + ((along(to) - along(from)) * a) / (a - b)];
        })
        .toSorted((a, b) => a - b);
      for (let i = 0; i + 1 < cuts.length; i += 2) {
        lines.push([cuts[i]!, cuts[i + 1]!].map((t) => [dx * t - dy * offset, dy * t + dx * offset] as const));
      }
    }
    return lines;
  });
}

function paintedArrow(from: PicturePoint, to: PicturePoint, stroke: Stroke, canvas: Canvas): Painted[] {
  const { unit } = canvas;
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  if (length === 0) return [];
  const [dx, dy] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
  const head = Math.min((4 + 2 * stroke.widthPx) * unit, length);
  const half = head * 0.45;
  const neck: PicturePoint = [to[0] - dx * head, to[1] - dy * head];
  const triangle: PicturePoint[] = [
    to,
    [neck[0] - dy * half, neck[1] + dx * half],
    [neck[0] + dy * half, neck[1] - dx * half],
  ];
  return [
    ...halos([[from, to]], stroke, canvas),
    stroked([from, neck], false, stroke, unit),
    { kind: "path", points: triangle, closed: true, fill: paintOf(stroke.colour), line: null },
  ];
}

const dropPx = { above: -18, on: 0, below: 16 };

/** Letters' size in ink points; what lies on the field is larger and fainter than who stands there. */
function lettersPx(shape: Extract<Shape, { kind: "label" }>, surface: Surface): number {
  if (surface === "film") return shape.ink === "official" ? 11 : 13;
  return shape.ink === "field-digit" || shape.ink === "field-line" || shape.ink === "note" ? 14 : 15;
}

function paintedLabel(shape: Extract<Shape, { kind: "label" }>, stroke: Stroke, canvas: Canvas): Painted[] {
  const { surface, box, unit } = canvas;
  const hasPlate = surface === "film" && shape.ink === "official";
  const size = lettersPx(shape, surface) * unit;
  const width = shape.text.length * size * 0.72 + (hasPlate ? 8 * unit : 0);
  const height = hasPlate ? 16 * unit : size;
  const isInBox = isWithin(shape.at, box);
  const middle: PicturePoint = [
    isInBox ? kept(shape.at[0], width, box.x, box.width) : shape.at[0],
    isInBox
      ? kept(shape.at[1] + dropPx[shape.place] * unit, height, box.y, box.height)
      : shape.at[1] + dropPx[shape.place] * unit,
  ];
  const fill = paintOf(stroke.colour);
  if (shape.text === "●") {
    const line = surface === "film" ? { paint: paintOf(`${dark}cc`), width: 1.5 * unit, dash: [] } : null;
    return [{ kind: "circle", at: middle, radius: 3.5 * unit, fill, line }];
  }
  const letters = { kind: "letters" as const, text: shape.text, middle, size, fill, turned: shape.turned === true };
  if (hasPlate) {
    const [x0, y0] = [middle[0] - width / 2, middle[1] - height / 2];
    const points: PicturePoint[] = [
      [x0, y0],
      [x0 + width, y0],
      [x0 + width, y0 + height],
      [x0, y0 + height],
    ];
    const line = { paint: fill, width: unit, dash: [] };
    return [
      { kind: "path", points, closed: true, fill: paintOf(`${dark}e0`), line },
      { ...letters, halo: null },
    ];
  }
  const isPaint = shape.ink === "field-digit" || shape.ink === "field-line";
  const halo = surface === "film" ? `${dark}cc` : isPaint ? null : paperGrass;
  return [{ ...letters, halo: halo === null ? null : { paint: paintOf(halo), width: 4 * unit, dash: [] } }];
}

function isWithin([x, y]: PicturePoint, box: PictureBox): boolean {
  return x >= box.x && x <= box.x + box.width && y >= box.y && y <= box.y + box.height;
}

/** The middle of a length moved as little as it takes to have all of it in view. */
function kept(middle: number, length: number, from: number, room: number): number {
  if (length > room) return from + room / 2;
  return Math.min(Math.max(middle, from + length / 2), from + room - length / 2);
}
