/** Names and their values as items of a report. Lengths are points. */
import type { Fact } from "#core/report/document";
import type { Item } from "./pdf-flow.ts";
import { body, type Making, rule, ruled, small } from "./pdf-making.ts";
import type { Tag } from "./pdf-tags.ts";

const factStyle = { leadingPt: 13, sizePt: 9 };

/** Names and values: two side by side where all of them are short, so that a card takes less of the page. */
export function factItems(facts: readonly Fact[], parent: Tag, making: Making): Item[] {
  if (facts.length === 0) return [];
  const list = making.tags.under(parent, "L");
  return factsBeside(facts, list, making) ?? factsBelow(facts, list, making);
}

/** Null where a fact takes more than a line of half the width. */
function factsBeside(facts: readonly Fact[], list: Tag, { pdf, tags, type, column }: Making): Item[] | null {
  const gutterPt = 18;
  const halfPt = (column.widthPt - gutterPt) / 2;
  const namePt = halfPt * 0.44;
  const set = facts.map(({ name, value }) => ({
    name: type.set(name, { ...small, ...factStyle }, namePt - 8),
    value: type.set(value, { ...body, ...factStyle }, halfPt - namePt),
  }));
  if (facts.length < 3 || set.some(({ name, value }) => name.lines.length > 1 || value.lines.length > 1)) return null;
  const drawn = set.map(({ name, value }) => {
    const item = tags.under(list, "LI");
    const [label, said] = [tags.under(item, "Lbl"), tags.under(item, "LBody")];
    return (leftPt: number, topPt: number) => {
      const [nameLine, valueLine] = [name.lines[0], value.lines[0]];
      if (nameLine !== undefined) tags.into(label, "Lbl", () => type.draw(nameLine, name.style, leftPt, topPt));
      if (valueLine !== undefined)
        tags.into(said, "LBody", () => type.draw(valueLine, value.style, leftPt + namePt, topPt));
    };
  });
  const rows = Math.ceil(drawn.length / 2);
  return Array.from({ length: rows }, (_, row): Item => ({
    heightPt: 18,
    gapPt: row === 0 ? 12 : 0,
    keeps: false,
    draw: ({ topPt }) => {
      const halves = [column.leftPt, column.leftPt + halfPt + gutterPt].map((leftPt) => ({
        ...column,
        leftPt,
        widthPt: halfPt,
      }));
      for (const [side, half] of halves.entries()) {
        const draw = drawn[row * 2 + side];
        if (!draw) continue;
        tags.artifact(() => ruled(pdf, half, topPt - 1.5, rule));
        draw(half.leftPt, topPt);
        if (row === rows - 1) tags.artifact(() => ruled(pdf, half, topPt + 13 + 3.5, rule));
      }
    },
  }));
}

function factsBelow(facts: readonly Fact[], list: Tag, { pdf, tags, type, column }: Making): Item[] {
  const namePt = Math.min(170, column.widthPt * 0.36);
  return facts.flatMap(({ name, value }, i): Item[] => {
    const names = type.set(name, { ...small, ...factStyle }, namePt - 10);
    const values = type.set(value, { ...body, ...factStyle }, column.widthPt - namePt);
    const count = Math.max(1, names.lines.length, values.lines.length);
    const item = tags.under(list, "LI");
    const [label, said] = [tags.under(item, "Lbl"), tags.under(item, "LBody")];
    return Array.from({ length: count }, (_, row): Item => ({
      heightPt: 13 + (row === count - 1 ? 5 : 0),
      gapPt: row === 0 ? (i === 0 ? 12 : 0) : 0,
      keeps: row < count - 1 && (row === 0 || row === count - 2),
      draw: ({ topPt }) => {
        if (row === 0) tags.artifact(() => ruled(pdf, column, topPt - 1.5, rule));
        const [nameLine, valueLine] = [names.lines[row], values.lines[row]];
        if (nameLine !== undefined)
          tags.into(label, "Lbl", () => type.draw(nameLine, names.style, column.leftPt, topPt));
        if (valueLine !== undefined) {
          tags.into(said, "LBody", () => type.draw(valueLine, values.style, column.leftPt + namePt, topPt));
        }
        if (row === count - 1 && i === facts.length - 1) {
          tags.artifact(() => ruled(pdf, column, topPt + 13 + 3.5, rule));
        }
      },
    }));
  });
}
