import type { Block } from "#core/report/document";
import type { Making } from "./pdf-making.ts";
import type { Item } from "./pdf-flow.ts";
import type { Tag } from "./pdf-tags.ts";
import type { SetText, Style } from "./pdf-text.ts";

type Table = Extract<Block, { kind: "table" }>;

const padPt = 9;

/** Letters as large as the table's longest words allow. */
const sizes: readonly { readonly sizePt: number; readonly leadingPt: number }[] = [
  { sizePt: 8.75, leadingPt: 12.5 },
  { sizePt: 7.5, leadingPt: 10.5 },
  { sizePt: 6.25, leadingPt: 9 },
];

const styles = ({ sizePt, leadingPt }: { sizePt: number; leadingPt: number }) => ({
  head: { face: "bold", sizePt: sizePt * 0.93, leadingPt, colour: "#55636a" } satisfies Style,
  name: { face: "bold", sizePt, leadingPt, colour: "#1f2a30" } satisfies Style,
  cell: { face: "sans", sizePt, leadingPt, colour: "#1f2a30" } satisfies Style,
});

/** Rows as items, each made when it is asked for; the row of heads again at the top of each page that the table goes on to. */
export function* tableItems(table: Table, making: Making): Generator<Item, void, undefined> {
  const { pdf, tags, type, column } = making;
  const { widths, look } = columnsOf(table, making);
  const lefts = widths.map((_, i) => column.leftPt + widths.slice(0, i).reduce((sum, width) => sum + width, 0));
  const across = (yPt: number, colour: string, widthPt: number) => {
    tags.artifact(() => {
      pdf.lineWidth(widthPt).undash().strokeColor(colour, 1);
      pdf
        .moveTo(column.leftPt, yPt)
        .lineTo(column.leftPt + column.widthPt, yPt)
        .stroke();
    });
  };
  const roomOf = (i: number) => Math.max(widths[i]! - (i === widths.length - 1 ? 0 : padPt), 8);
  const drawLine = (text: SetText, row: number, i: number, topPt: number) => {
    const said = text.lines[row];
    if (said === undefined) return;
    const slack = table.columns[i]?.align === "end" ? roomOf(i) - type.width(said.trimEnd(), text.style) : 0;
    type.draw(said, text.style, lefts[i]! + Math.max(slack, 0), topPt);
  };

  const whole = tags.under(tags.root, "Table");
  const caption = type.set(table.caption, { ...look.name, sizePt: 9.5, leadingPt: 14 }, column.widthPt);
  if (caption.lines.length > 0) {
    const tag = tags.under(whole, "Caption");
    for (const [i, said] of caption.lines.entries()) {
      yield {
        heightPt: caption.style.leadingPt,
        gapPt: i === 0 ? 16 : 0,
        keeps: true,
        draw: ({ topPt }) => tags.into(tag, "Caption", () => type.draw(said, caption.style, column.leftPt, topPt)),
      };
    }
  }

  const heads = table.columns.map(({ name }, i) => type.set(name, look.head, roomOf(i)));
  const headLines = Math.max(1, ...heads.map(({ lines }) => lines.length));
  const headPt = headLines * look.head.leadingPt + 7;
  const headRow = tags.under(tags.under(whole, "THead"), "TR");
  const headTags = heads.map(() => tags.under(headRow, "TH", { scope: "Column" }));
  const drawHeads = (topPt: number, into: (i: number, draw: () => void) => void) => {
    across(topPt, "#9fb0aa", 1);
    across(topPt + headPt - 1, "#9fb0aa", 1);
    for (const [i, text] of heads.entries()) {
      if (text.lines.length === 0) continue;
      // Heads stand on the line below them.
      const fromPt = topPt + 3 + (headLines - text.lines.length) * look.head.leadingPt;
      into(i, () => {
        for (let row = 0; row < text.lines.length; row++) drawLine(text, row, i, fromPt + row * look.head.leadingPt);
      });
    }
  };
  yield {
    heightPt: headPt,
    gapPt: caption.lines.length > 0 ? 4 : 16,
    keeps: table.rows.length > 0,
    draw: ({ topPt }) => drawHeads(topPt, (i, draw) => tags.into(headTags[i]!, "TH", draw)),
  };
  const head = {
    heightPt: headPt,
    draw: (topPt: number) => drawHeads(topPt, (_, draw) => tags.artifact(draw, "Pagination")),
  };

  const rows = table.rows.length === 0 ? null : tags.under(whole, "TBody");
  // A row that would be most of a page goes on from one to the next.
  const mostLines = Math.max(1, Math.floor((column.heightPt * 0.4) / look.cell.leadingPt));
  for (const cells of table.rows) {
    const row = tags.under(rows!, "TR");
    const set = table.columns.map((_, i) => type.set(cells[i] ?? "", i === 0 ? look.name : look.cell, roomOf(i)));
    const cellTags = set.map((_, i): Tag => tags.under(row, i === 0 ? "TH" : "TD", i === 0 ? { scope: "Row" } : {}));
    const count = Math.max(1, ...set.map(({ lines }) => lines.length));
    for (let from = 0; from < count; from += mostLines) {
      const to = Math.min(count, from + mostLines);
      const heightPt = (to - from) * look.cell.leadingPt + (to === count ? 5 : 0);
      yield {
        heightPt,
        gapPt: 0,
        keeps: false,
        head,
        draw: ({ topPt }) => {
          for (const [i, text] of set.entries()) {
            if (text.lines.length <= from) continue;
            tags.into(cellTags[i]!, i === 0 ? "TH" : "TD", () => {
              for (let line = from; line < to; line++) {
                drawLine(text, line, i, topPt + 2 + (line - from) * look.cell.leadingPt);
              }
            });
          }
          if (to === count) across(topPt + heightPt, "#cfd9d3", 0.6);
        },
      };
    }
  }
}

