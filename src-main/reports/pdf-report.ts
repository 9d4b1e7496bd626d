import { setImmediate as othersFirst } from "node:timers/promises";
import PDFDocument from "pdfkit";
import type { ReportAssets, ReportDocument } from "#core/report/document";
import { escaped, shown } from "#core/report/escape";
import { outlined } from "#core/report/outline";
import { blockItems, titleItems } from "./pdf-blocks.ts";
import { type Item, place } from "./pdf-flow.ts";
import { stillsOf } from "./pdf-stills.ts";
import { tagging } from "./pdf-tags.ts";
import { type Style, typesetter } from "./pdf-text.ts";
import type { ReportFonts } from "./report-fonts.ts";

export type PdfOptions = {
  readonly fonts: ReportFonts;
  /** Written into the file as when it was made; the same input makes the same bytes. */
  readonly madeAt: Date;
  /** Ends the work at the next block or page; the promise is then refused with the signal's reason. */
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: { readonly done: number; readonly total: number }) => void;
};

const widthPt = 595.28;
const heightPt = 841.89;
const sidePt = 54;
const topPt = 50;

const footerStyle: Style = { face: "sans", sizePt: 7.5, leadingPt: 10, colour: "#55636a" };

/** As long as others may be kept waiting. */
const turnMs = 12;

/**
 * The report on A4 pages, tagged for whoever has it read out (PDF 1.7, PDF/UA-1), with its fonts inside. Pictures are lines over
 * their stills. A still that is missing or cannot be read is left blank, and its caption says so.
 */
export async function pdfReport(
  document: ReportDocument,
  assets: ReportAssets,
  { fonts, madeAt, signal, onProgress }: PdfOptions,
): Promise<Uint8Array> {
  signal?.throwIfAborted();
  const title = shown(document.title);
  const pdf = new PDFDocument({
    ...({ subset: "PDF/UA" } as object),
    pdfVersion: "1.7",
    lang: "en",
    tagged: true,
    displayTitle: true,
    size: [widthPt, heightPt],
    margin: 0,
    autoFirstPage: false,
    bufferPages: true,
    // None: the standard fonts are neither embedded nor in the bundle.
    font: "",
    info: { Title: title, Creator: "Crewglass", CreationDate: madeAt },
  });
  const chunks: Uint8Array[] = [];
  pdf.on("data", (chunk: Uint8Array) => chunks.push(chunk));
  const ended = new Promise<void>((resolve, reject) => {
    pdf.on("end", resolve);
    pdf.on("error", reject);
  });

  let since = performance.now();
  const breathe = async () => {
    if (performance.now() - since > turnMs) {
      await othersFirst();
      since = performance.now();
    }
    signal?.throwIfAborted();
  };

  const type = typesetter(pdf, fonts);
  const tags = tagging(pdf);
  const stills = stillsOf(pdf, assets);
  const footer = footerOf(document.footer, type);
  const column = { leftPt: sidePt, widthPt: widthPt - 2 * sidePt, heightPt: heightPt - topPt - footer.roomPt };
  const blocks = outlined(document);
  const total = blocks.length * 2;

  const items: Item[] = [...titleItems(document, { pdf, type, tags, stills, column })];
  for (const [i, block] of blocks.entries()) {
    for (const item of blockItems(block, { pdf, type, tags, stills, column })) {
      items.push(item);
      await breathe();
    }
    onProgress?.({ done: i + 1, total });
  }

  pdf.addPage();
  const sheet = { topPt, bottomPt: topPt + column.heightPt, beginPage: () => void pdf.addPage() };
  for (const i of place(items, sheet)) {
    await breathe();
    if (onProgress && items.length > 0) {
      onProgress({ done: blocks.length + Math.floor(((i + 1) / items.length) * blocks.length), total });
    }
  }

  const { start, count } = pdf.bufferedPageRange();
  for (let page = 0; page < count; page++) {
    pdf.switchToPage(start + page);
    const draw = () => {
      for (const [i, line] of footer.lines.entries()) {
        type.draw(line, footerStyle, sidePt, footer.topPt + i * footerStyle.leadingPt);
      }
    };
    tags.artifact(() => {
      pdf.lineWidth(0.5).undash().strokeColor("#cfd9d3", 1);
      pdf
        .moveTo(sidePt, footer.topPt - 5)
        .lineTo(widthPt - sidePt, footer.topPt - 5)
        .stroke();
    }, "Pagination");
    // Said on every page and read out once, at the end.
    if (page === count - 1) tags.tagged(tags.root, "P", draw);
    else tags.artifact(draw, "Pagination");
    const number = `page ${page + 1} of ${count}`;
    const numberPt = widthPt - sidePt - type.width(number, footerStyle);
    tags.artifact(() => type.draw(number, footerStyle, numberPt, footer.topPt), "Pagination");
    await breathe();
  }
  tags.root.end();
  writeEnd(pdf, title);
  await ended;
  signal?.throwIfAborted();
  return joined(chunks);
}

/** The footer's lines above the bottom edge, and all the room they take. */
function footerOf(text: string, type: ReturnType<typeof typesetter>) {
  const most = 6;
  const all = type.set(text, footerStyle, widthPt - 2 * sidePt - 80).lines;
  const lines = all.length > most ? [...all.slice(0, most - 1), `${all[most - 1]!.trimEnd()} …`] : all;
  const linesPt = Math.max(1, lines.length) * footerStyle.leadingPt;
  const top = heightPt - 30 - linesPt;
  return { lines, topPt: top, roomPt: heightPt - top + 16 };
}

/** Ends the file. pdfkit puts the title into XML as it is, after it has written it elsewhere. */
function writeEnd(pdf: PDFKit.PDFDocument, title: string): void {
  const endMetadata = pdf.endMetadata.bind(pdf);
  pdf.endMetadata = () => {
    pdf.info.Title = escaped(title);
    endMetadata();
  };
  pdf.end();
}

function joined(chunks: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
  let offset = 0;
  for (const chunk of chunks) {
    whole.set(chunk, offset);
    offset += chunk.length;
  }
  return whole;
}
