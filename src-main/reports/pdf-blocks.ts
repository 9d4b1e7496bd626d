/** The blocks of a report as items that are placed on pages. Lengths are points; tags are made in the order of reading. */
import type { Block, Figure, ReportDocument } from "#core/report/document";
import { shown } from "#core/report/escape";
import { type OutlinedBlock, verdictMarks } from "#core/report/outline";
import { factItems } from "./pdf-facts.ts";
import type { Item } from "./pdf-flow.ts";
import { body, ink, type Making, ruled, small, strong } from "./pdf-making.ts";
import { drawPicture } from "./pdf-picture.ts";
import { tableItems } from "./pdf-table.ts";
import type { Tag } from "./pdf-tags.ts";
import type { SetText, Style } from "./pdf-text.ts";

type BlockOf<Kind extends Block["kind"]> = Extract<Block, { kind: Kind }>;

const title: Style = { face: "serif", sizePt: 20, leadingPt: 25, colour: ink };
const headings: Record<2 | 3 | 4, Style> = {
  2: { face: "serif", sizePt: 14, leadingPt: 18, colour: ink },
  3: { face: "serif", sizePt: 11.5, leadingPt: 15, colour: ink },
  4: { face: "serif", sizePt: 10.5, leadingPt: 14, colour: ink },
};

export function titleItems(document: ReportDocument, making: Making): Item[] {
  const { tags, type, column } = making;
  const set = type.set(document.title, title, column.widthPt);
  return [
    ...textItems(set, "H1", tags.root, { gapPt: 0, keepsLast: true }, making),
    ...document.lines.flatMap((line) =>
      textItems(
        type.set(line, { ...small, sizePt: 9, leadingPt: 13 }, column.widthPt),
        "P",
        tags.root,
        { gapPt: 3, keepsLast: true },
        making,
      ),
    ),
  ];
}

export function blockItems({ block, level }: OutlinedBlock, making: Making): Iterable<Item> {
  const { tags, type, column } = making;
  switch (block.kind) {
    case "heading":
      return headingItems(block.text, level === 1 ? 2 : level, making);
    case "text": {
      if (block.tone === "caution") return cautionItems(block.text, making);
      const set = type.set(block.text, block.tone === "soft" ? small : body, column.widthPt);
      return textItems(set, "P", tags.root, { gapPt: 8 }, making);
    }
    case "facts":
      return factItems(block.facts, tags.root, making);
    case "table":
      return tableItems(block, making);
    case "figures":
      return figureItems(block.figures, tags.root, making);
    case "card":
      return cardItems(block, level === 1 ? 2 : level, making);
    case "steps":
      return stepItems(block, making);
    case "animation":
      return [
        ...textItems(
          type.set(block.caption, strong, column.widthPt),
          "P",
          tags.root,
          { gapPt: 12, keepsLast: true },
          making,
        ),
        ...textItems(
          type.set(`A moving picture, which is in the HTML report: ${block.alt}`, small, column.widthPt),
          "P",
          tags.root,
          { gapPt: 2 },
          making,
        ),
      ];
  }
}

/** Lines of one tag. Neither the first nor the last of several stands alone on a page. */
export function textItems(
  { lines, style }: SetText,
  name: string,
  parent: Tag,
  { gapPt, keepsLast = false, first }: { gapPt: number; keepsLast?: boolean; first?: () => void },
  { tags, type, column }: Making,
): Item[] {
  if (lines.length === 0) return [];
  const tag = tags.under(parent, name);
  return lines.map((line, i): Item => ({
    heightPt: style.leadingPt,
    gapPt: i === 0 ? gapPt : 0,
    keeps: i === lines.length - 1 ? keepsLast : keepsLast || i === 0 || i === lines.length - 2,
    draw: ({ topPt }) => {
      if (i === 0) first?.();
      tags.into(tag, name, () => type.draw(line, style, column.leftPt, topPt));
    },
  }));
}

function headingItems(text: string, level: 2 | 3 | 4, making: Making): Item[] {
  const { pdf, tags, type, column } = making;
  const set = type.set(text, headings[level], column.widthPt);
  const gapPt = level === 2 ? 26 : 18;
  const first = () => void pdf.outline.addItem(shown(text));
  const lines = textItems(set, `H${level}`, tags.root, { gapPt, keepsLast: true, first }, making);
  if (level !== 2) return lines;
  return lines.map((item, i) =>
    i < lines.length - 1
      ? item
      : {
          ...item,
          heightPt: item.heightPt + 4,
          draw: (at) => {
            item.draw(at);
            const y = at.topPt + item.heightPt + 3;
            tags.artifact(() => ruled(pdf, column, y, "#9fb0aa"));
          },
        },
  );
}