/** Widths that fill the page's column: at least that of the longest word, and of the longest line where there is room. */
function columnsOf({ columns, rows }: Table, { type, column }: Making) {
  for (const size of sizes) {
    const look = styles(size);
    const isLast = size === sizes.at(-1);
    const measured = columns.map(({ name }, i) => {
      const texts = [
        { text: name, style: look.head },
        ...rows.map((cells) => ({ text: cells[i] ?? "", style: i === 0 ? look.name : look.cell })),
      ];
      let [least, most] = [0, 0];
      for (const { text, style } of texts) {
        let line = 0;
        for (const word of text.split(/\s+/u)) {
          const wordPt = type.width(word, style);
          least = Math.max(least, wordPt);
          line += wordPt + (line === 0 ? 0 : type.width(" ", style));
        }
        most = Math.max(most, line);
      }
      const pad = i === columns.length - 1 ? 0.5 : padPt + 0.5;
      // One word of nonsense has no claim on the whole width.
      return { least: Math.min(least, column.widthPt / 3) + pad, most: Math.min(most, column.widthPt) + pad };
    });
    const sum = (of: "least" | "most") => measured.reduce((all, one) => all + one[of], 0);
    const [least, most] = [sum("least"), sum("most")];
    if (least > column.widthPt && !isLast) continue;
    const room = column.widthPt;
    if (least > room) return { widths: measured.map((one) => (one.least * room) / least), look };
    if (most <= room) return { widths: measured.map((one) => one.most + (room - most) / columns.length), look };
    return { widths: shared(measured, room), look };
  }
  throw new Error("There is always a smallest size.");
}

/** No column gets more than its longest line, so that short ones are not broken for the sake of a long one. */
function shared(columns: readonly { readonly least: number; readonly most: number }[], room: number): number[] {
  let [low, high] = [0, room];
  const widthsAt = (level: number) => columns.map(({ least, most }) => Math.max(least, Math.min(most, level)));
  for (let i = 0; i < 40; i++) {
    const level = (low + high) / 2;
    if (widthsAt(level).reduce((sum, width) => sum + width, 0) > room) high = level;
    else low = level;
  }
  return widthsAt(low);
}
