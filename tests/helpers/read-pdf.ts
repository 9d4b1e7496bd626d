/** A PDF read back by another's reader: its words page by page, and its tags. */
import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";

export type PdfTag = {
  readonly role: string;
  readonly alt: string | null;
  /** Words of the tag itself and of all within it. */
  readonly text: string;
  readonly within: readonly PdfTag[];
};

export type ReadPdf = {
  readonly pages: readonly { readonly text: string; readonly tags: PdfTag; readonly items: readonly PlacedText[] }[];
  readonly info: Readonly<Record<string, unknown>>;
  readonly lang: string | null;
  readonly isMarked: boolean;
  readonly outline: readonly string[];
};

/** Points from the left and bottom edge. */
export type PlacedText = {
  readonly text: string;
  readonly xPt: number;
  readonly yPt: number;
  readonly widthPt: number;
};

type Node = { role?: string; alt?: string; type?: string; id?: string; children?: Node[] };

export async function readPdf(bytes: Uint8Array): Promise<ReadPdf> {
  const task = getDocument({ data: new Uint8Array(bytes), useSystemFonts: false, verbosity: 0 });
  const pdf = await task.promise;
  const pages = [];
  for (let number = 1; number <= pdf.numPages; number++) {
    const page = await pdf.getPage(number);
    const { items } = await page.getTextContent({ includeMarkedContent: true });
    const marked = new Map<string, string>();
    const placed: PlacedText[] = [];
    const open: (string | null)[] = [];
    let text = "";
    for (const item of items) {
      if ("str" in item) {
        const said = item.str + (item.hasEOL ? " " : "");
        text += said;
        const id = open.findLast((one) => one !== null);
        if (id != null) marked.set(id, (marked.get(id) ?? "") + said);
        const [, , , , xPt, yPt] = item.transform as number[];
        placed.push({ text: item.str, xPt: xPt!, yPt: yPt!, widthPt: item.width });
      } else if (item.type === "endMarkedContent") open.pop();
      else open.push(item.type === "beginMarkedContentProps" ? (item.id ?? null) : null);
    }
    const tagOf = ({ role, alt, type, id, children = [] }: Node): PdfTag => {
      const within = children.map(tagOf);
      const own = type === "content" && id !== undefined ? (marked.get(id) ?? "") : "";
      return {
        role: role ?? "",
        alt: alt ?? null,
        text: plain(own + within.map((one) => one.text).join(" ")),
        // The reader names a tag on every page, with nothing in it where it is drawn on another.
        within: within.filter((one) => one.role !== "" && (one.text !== "" || one.alt !== null)),
      };
    };
    pages.push({ text: plain(text), tags: tagOf(await page.getStructTree()), items: placed });
  }
  const { info } = await pdf.getMetadata();
  const read: ReadPdf = {
    pages,
    info: info as Record<string, unknown>,
    lang: (info as { Language?: string }).Language ?? null,
    isMarked: ((await pdf.getMarkInfo()) as unknown as Map<string, boolean> | null)?.get("Marked") === true,
    outline: ((await pdf.getOutline()) ?? []).map(({ title }) => title),
  };
  await task.destroy();
  return read;
}

/** Words with one space between. */
export const plain = (text: string): string => text.replace(/\s+/gu, " ").trim();

export function tagsOf(tag: PdfTag, role: string): PdfTag[] {
  return [...(tag.role === role ? [tag] : []), ...tag.within.flatMap((one) => tagsOf(one, role))];
}
