import { useEffect, useMemo, useState } from "react";
import type { GameRecords } from "#core/game/records";
import { useFailures } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";

export type Author = { readonly id: string; readonly name: string };

/**
 * Whose grades of a game are in view: one's own, or, where a packet brought some, another observer's, which are read and never
 * changed. One's own come first where there are any.
 */
export function useWhoseGrades({ grades, rulings }: Pick<GameRecords, "grades" | "rulings">) {
  const { client, info, settings } = useService();
  const { attempt } = useFailures();
  const own = info.observerId;
  const ids = useMemo(
    () => [...new Set([...grades, ...rulings].map(({ authorId }) => authorId))].toSorted(),
    [grades, rulings],
  );
  const hasOthers = ids.some((id) => id !== own);
  const [names, setNames] = useState<ReadonlyMap<string, string>>(new Map());
  useEffect(() => {
    if (!hasOthers) return;
    void attempt(async () => {
      const packets = await client.packets.list();
      setNames(new Map(packets.map(({ observerId, observerName }) => [observerId, observerName ?? ""])));
    });
  }, [attempt, client, hasOthers]);
  const nameOf = (id: string) =>
    id === own ? settings.observerName || "You" : names.get(id) || `Observer ${id.slice(0, 8)}`;
  const [chosen, setChosen] = useState<string | null>(null);
  const first = ids.includes(own) ? own : (ids[0] ?? own);
  const authorId = chosen !== null && (chosen === own || ids.includes(chosen)) ? chosen : first;
  const authors = [own, ...ids.filter((id) => id !== own)].map((id): Author => ({ id, name: nameOf(id) }));
  return { authorId, authors, isOwn: authorId === own, choose: setChosen, nameOf };
}
