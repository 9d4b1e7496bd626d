import { base64Of } from "./base64.ts";
import type { Block, Fact, Figure, ReportAssets, ReportDocument } from "./document.ts";
import { escaped, shown } from "./escape.ts";
import { reportStyle } from "./html-style.ts";
import { type Level, outlined, type OutlinedBlock, verdictMarks } from "./outline.ts";
import { svgOf } from "./svg.ts";

type BlockOf<Kind extends Block["kind"]> = Extract<Block, { kind: Kind }>;

/**
 * The report as one file that any browser opens: no script, and nothing is fetched. A still or moving picture that is not
 * among the assets is left blank, and the page says so in its place.
 */
export function htmlReport(document: ReportDocument, assets: ReportAssets): string {
  const policy = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; media-src data:";
  const title = escaped(document.title);
  return [
    `<!doctype html>`,
    `<html lang="en">`,
    `<head>`,
    `<meta charset="utf-8">`,
    `<meta http-equiv="Content-Security-Policy" content="${policy}">`,
    `<meta name="viewport" content="width=device-width, initial-scale=1">`,
    `<meta name="referrer" content="no-referrer">`,
    `<meta name="color-scheme" content="light dark">`,
    `<title>${title}</title>`,
    `<style>${reportStyle}${pageFoot(document.footer)}</style>`,
    `</head>`,
    `<body>`,
    `<header><h1>${title}</h1>${document.lines.map((line) => `<p>${escaped(line)}</p>`).join("")}</header>`,
    `<main>`,
    ...outlined(document).map((one, index) => htmlBlock(one, index, assets)),
    `</main>`,
    `<footer><p>${escaped(document.footer)}</p></footer>`,
    `</body>`,
    `</html>`,
    ``,
  ].join("\n");
}

/** The footer and the page's number at the foot of each printed page, where the browser that prints knows how. */
function pageFoot(footer: string): string {
  const look = "font:7.5pt sans-serif;color:#55636a;vertical-align:top;padding-top:3mm";
  const left = `@bottom-left{content:"${styleString(footer)}";${look};text-align:left;width:80%}`;
  const right = `@bottom-right{content:"page " counter(page) " of " counter(pages);${look}}`;
  return `@page{${left}${right}}`;
}

/** Text inside a quoted string of a style sheet: each character by its number, so that none can mean anything else. */
function styleString(text: string): string {
  return Array.from(shown(text), (character) => `\\${(character.codePointAt(0) ?? 0).toString(16)} `).join("");
}

function htmlBlock({ block, level }: OutlinedBlock, index: number, assets: ReportAssets): string {
  switch (block.kind) {
    case "heading":
      return heading(level, escaped(block.text));
    case "text":
      return `<p class="${block.tone}">${escaped(block.text)}</p>`;
    case "facts":
      return htmlFacts(block.facts);
    case "table":
      return htmlTable(block);
    case "figures":
      return htmlFigures(block.figures, assets);
    case "card":
      return htmlCard(block, level, index, assets);
    case "steps":
      return htmlSteps(block, index, assets);
    case "animation":
      return htmlAnimation(block, assets);
  }
}

function heading(level: Level, content: string, attributes = ""): string {
  return `<h${level}${attributes}>${content}</h${level}>`;
}

function htmlFacts(facts: readonly Fact[]): string {
  if (facts.length === 0) return "";
  const rows = facts.map(({ name, value }) => `<div><dt>${escaped(name)}</dt><dd>${escaped(value)}</dd></div>`);
  return `<dl>${rows.join("")}</dl>`;
}

function htmlTable({ caption, columns, rows }: BlockOf<"table">): string {
  const classes = columns.map(({ align }, i) => {
    const longest = Math.max(0, ...rows.map((cells) => cells[i]?.length ?? 0));
    return [...(align === "end" ? ["end"] : []), ...(longest <= 18 ? ["short"] : longest > 60 ? ["long"] : [])].join(
      " ",
    );
  });
  const align = (column: number) => (classes[column] ? ` class="${classes[column]}"` : "");
  const head = columns.map(({ name }, i) => `<th scope="col"${align(i)}>${escaped(name)}</th>`).join("");
  const body = rows.map((cells) => {
    const written = cells.map((cell, i) =>
      i === 0 ? `<th scope="row"${align(i)}>${escaped(cell)}</th>` : `<td${align(i)}>${escaped(cell)}</td>`,
    );
    return `<tr>${written.join("")}</tr>`;
  });
  // Wider than a phone, a table is moved sideways by itself, by keyboard too.
  return [
    `<div class="wide" role="region" tabindex="0" aria-label="${escaped(caption)}">`,
    `<table><caption>${escaped(caption)}</caption>`,
    `<thead><tr>${head}</tr></thead>`,
    `<tbody>${body.join("\n")}</tbody></table></div>`,
  ].join("\n");
}

