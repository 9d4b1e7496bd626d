import { useCallback, useMemo, useRef, useState } from "react";
import {
  emptyDraft,
  keptItems,
  mostTeaching,
  movedItem,
  readDraft,
  type TeachingDraft,
  type TeachingItem,
} from "#core/report/teaching-item";
import type { GradeSheet } from "./use-grade-sheet.ts";

const draftKey = (gameId: string) => `crewglass.teaching.${gameId}`;

/** An item before it has its place on the page, and the id that goes with it. */
export type NewItem = TeachingItem extends infer Item ? (Item extends TeachingItem ? Omit<Item, "id"> : never) : never;

export type Teaching = ReturnType<typeof useTeaching>;

/**
 * The page that is being put together for a game. It is a draft, and no record of the game: it lies beside the window, so that
 * it is there when the place is left and at the next start, and it is in no undo, packet or other library.
 */
export function useTeaching({ records }: Pick<GradeSheet, "records">) {
  const gameId = records.game.id;
  const [draft, setDraft] = useState(() => readDraft(localStorage.getItem(draftKey(gameId)) ?? "") ?? emptyDraft);
  const latest = useRef(draft);
  const { items, gone } = useMemo(() => keptItems(draft.items, records), [draft.items, records]);
  const change = useCallback(
    (part: Partial<TeachingDraft>) => {
      const next = { ...latest.current, ...part };
      latest.current = next;
      setDraft(next);
      try {
        localStorage.setItem(draftKey(gameId), JSON.stringify(next));
      } catch {
        // No room left beside the window: the draft lasts as long as the window does.
      }
    },
    [gameId],
  );
  /** What is gone from the game goes from the draft with the first edit, and its line with it. */
  const edit = (how: (now: readonly TeachingItem[]) => readonly TeachingItem[]) =>
    change({ items: how(keptItems(latest.current.items, records).items) });
  return {
    title: draft.title,
    withGame: draft.withGame,
    items,
    gone,
    isFull: items.length >= mostTeaching.items,
    setTitle: (title: string) => change({ title }),
    setWithGame: (withGame: boolean) => change({ withGame }),
    /** Gives the id of what was added. */
    add: (item: NewItem): string => {
      const id = crypto.randomUUID();
      edit((now) => [...now, { ...item, id }]);
      return id;
    },
    remove: (id: string) => edit((now) => now.filter((item) => item.id !== id)),
    move: (id: string, by: number) => edit((now) => movedItem(now, id, by)),
    replace: (item: TeachingItem) => edit((now) => now.map((one) => (one.id === item.id ? item : one))),
  };
}
