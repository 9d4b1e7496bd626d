/** What a person puts on a teaching page, in their order, and the draft of it that is kept between two sittings. */
import type { GameRecords } from "../game/records.ts";

export type TeachingItem =
  /** Paragraphs are parted by an empty line. */
  | { readonly kind: "text"; readonly id: string; readonly heading: string; readonly text: string }
  | {
      readonly kind: "moment";
      readonly id: string;
      readonly momentId: string;
      /** Whom it is about; null is all of the crew. */
      readonly position: string | null;
      /** Beside each missed station, the way from where they stood to where the book puts them. */
      readonly withBefore: boolean;
    }
  | { readonly kind: "play"; readonly id: string; readonly playId: string; readonly position: string | null };

export type TeachingDraft = {
  readonly title: string;
  /** Whether the page says which game it is of: who knows the game knows the crew. */
  readonly withGame: boolean;
  readonly items: readonly TeachingItem[];
};

export const emptyDraft: TeachingDraft = { title: "", withGame: false, items: [] };

/** How long what a person writes may be, characters, and how many things a page may hold. */
export const mostTeaching = { title: 200, heading: 200, text: 10_000, items: 200 } as const;

/** Items whose moment or play is still in the game, and how many are not. */
export function keptItems(
  items: readonly TeachingItem[],
  { plays, moments }: Pick<GameRecords, "plays" | "moments">,
): { readonly items: readonly TeachingItem[]; readonly gone: number } {
  const known = new Set([...plays, ...moments].map(({ id }) => id));
  const kept = items.filter((item) => {
    switch (item.kind) {
      case "text":
        return true;
      case "moment":
        return known.has(item.momentId);
      case "play":
        return known.has(item.playId);
    }
  });
  return { items: kept, gone: items.length - kept.length };
}

/** The same items with one so many places further down, or up; the ends hold it. */
export function movedItem(items: readonly TeachingItem[], id: string, by: number): readonly TeachingItem[] {
  const from = items.findIndex((item) => item.id === id);
  const item = items[from];
  if (!item) return items;
  const to = Math.min(items.length - 1, Math.max(0, from + by));
  return items.toSpliced(from, 1).toSpliced(to, 0, item);
}

/** A draft as it was kept; null where the text is not one. What of its items cannot be read is left out. */
export function readDraft(text: string): TeachingDraft | null {
  const draft = record(parsed(text));
  if (!draft || !Array.isArray(draft["items"])) return null;
  const items = draft["items"].flatMap((item: unknown) => readItem(record(item)) ?? []).slice(0, mostTeaching.items);
  const ids = new Set(items.map(({ id }) => id));
  return {
    title: words(draft["title"], mostTeaching.title),
    withGame: draft["withGame"] === true,
    items: ids.size === items.length ? items : [],
  };
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function record(value: unknown): Readonly<Record<string, unknown>> | null {
  return typeof value === "object" && value !== null && !Array.isArray(value)
    ? (value as Readonly<Record<string, unknown>>)
    : null;
}

const words = (value: unknown, most: number) => (typeof value === "string" ? value.toWellFormed().slice(0, most) : "");

function readItem(item: ReturnType<typeof record>): TeachingItem | null {
  const said = (name: string) => {
    const value = item?.[name];
    return typeof value === "string" && value !== "" ? value : null;
  };
  const [id, momentId, playId] = [said("id"), said("momentId"), said("playId")];
  if (!item || id === null) return null;
  const position = said("position");
  if (item["kind"] === "text") {
    return {
      kind: "text",
      id,
      heading: words(item["heading"], mostTeaching.heading),
      text: words(item["text"], mostTeaching.text),
    };
  }
  if (item["kind"] === "moment" && momentId !== null)
    return { kind: "moment", id, momentId, position, withBefore: item["withBefore"] !== false };
  if (item["kind"] === "play" && playId !== null) return { kind: "play", id, playId, position };
  return null;
}