/** Items moved in from the left, with something drawn down their side. */
function besides(
  items: readonly Item[],
  { tags }: Making,
  drawSide: (topPt: number, bottomPt: number) => void,
): Item[] {
  return items.map((item, i) => ({
    ...item,
    draw: (at) => {
      // Joined to the item above where both are on one page.
      const from = i === 0 ? at.topPt : at.topPt - at.gapPt;
      tags.artifact(() => drawSide(from, at.topPt + item.heightPt));
      item.draw(at);
    },
  }));
}

function inset(making: Making, byPt: number): Making {
  const { column } = making;
  return { ...making, column: { ...column, leftPt: column.leftPt + byPt, widthPt: column.widthPt - byPt } };
}

/** A picture that stands by itself in a card leaves room for another card. */
function narrowed(making: Making, share: number): Making {
  const { column } = making;
  return { ...making, column: { ...column, widthPt: column.widthPt * share } };
}

function cautionItems(text: string, making: Making): Item[] {
  const { pdf, tags, type, column } = making;
  const inner = inset(making, 11);
  const items = textItems(type.set(text, body, inner.column.widthPt), "P", tags.root, { gapPt: 11 }, inner);
  return besides(items, making, (top, bottom) => {
    pdf.lineWidth(1.1).undash().strokeColor("#6a5a1e", 1);
    for (const x of [column.leftPt + 1, column.leftPt + 3.6]) pdf.moveTo(x, top).lineTo(x, bottom).stroke();
  });
}

const betweenPt = 14;

/** Figures in rows: one by itself as wide as it is well seen, several two by two. */
function figureItems(
  figures: readonly (Figure & { readonly label?: string })[],
  parent: Tag,
  making: Making,
  most = 2,
): Item[] {
  const { column } = making;
  const across = Math.min(most, figures.length);
  const widthPt = (column.widthPt - betweenPt * (across - 1)) / across;
  const rows: Item[] = [];
  for (let i = 0; i < figures.length; i += across) {
    rows.push(figureRow(figures.slice(i, i + across), widthPt, i === 0 ? 11 : 13, parent, making));
  }
  return rows;
}

function figureRow(
  figures: readonly (Figure & { readonly label?: string })[],
  roomPt: number,
  gapPt: number,
  parent: Tag,
  making: Making,
): Item {
  const { pdf, tags, type, stills, column } = making;
  const caption: Style = { ...small, sizePt: 8, leadingPt: 11 };
  const set = figures.map((figure) => {
    const { box, stillKey } = figure.picture;
    const still = stills(stillKey);
    const lost = stillKey !== null && still === null ? " The film’s picture is missing here." : "";
    const captions = type.set(figure.caption + lost, caption, roomPt);
    const labels = figure.label === undefined ? null : type.set(figure.label, { ...strong, sizePt: 8.5 }, roomPt);
    // Whatever its shape, it leaves room on a page for what is said of it.
    const mostPt = Math.max(column.heightPt * 0.5 - captions.lines.length * caption.leadingPt, 60);
    const widthPt = Math.min(roomPt, (mostPt * box.width) / box.height);
    return { figure, still, captions, labels, widthPt, heightPt: (widthPt * box.height) / box.width };
  });
  const labelPt = Math.max(0, ...set.map(({ labels }) => (labels ? labels.lines.length * labels.style.leadingPt : 0)));
  const heightPt = Math.max(
    ...set.map(({ heightPt: own, captions }) => labelPt + own + 3 + captions.lines.length * caption.leadingPt),
  );
  const groups = figures.map(() => tags.under(parent, "Div"));
  return {
    heightPt,
    gapPt,
    keeps: false,
    draw: ({ topPt }) => {
      for (const [i, { figure, still, captions, labels, widthPt, heightPt: own }] of set.entries()) {
        const xPt = column.leftPt + i * (roomPt + betweenPt);
        const yPt = topPt + labelPt;
        const group = groups[i]!;
        const drawLines = (text: SetText, fromPt: number) => {
          const tag = tags.under(group, "P");
          for (const [j, said] of text.lines.entries()) {
            tags.into(tag, "P", () => type.draw(said, text.style, xPt, fromPt + j * text.style.leadingPt));
          }
        };
        if (labels && labels.lines.length > 0) drawLines(labels, topPt);
        tags.tagged(
          group,
          "Figure",
          () => drawPicture(pdf, type, figure.picture, still, { xPt, yPt, widthPt, heightPt: own }),
          { alt: shown(figure.alt), bbox: [xPt, yPt, xPt + widthPt, yPt + own], placement: "Block" },
        );
        if (captions.lines.length > 0) drawLines(captions, yPt + own + 3);
      }
    },
  };
}

