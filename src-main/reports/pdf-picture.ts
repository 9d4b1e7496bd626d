import { baselineShare, type Line, type Paint, type Painted, paintedShapes } from "#core/picture/painted";
import type { PicturePoint } from "#core/picture/shape";
import type { ReportPicture } from "#core/report/document";
import { pictureGround } from "#core/report/svg";
import type { Typesetter } from "./pdf-text.ts";

/** A still as pdfkit has read it; one that is used twice is written once. */
export type Still = Parameters<PDFKit.PDFDocument["image"]>[0];

export type Place = { readonly xPt: number; readonly yPt: number; readonly widthPt: number; readonly heightPt: number };

/** Draws a picture's lines as lines over its still, cut off at the edge of its box. */
export function drawPicture(
  pdf: PDFKit.PDFDocument,
  type: Typesetter,
  picture: ReportPicture,
  still: Still | null,
  place: Place,
): void {
  const { box } = picture;
  const scale = place.widthPt / box.width;
  const at = ([x, y]: PicturePoint): [number, number] => [
    place.xPt + (x - box.x) * scale,
    place.yPt + (y - box.y) * scale,
  ];
  const { xPt, yPt, widthPt, heightPt } = place;
  pdf.save();
  pdf.rect(xPt, yPt, widthPt, heightPt).clip();
  pdf.rect(xPt, yPt, widthPt, heightPt).fillColor(pictureGround[picture.surface], 1).fill();
  if (still !== null) pdf.image(still, xPt, yPt, { width: widthPt, height: heightPt });
  pdf.lineJoin("round");
  for (const painted of paintedShapes(picture.shapes, picture)) drawPainted(pdf, type, painted, at, scale);
  pdf.restore();
  pdf.lineWidth(0.5).undash().strokeColor("#9fb0aa", 1).rect(xPt, yPt, widthPt, heightPt).stroke();
}

function drawPainted(
  pdf: PDFKit.PDFDocument,
  type: Typesetter,
  painted: Painted,
  at: (point: PicturePoint) => [number, number],
  scale: number,
): void {
  switch (painted.kind) {
    case "path": {
      const [first, ...rest] = painted.points;
      if (!first) return;
      pdf.moveTo(...at(first));
      for (const point of rest) pdf.lineTo(...at(point));
      if (painted.closed) pdf.closePath();
      finish(pdf, painted.fill, painted.line, scale);
      return;
    }
    case "circle":
      pdf.circle(...at(painted.at), painted.radius * scale);
      finish(pdf, painted.fill, painted.line, scale);
      return;
    case "letters": {
      const [x, y] = at(painted.middle);
      const { halo, fill } = painted;
      pdf.save();
      if (painted.turned) pdf.rotate(180, { origin: [x, y] });
      const drawHalo =
        halo === null
          ? null
          : (em: number) => {
              pdf.lineWidth((halo.width * scale) / em).undash();
              pdf.strokeColor(halo.paint.colour, halo.paint.opacity).stroke();
            };
      const sizePt = painted.size * scale;
      type.drawAbout(painted.text, { middleXPt: x, baselinePt: y + sizePt * baselineShare, sizePt }, fill, drawHalo);
      pdf.restore();
    }
  }
}

function finish(pdf: PDFKit.PDFDocument, fill: Paint | null, line: Line | null, scale: number): void {
  if (fill) pdf.fillColor(fill.colour, fill.opacity);
  if (line) {
    pdf.lineWidth(line.width * scale).strokeColor(line.paint.colour, line.paint.opacity);
    if (line.dash.length > 0) dashed(pdf, line.dash, scale);
    else pdf.undash();
  }
  if (fill && line) pdf.fillAndStroke();
  else if (fill) pdf.fill();
  else if (line) pdf.stroke();
}

function dashed(pdf: PDFKit.PDFDocument, dash: readonly number[], scale: number): void {
  // The types know only of one length.
  const lengths: unknown = dash.map((length) => length * scale);
  pdf.dash(lengths as number, {});
}
