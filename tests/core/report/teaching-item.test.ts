import { describe, expect, it } from "vitest";
import {
  keptItems,
  mostTeaching,
  movedItem,
  readDraft,
  type TeachingDraft,
  type TeachingItem,
} from "#core/report/teaching-item";
import { demoGame } from "../scoring/demo-records.ts";

const text = (id: string): TeachingItem => ({ kind: "text", id, heading: `Heading ${id}`, text: "" });
const items: TeachingItem[] = [
  text("a"),
  { kind: "moment", id: "b", momentId: demoGame.moments[0]!.id, position: "FJ", withBefore: false },
  { kind: "play", id: "c", playId: demoGame.plays[0]!.id, position: null },
];
const ids = (all: readonly TeachingItem[]) => all.map(({ id }) => id).join("");

describe("the draft of a teaching page", () => {
  it("is read back as it was kept", () => {
    const draft: TeachingDraft = { title: "Clinic", withGame: true, items };
    expect(readDraft(JSON.stringify(draft))).toEqual(draft);
  });

  it.each(["", "null", "[]", "{", `{"title":"x"}`, `{"items":{}}`])("is nothing where %j was kept", (kept) => {
    expect(readDraft(kept)).toBeNull();
  });

  it("leaves out what cannot be read, and takes no more than a page holds", () => {
    const read = readDraft(
      JSON.stringify({
        title: 7,
        items: [
          null,
          3,
          { kind: "film", id: "x" },
          { kind: "moment", id: "y" },
          { kind: "text", heading: "no id" },
          ...items,
        ],
      }),
    );
    expect(read).toEqual({ title: "", withGame: false, items });
    const long = { title: "x".repeat(999), items: Array.from({ length: 999 }, (_, i) => text(String(i))) };
    expect(readDraft(JSON.stringify(long))).toMatchObject({
      title: "x".repeat(mostTeaching.title),
      items: { length: mostTeaching.items },
    });
    // A half of a pair could not be sent as it stands.
    expect(readDraft(`{"title":"a\\ud800","items":[]}`)!.title.isWellFormed()).toBe(true);
  });

  it("drops moments and plays that the game has no longer, and counts them", () => {
    expect(keptItems(items, demoGame)).toEqual({ items, gone: 0 });
    expect(keptItems(items, { plays: [], moments: demoGame.moments })).toMatchObject({
      items: items.slice(0, 2),
      gone: 1,
    });
    expect(keptItems(items, { plays: [], moments: [] })).toMatchObject({ items: items.slice(0, 1), gone: 2 });
  });

  it("moves one up or down, and no further than the ends", () => {
    expect(ids(movedItem(items, "b", 1))).toBe("acb");
    expect(ids(movedItem(items, "b", -1))).toBe("bac");
    expect(ids(movedItem(items, "a", -1))).toBe("abc");
    expect(ids(movedItem(items, "a", 9))).toBe("bca");
    expect(ids(movedItem(items, "z", 1))).toBe("abc");
  });
});
