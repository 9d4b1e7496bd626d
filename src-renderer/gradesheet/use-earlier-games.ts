import { useEffect, useState } from "react";
import { judgeGame, type JudgedGame } from "../app/judge-game.ts";
import { useService } from "../app/service.tsx";

const same = (a: string, b: string) => a.trim().toLocaleLowerCase() === b.trim().toLocaleLowerCase();

/** Games that an official worked, known again by name and position; none for one without a name. */
export function ofSameOfficial(games: readonly JudgedGame[], name: string, position: string): readonly JudgedGame[] {
  if (name.trim() === "") return [];
  return games.filter(({ records }) =>
    records.game.crew.some((member) => member.position === position && same(member.name, name)),
  );
}

/** The other games of the library, judged one after another in the background. */
export function useEarlierGames(gameId: string): readonly JudgedGame[] {
  const { client } = useService();
  const [games, setGames] = useState<readonly JudgedGame[]>([]);
  useEffect(() => {
    const control = new AbortController();
    const run = async () => {
      const all = await client.games.list(undefined, { signal: control.signal });
      for (const { id } of all.filter((game) => game.id !== gameId && game.marked > 0)) {
        const judged = await judgeGame(client, id, control.signal).catch(() => null);
        if (control.signal.aborted) return;
        // A game that cannot be judged, as when its book is gone, is left out of the trend.
        if (judged) setGames((before) => [...before, judged]);
      }
    };
    setGames([]);
    run().catch(() => undefined);
    return () => control.abort();
  }, [client, gameId]);
  return games;
}
