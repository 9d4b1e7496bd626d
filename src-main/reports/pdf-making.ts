/** What every block of a report is made with: where it may stand, its inks and its styles. Lengths are points. */
import type { Stills } from "./pdf-stills.ts";
import type { Tagging } from "./pdf-tags.ts";
import type { Style, Typesetter } from "./pdf-text.ts";

export type Column = { readonly leftPt: number; readonly widthPt: number; readonly heightPt: number };

export type Making = {
  readonly pdf: PDFKit.PDFDocument;
  readonly type: Typesetter;
  readonly tags: Tagging;
  readonly stills: Stills;
  readonly column: Column;
};

export const ink = "#1f2a30";
export const soft = "#55636a";
export const rule = "#cfd9d3";

export const body: Style = { face: "sans", sizePt: 9.5, leadingPt: 14, colour: ink };
export const small: Style = { face: "sans", sizePt: 8.5, leadingPt: 12, colour: soft };
export const strong: Style = { face: "bold", sizePt: 9.5, leadingPt: 14, colour: ink };
export function ruled(
  pdf: PDFKit.PDFDocument,
  { leftPt, widthPt }: Omit<Column, "heightPt">,
  yPt: number,
  colour: string,
): void {
  pdf.lineWidth(0.6).undash().strokeColor(colour, 1);
  pdf
    .moveTo(leftPt, yPt)
    .lineTo(leftPt + widthPt, yPt)
    .stroke();
}
