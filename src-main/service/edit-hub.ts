import type { Edited } from "../store/history.ts";

/** Carries every edit written to a game to whoever watches that game. */
export type EditHub = {
  readonly publish: (gameId: string, edited: Edited) => void;
  /** Watches from this call on, so that nothing is missed between opening and the first read. Ends on abort. */
  readonly watch: (gameId: string, signal: AbortSignal | undefined) => AsyncGenerator<Edited, void, void>;
  /** Ends every watch of a game that is gone. */
  readonly end: (gameId: string) => void;
  readonly watchers: () => number;
};

/** A watcher that stops reading is let go, and opens the game again, sooner than its edits fill the memory. */
const mostWaiting = 2000;

type Watcher = { readonly push: (edited: Edited) => void; readonly end: () => void };

export function createEditHub(): EditHub {
  const games = new Map<string, Set<Watcher>>();

  const watch = (gameId: string, signal: AbortSignal | undefined): AsyncGenerator<Edited, void, void> => {
    const waiting: Edited[] = [];
    let ended = signal?.aborted ?? false;
    let wake: (() => void) | null = null;
    const ring = () => {
      wake?.();
      wake = null;
    };
    const end = () => {
      ended = true;
      signal?.removeEventListener("abort", end);
      const watchers = games.get(gameId);
      watchers?.delete(watcher);
      if (watchers?.size === 0) games.delete(gameId);
      ring();
    };
    const watcher: Watcher = {
      push: (edited) => {
        if (waiting.length >= mostWaiting) return end();
        waiting.push(edited);
        ring();
      },
      end,
    };
    if (!ended) {
      const watchers = games.get(gameId) ?? new Set();
      games.set(gameId, watchers.add(watcher));
      signal?.addEventListener("abort", end);
    }

    const next = async (): Promise<IteratorResult<Edited, void>> => {
      for (;;) {
        const edited = waiting.shift();
        if (edited !== undefined) return { done: false, value: edited };
        if (ended) return { done: true, value: undefined };
        await new Promise<void>((resolve) => (wake = resolve));
      }
    };
    const finish = async (): Promise<IteratorResult<Edited, void>> => {
      end();
      waiting.length = 0;
      return { done: true, value: undefined };
    };
    // Not a generator function: one that was never read would not run its `finally`, and the watcher would stay.
    const generator: AsyncGenerator<Edited, void, void> = {
      next,
      return: finish,
      throw: async (error) => {
        end();
        throw error;
      },
      [Symbol.asyncIterator]: () => generator,
      [Symbol.asyncDispose]: async () => void (await finish()),
    };
    return generator;
  };

  return {
    publish: (gameId, edited) => {
      for (const watcher of [...(games.get(gameId) ?? [])]) watcher.push(edited);
    },
    watch,
    end: (gameId) => {
      for (const watcher of [...(games.get(gameId) ?? [])]) watcher.end();
    },
    watchers: () => [...games.values()].reduce((sum, watchers) => sum + watchers.size, 0),
  };
}
