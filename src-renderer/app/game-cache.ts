import { applyChanges, type Change } from "#core/game/changes";
import type { GameRecords } from "#core/game/records";
import type { Client } from "./client.ts";

type Edited = Awaited<ReturnType<Client["games"]["commit"]>>;
type Opened = Awaited<ReturnType<Client["games"]["open"]>>;

/** So long after a refusal the window does not say yet that everything is saved. */
const refusalToldMs = 50;

export type GameState = {
  readonly records: GameRecords;
  readonly filmStates: Opened["filmStates"];
  readonly history: Opened["history"];
  readonly sequence: number;
  /** Edits sent and not yet acknowledged as written. */
  readonly pending: number;
};

/**
 * A read cache of one game. The library's file is the truth: an edit is shown as done only when the service says that it is
 * written. Edits of other windows arrive through the same door.
 */
export class GameCache {
  readonly gameId: string;
  /** The film that was looked at last: the next place opens on it. */
  filmInView: string | null = null;
  #client: Client;
  #state: GameState;
  #listeners = new Set<() => void>();
  #closed = new AbortController();

  private constructor(client: Client, opened: Opened) {
    this.#client = client;
    this.gameId = opened.game.id;
    this.#state = stateOf(opened);
  }

  static async open(client: Client, gameId: string): Promise<GameCache> {
    const cache = new GameCache(client, await client.games.open({ gameId }));
    void cache.#watch();
    return cache;
  }

  readonly getState = (): GameState => this.#state;

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  async edit(label: string, changes: readonly Change[]): Promise<void> {
    if (changes.length === 0) return;
    await this.#write(() =>
      this.#client.games.commit({ gameId: this.gameId, label, changes: structuredClone(changes) as Change[] }),
    );
  }

  async undo(): Promise<void> {
    await this.#write(() => this.#client.games.undo({ gameId: this.gameId }));
  }

  async redo(): Promise<void> {
    await this.#write(() => this.#client.games.redo({ gameId: this.gameId }));
  }

  /** For operations of the service that edit the game themselves, such as attaching a film. */
  async through(work: () => Promise<Edited>): Promise<void> {
    await this.#write(work);
    await this.refreshFilms();
  }

  async refreshFilms(): Promise<void> {
    const filmStates = await this.#client.films.states({ gameId: this.gameId });
    this.#set({ filmStates });
  }

  close(): void {
    this.#closed.abort();
    this.#listeners.clear();
  }

  async #write(work: () => Promise<Edited>): Promise<void> {
    this.#set({ pending: this.#state.pending + 1 });
    const isOver = () => this.#set({ pending: this.#state.pending - 1 });
    try {
      await this.#take(await work());
    } catch (error) {
      // A refused edit may mean that another window was first: show what is really there.
      await this.#reload().catch(() => undefined);
      // Whoever asked says so first, and takes away what they showed meanwhile: beside that nothing may count as saved.
      setTimeout(isOver, refusalToldMs);
      throw error;
    }
    isOver();
  }

  async #take(edited: Edited): Promise<void> {
    if (edited.sequence <= this.#state.sequence) return;
    if (edited.sequence !== this.#state.sequence + 1) return this.#reload();
    this.#set({
      records: applyChanges(this.#state.records, edited.changes),
      history: edited.history,
      sequence: edited.sequence,
    });
  }

  async #reload(): Promise<void> {
    const opened = await this.#client.games.open({ gameId: this.gameId });
    this.#set({ ...stateOf(opened), pending: this.#state.pending });
  }

  async #watch(): Promise<void> {
    const { signal } = this.#closed;
    while (!signal.aborted) {
      try {
        for await (const edited of await this.#client.games.watch({ gameId: this.gameId }, { signal }))
          await this.#take(edited);
        return;
      } catch {
        if (signal.aborted) return;
        await new Promise((resolve) => setTimeout(resolve, 1000));
        await this.#reload().catch(() => undefined);
      }
    }
  }

  #set(part: Partial<GameState>): void {
    this.#state = { ...this.#state, ...part };
    for (const listener of this.#listeners) listener();
  }
}

function stateOf(opened: Opened): GameState {
  const { filmStates, history, sequence, ...records } = opened;
  return { records, filmStates, history, sequence, pending: 0 };
}
