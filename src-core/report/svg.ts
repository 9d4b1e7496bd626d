import { paperSheet } from "../picture/inks.ts";
import { baselineShare, type Line, type Paint, type Painted, paintedShapes } from "../picture/painted.ts";
import type { PicturePoint } from "../picture/shape.ts";
import type { ReportPicture } from "./document.ts";
import { escaped } from "./escape.ts";

/** What lies behind a picture, and is seen where its still is missing. */
export const pictureGround: Record<ReportPicture["surface"], string> = { film: "#14191a", paper: paperSheet };

/**
 * A picture as an SVG element that stands by itself, in a page or as a file. `still` is the address of the picture that fills
 * the box, a `data:` URL as a rule; null leaves its place blank.
 */
export function svgOf(picture: ReportPicture, alt: string, still: string | null): string {
  const { x, y, width, height } = picture.box;
  const place = `x="${number(x)}" y="${number(y)}" width="${number(width)}" height="${number(height)}"`;
  const name = escaped(alt);
  const view = `viewBox="${number(x)} ${number(y)} ${number(width)} ${number(height)}"`;
  // The inner element cuts off what lies outside the box wherever the outer one is shown larger than its box.
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" class="picture on-${picture.surface}" role="img" aria-label="${name}" ${view}>`,
    `<title>${name}</title><svg ${place} ${view}>`,
    `<rect ${place} fill="${pictureGround[picture.surface]}"/>`,
    ...(still === null ? [] : [`<image ${place} preserveAspectRatio="none" href="${escaped(still)}"/>`]),
    ...paintedShapes(picture.shapes, picture).map(element),
    "</svg></svg>",
  ].join("\n");
}

const number = (value: number): string => String(Math.round(value * 1000) / 1000);

function element(painted: Painted): string {
  switch (painted.kind) {
    case "path": {
      const name = painted.closed ? "polygon" : "polyline";
      return `<${name} points="${joined(painted.points)}"${filled(painted.fill)}${lined(painted.line)}/>`;
    }
    case "circle": {
      const [x, y] = painted.at;
      const round = `cx="${number(x)}" cy="${number(y)}" r="${number(painted.radius)}"`;
      return `<circle ${round}${filled(painted.fill)}${lined(painted.line)}/>`;
    }
    case "letters": {
      const [x, y] = painted.middle;
      const turned = painted.turned ? ` transform="rotate(180 ${number(x)} ${number(y)})"` : "";
      const set = `x="${number(x)}" y="${number(y + painted.size * baselineShare)}" font-size="${number(painted.size)}"`;
      const face = `font-family="'DejaVu Sans', 'Segoe UI', Arial, sans-serif" font-weight="700" text-anchor="middle"`;
      const halo = painted.halo ? `${lined(painted.halo)} paint-order="stroke"` : "";
      return `<text ${set} ${face}${filled(painted.fill)}${halo}${turned}>${escaped(painted.text)}</text>`;
    }
  }
}

const joined = (points: readonly PicturePoint[]) => points.map(([x, y]) => `${number(x)},${number(y)}`).join(" ");

function filled(paint: Paint | null): string {
  if (paint === null) return ' fill="none"';
  return ` fill="${paint.colour}"${paint.opacity < 1 ? ` fill-opacity="${paint.opacity}"` : ""}`;
}

function lined(line: Line | null): string {
  if (line === null) return "";
  const { paint, width, dash } = line;
  const opacity = paint.opacity < 1 ? ` stroke-opacity="${paint.opacity}"` : "";
  const dashes = dash.length > 0 ? ` stroke-dasharray="${dash.map(number).join(" ")}"` : "";
  return ` stroke="${paint.colour}" stroke-width="${number(width)}" stroke-linejoin="round"${opacity}${dashes}`;
}
