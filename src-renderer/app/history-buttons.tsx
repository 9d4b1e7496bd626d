import { Button } from "../parts/button.tsx";
import { useFailures } from "./failures.tsx";
import type { GameCache, GameState } from "./game-cache.ts";

/** Undo and redo of a game by the name of the edit, and whether what was done is on disk. */
export function HistoryButtons({ cache, state }: { readonly cache: GameCache; readonly state: GameState }) {
  const { attempt } = useFailures();
  const { undo, redo } = state.history;
  return (
    <>
      <Button
        name={undo === null ? "Nothing to undo" : `Undo: ${undo}`}
        title={undo ?? ""}
        disabled={undo === null}
        onPress={() => void attempt(() => cache.undo())}
      >
        Undo
      </Button>
      <Button
        name={redo === null ? "Nothing to redo" : `Redo: ${redo}`}
        title={redo ?? ""}
        disabled={redo === null}
        onPress={() => void attempt(() => cache.redo())}
      >
        Redo
      </Button>
      <output className="saved" aria-live="polite">
        {state.pending > 0 ? "saving…" : "saved"}
      </output>
    </>
  );
}