const verdictColours = { met: "#14598f", missed: "#a5321c", "cannot tell": "#6a5a1e" } as const;

/** A card with its verdict at the right of its heading, and a bar down its side that tells verdicts apart by its make. */
function cardItems(
  { heading, verdict, sentences, figures, facts }: BlockOf<"card">,
  level: 2 | 3 | 4,
  making: Making,
): Item[] {
  const { pdf, tags, type, column } = making;
  const inner = inset(making, 14);
  const colour = verdict === null ? "#9fb0aa" : verdictColours[verdict];
  const section = tags.under(tags.root, "Sect");
  const said = verdict === null ? null : `${verdictMarks[verdict]} ${verdict}`;
  const saidStyle: Style = { ...strong, leadingPt: 15, colour };
  const saidPt = said === null ? 0 : type.width(said, saidStyle);
  const set = type.set(heading, headings[level === 4 ? 4 : 3], inner.column.widthPt - saidPt - 14);
  const head = textItems(set, `H${level}`, section, { gapPt: 18, keepsLast: true }, inner);
  const saidTag = said === null ? null : tags.under(section, "P");
  const drawVerdict = (topPt: number) => {
    if (said === null || saidTag === null) return;
    const xPt = inner.column.leftPt + inner.column.widthPt - saidPt;
    tags.into(saidTag, "P", () => type.draw(said, saidStyle, xPt, topPt));
  };
  const items = [
    ...head.map((item, i): Item => ({
      ...item,
      draw: (at) => {
        item.draw(at);
        if (i === 0) drawVerdict(at.topPt);
      },
    })),
    ...sentences.flatMap((sentence) =>
      textItems(type.set(sentence, body, inner.column.widthPt), "P", section, { gapPt: 4 }, inner),
    ),
    ...figureItems(figures, section, figures.length === 1 ? narrowed(inner, 0.76) : inner),
    ...factItems(facts, section, inner),
  ];
  return besides(keptWhole(items, column.heightPt - 60), making, (top, bottom) => {
    pdf.strokeColor(colour, 1).undash();
    const x = column.leftPt + 2;
    if (verdict === "missed") {
      pdf.lineWidth(1.4);
      for (const at of [x - 1, x + 2.2]) pdf.moveTo(at, top).lineTo(at, bottom).stroke();
    } else if (verdict === "cannot tell") {
      pdf.lineWidth(2.6).dash(2.6, { space: 2.6 }).moveTo(x, top).lineTo(x, bottom).stroke().undash();
    } else {
      pdf.lineWidth(2.6).moveTo(x, top).lineTo(x, bottom).stroke();
    }
  });
}

/** Kept together where they fit on a page with a heading above them. */
function keptWhole(items: readonly Item[], roomPt: number): Item[] {
  const heightPt = items.reduce((sum, item) => sum + item.gapPt + item.heightPt, 0);
  if (heightPt > roomPt) return [...items];
  return items.map((item, i) => (i < items.length - 1 ? { ...item, keeps: true } : item));
}

function stepItems({ name, steps }: BlockOf<"steps">, making: Making): Item[] {
  const { tags, type, column } = making;
  const section = tags.under(tags.root, "Sect");
  const figures = steps.map(({ label, figure }) => ({ ...figure, label }));
  // Three across only where the pictures are no wider than they are high, and stay large enough to be read.
  const isNarrow = figures.every(({ picture: { box } }) => box.width <= box.height * 1.25);
  return [
    ...textItems(type.set(name, strong, column.widthPt), "P", section, { gapPt: 14, keepsLast: true }, making),
    ...figureItems(figures, section, making, isNarrow ? 3 : 2),
  ];
}