function htmlFigure({ picture, alt, caption }: Figure, assets: ReportAssets): string {
  const still = picture.stillKey === null ? undefined : assets.get(picture.stillKey);
  const address = still ? `data:${still.type};base64,${base64Of(still.bytes)}` : null;
  const isMissing = picture.stillKey !== null && address === null;
  const lost = isMissing ? ` <span class="lost">The film’s picture is missing here.</span>` : "";
  return `<figure>${svgOf(picture, alt, address)}<figcaption>${escaped(caption)}${lost}</figcaption></figure>`;
}

function htmlFigures(figures: readonly Figure[], assets: ReportAssets): string {
  if (figures.length === 0) return "";
  return `<div class="figures">${figures.map((figure) => htmlFigure(figure, assets)).join("\n")}</div>`;
}

const cardClass = { met: "met", missed: "missed", "cannot tell": "unsure" } as const;

function htmlCard(block: BlockOf<"card">, level: Level, index: number, assets: ReportAssets): string {
  const { verdict } = block;
  const id = `card-${index + 1}`;
  const sign =
    verdict === null
      ? ""
      : `<p class="verdict"><span class="sign" aria-hidden="true">${verdictMarks[verdict]}</span> ${verdict}</p>`;
  return [
    `<article class="card ${verdict === null ? "plain" : cardClass[verdict]}" aria-labelledby="${id}">`,
    `<div class="head">${heading(level, escaped(block.heading), ` id="${id}"`)}${sign}</div>`,
    ...block.sentences.map((sentence) => `<p>${escaped(sentence)}</p>`),
    htmlFigures(block.figures, assets),
    htmlFacts(block.facts),
    `</article>`,
  ].join("\n");
}

/**
 * Steps by radio buttons: arrow keys go from one to the next, and the style shows the picture of the one that is chosen. The
 * buttons and the pictures are siblings, as the style needs them; the rule that pairs them is written here, by number.
 */
function htmlSteps({ name, steps }: BlockOf<"steps">, index: number, assets: ReportAssets): string {
  if (steps.length === 0) return "";
  const group = `steps-${index + 1}`;
  const inputs = steps.map(({ label }, i) => {
    const id = `${group}-${i + 1}`;
    const checked = i === 0 ? " checked" : "";
    return `<input type="radio" name="${group}" id="${id}"${checked}><label for="${id}">${escaped(label)}</label>`;
  });
  const pages = steps.map(
    ({ label, figure }, i) =>
      `<div class="step" id="${group}-${i + 1}-shown"><p class="label">${escaped(label)}</p>${htmlFigure(figure, assets)}</div>`,
  );
  const rules = steps.map((_, i) => `#${group}-${i + 1}:checked~.pages>#${group}-${i + 1}-shown{display:block}`);
  return [
    `<fieldset class="steps"><legend>${escaped(name)}</legend>`,
    `<style>${rules.join("")}</style>`,
    inputs.join(""),
    `<div class="pages">${pages.join("\n")}</div>`,
    `</fieldset>`,
  ].join("\n");
}

function htmlAnimation({ key, alt, caption }: BlockOf<"animation">, assets: ReportAssets): string {
  const film = assets.get(key);
  const video = film
    ? `<video controls loop muted playsinline preload="metadata" aria-label="${escaped(alt)}" src="data:${film.type};base64,${base64Of(film.bytes)}"></video>`
    : `<p class="lost">The moving picture is missing here. ${escaped(alt)}</p>`;
  const printed = `<p class="printed">A moving picture, which is in the file that this was printed from: ${escaped(alt)}</p>`;
  return `<figure class="moving">${video}${printed}<figcaption>${escaped(caption)}</figcaption></figure>`;
}
