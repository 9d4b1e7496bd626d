/**
 * A strict reader of the HTML and SVG that is written here: every attribute quoted, every element closed, every ampersand an
 * entity. It throws at whatever is not, so that text that has become markup is found.
 */
export type Element = {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: (Element | string)[];
};

const empty = new Set(["meta", "input", "br", "link", "img"]);
const named: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', "#39": "'" };

function decoded(text: string): string {
  return text.replace(/&([^;]{0,6});?/gu, (whole, name: string) => {
    const character = named[name];
    if (character === undefined || !whole.endsWith(";")) throw new Error(`not an entity: ${whole}`);
    return character;
  });
}

export function readMarkup(text: string): Element {
  const root: Element = { name: "", attributes: {}, children: [] };
  const open: Element[] = [root];
  let at = 0;
  const source = text.replace(/^<!doctype html>/u, "");
  while (at < source.length) {
    const within = open.at(-1)!;
    if (within.name === "style") {
      const end = source.indexOf("</style>", at);
      within.children.push(source.slice(at, end));
      open.pop();
      at = end + "</style>".length;
      continue;
    }
    if (source[at] !== "<") {
      const end = source.indexOf("<", at);
      const piece = source.slice(at, end === -1 ? source.length : end);
      if (piece.includes(">")) throw new Error(`a bare > in ${piece}`);
      within.children.push(decoded(piece));
      at += piece.length;
      continue;
    }
    const closing = /^<\/([a-z][a-z0-9]*)>/u.exec(source.slice(at, at + 40));
    if (closing) {
      if (within.name !== closing[1]) throw new Error(`</${closing[1]}> closes <${within.name}>`);
      open.pop();
      at += closing[0].length;
      continue;
    }
    const opening = /<([a-z][a-z0-9]*)((?: [a-zA-Z:-]+(?:="[^"<>]*")?)*)(\/?)>/uy;
    opening.lastIndex = at;
    const found = opening.exec(source);
    if (!found) throw new Error(`no element at ${source.slice(at, at + 80)}`);
    const attributes = Object.fromEntries(
      Array.from(found[2]!.matchAll(/ ([a-zA-Z:-]+)(?:="([^"]*)")?/gu), ([, name, value]) => [
        name!,
        decoded(value ?? ""),
      ]),
    );
    const element: Element = { name: found[1]!, attributes, children: [] };
    within.children.push(element);
    if (found[3] !== "/" && !empty.has(element.name)) open.push(element);
    at += found[0].length;
  }
  if (open.length > 1) throw new Error(`<${open.at(-1)!.name}> is not closed`);
  return root;
}

/** Every element inside, in document order. */
export function elements(of: Element, name?: string): Element[] {
  return of.children.flatMap((child) =>
    typeof child === "string"
      ? []
      : [...(name === undefined || child.name === name ? [child] : []), ...elements(child, name)],
  );
}

/** The text inside, of no style. */
export function textIn(of: Element): string {
  if (of.name === "style") return "";
  return of.children.map((child) => (typeof child === "string" ? child : textIn(child))).join("");
}
