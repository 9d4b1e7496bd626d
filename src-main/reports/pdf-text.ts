import type { Paint } from "#core/picture/painted";
import { shown } from "#core/report/escape";
import type { Face, ReportFonts } from "./report-fonts.ts";

/** Letters of one kind; lengths in points. */
export type Style = {
  readonly face: Face;
  readonly sizePt: number;
  readonly leadingPt: number;
  readonly colour: string;
};

export type SetText = { readonly lines: readonly string[]; readonly style: Style };

type Glyph = { readonly path: { toSVG(): string } };
type Outlines = {
  readonly unitsPerEm: number;
  hasGlyphForCodePoint(codePoint: number): boolean;
  layout(text: string): {
    readonly glyphs: readonly Glyph[];
    readonly positions: readonly { readonly xAdvance: number; readonly xOffset: number; readonly yOffset: number }[];
  };
};

/** Measures, breaks and draws lines of text; pdfkit's own breaking would begin pages where it likes. */
export type Typesetter = ReturnType<typeof typesetter>;

const graphemes = new Intl.Segmenter("en", { granularity: "grapheme" });
const instead = "\uFFFD";

export function typesetter(pdf: PDFKit.PDFDocument, fonts: ReportFonts) {
  const faces: readonly Face[] = ["sans", "bold", "serif"];
  const outlines = new Map<Face, Outlines>();
  for (const face of faces) {
    pdf.registerFont(face, fonts[face]);
    pdf.font(face);
    outlines.set(face, (pdf as unknown as { _font: { font: Outlines } })._font.font);
  }
  const outlinesOf = (face: Face) => outlines.get(face)!;
  const widths = new Map<string, number>();

  /** Width at a size of one point. */
  const widthOf = (text: string, face: Face): number => {
    const key = `${face} ${text}`;
    let width = widths.get(key);
    if (width === undefined) {
      width = pdf.font(face).fontSize(1).widthOfString(text);
      widths.set(key, width);
    }
    return width;
  };

  const has = (text: string, face: Face) => {
    for (const character of text) {
      if (!outlinesOf(face).hasGlyphForCodePoint(character.codePointAt(0) ?? 0)) return false;
    }
    return true;
  };

  /** What the face can draw of a text: a letter that it has not is seen to be missing, and never left out. */
  const drawable = (raw: string, face: Face): string => {
    const text = shown(raw).normalize("NFC");
    if (has(text, face)) return text;
    return Array.from(graphemes.segment(text), ({ segment }) => (has(segment, face) ? segment : instead)).join("");
  };

  const width = (text: string, style: Style) => widthOf(text, style.face) * style.sizePt;

  /** A word that is wider than the line, in pieces that are not. */
  const pieces = (word: string, style: Style, roomPt: number): string[] => {
    if (width(word, style) <= roomPt) return [word];
    const made: string[] = [];
    let piece = "";
    for (const { segment } of graphemes.segment(word)) {
      if (piece !== "" && width(piece + segment, style) > roomPt) {
        made.push(piece);
        piece = "";
      }
      piece += segment;
    }
    return [...made, piece];
  };

  return {
    width: (text: string, style: Style) => width(drawable(text, style.face), style),

    /** Lines no wider than the room; a line that goes on after a space keeps it, so that its words stay apart when read out. */
    set(text: string, wanted: Style, roomPt: number): SetText {
      // The headings' face has fewer letters than the others.
      const isWanting = wanted.face === "serif" && !has(shown(text).normalize("NFC"), "serif");
      const style: Style = isWanting ? { ...wanted, face: "bold" } : wanted;
      const lines: string[] = [];
      let line = "";
      let linePt = 0;
      const spacePt = width(" ", style);
      for (const word of drawable(text, style.face).split(/ +/u)) {
        if (word === "") continue;
        for (const [i, piece] of pieces(word, style, roomPt).entries()) {
          const piecePt = width(piece, style);
          const gapPt = line === "" || i > 0 ? 0 : spacePt;
          if (line !== "" && (i > 0 || linePt + gapPt + piecePt > roomPt)) {
            lines.push(i > 0 ? line : `${line} `);
            line = piece;
            linePt = piecePt;
          } else {
            line += (gapPt > 0 ? " " : "") + piece;
            linePt += gapPt + piecePt;
          }
        }
      }
      return { lines: line === "" ? lines : [...lines, line], style };
    },

    /** One line whose leading begins at `topPt`. */
    draw(line: string, style: Style, xPt: number, topPt: number): void {
      // Letters stand in the middle of their leading; the faces share their proportions.
      const baselinePt = topPt + style.leadingPt / 2 + style.sizePt * 0.34;
      pdf.font(style.face).fontSize(style.sizePt).fillColor(style.colour, 1);
      pdf.text(line, xPt, baselinePt, { lineBreak: false, baseline: "alphabetic" });
    },

    /** Bold letters about a point, in a picture. The halo is drawn as outlines, so that the letters are not said twice. */
    drawAbout(
      raw: string,
      at: { readonly middleXPt: number; readonly baselinePt: number; readonly sizePt: number },
      fill: Paint,
      drawHalo: ((scale: number) => void) | null,
    ): void {
      const { middleXPt, baselinePt, sizePt } = at;
      const text = drawable(raw, "bold");
      const leftPt = middleXPt - (widthOf(text, "bold") * sizePt) / 2;
      if (drawHalo) {
        const bold = outlinesOf("bold");
        const run = bold.layout(text);
        const scale = sizePt / bold.unitsPerEm;
        let x = 0;
        for (const [i, glyph] of run.glyphs.entries()) {
          const position = run.positions[i]!;
          const outline = glyph.path.toSVG();
          if (outline !== "") {
            pdf.save();
            pdf.translate(leftPt + (x + position.xOffset) * scale, baselinePt - position.yOffset * scale);
            pdf.scale(scale, -scale);
            pdf.path(outline);
            drawHalo(scale);
            pdf.restore();
          }
          x += position.xAdvance;
        }
      }
      pdf.font("bold").fontSize(sizePt).fillColor(fill.colour, fill.opacity);
      pdf.text(text, leftPt, baselinePt, { lineBreak: false, baseline: "alphabetic" });
    },
  };
}
