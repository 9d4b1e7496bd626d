import { useState, useSyncExternalStore } from "react";
import { type FirstStep, firstSteps, stepsGone } from "#core/game/first-steps";
import { Button } from "../parts/button.tsx";
import type { GameCache } from "./game-cache.ts";

type Step = { readonly name: string; readonly says: string; readonly place: "breakdown" | "fieldbook" };

const steps: Record<FirstStep, Step> = {
  film: { name: "Film", says: "Attach the game’s film. Its file stays where it is.", place: "fieldbook" },
  plays: {
    name: "Plays",
    says: "Cut the film into plays: have them proposed, or stop at a snap and press N.",
    place: "breakdown",
  },
  survey: {
    name: "Survey",
    says: "Stop before a snap and, on the Survey page, click four field points or more that you can name.",
    place: "fieldbook",
  },
  marks: {
    name: "Marks",
    says: "On the Marks page, point between an official’s feet and press their letter; then the players.",
    place: "fieldbook",
  },
  "second-moment": {
    name: "A second moment",
    says: "Shift PgDn goes to the next moment worth judging: survey it, and click everybody where they are now.",
    place: "fieldbook",
  },
};

const key = "crewglass.first-game";
const listeners = new Set<() => void>();
const isHidden = () => localStorage.getItem(key) === "hidden";

/** Kept for this machine: who has put the guide away needs it in no other game. */
export function showFirstGame(shown: boolean): void {
  if (shown) localStorage.removeItem(key);
  else localStorage.setItem(key, "hidden");
  for (const listener of listeners) listener();
}

function useHidden(): boolean {
  return useSyncExternalStore((listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  }, isHidden);
}

/** What comes next in a game, with the key that does it; put away for good by a button. */
export function FirstGame({
  cache,
  onPlace,
}: {
  readonly cache: GameCache;
  readonly onPlace: (place: Step["place"]) => void;
}) {
  const { records } = useSyncExternalStore(cache.subscribe, cache.getState);
  const hidden = useHidden();
  const [wasGone] = useState(() => stepsGone(records).size === firstSteps.length);
  // A game that was whole when it was opened needs no guide.
  if (hidden || wasGone) return null;
  const gone = stepsGone(records);
  const next = firstSteps.find((step) => !gone.has(step)) ?? null;
  return (
    <section className="first-game" aria-label="First game">
      <ol>
        {firstSteps.map((step) => (
          <li key={step} aria-current={step === next ? "step" : undefined} data-gone={gone.has(step)}>
            {gone.has(step) ? <span aria-hidden="true">✓ </span> : null}
            {steps[step].name}
            {gone.has(step) ? <span className="visually-hidden"> done</span> : null}
          </li>
        ))}
      </ol>
      <p role="status">{next ? steps[next].says : "All there: the Findings page says what was seen of the play."}</p>
      <span className="gap" />
      {next ? <Button onPress={() => onPlace(steps[next].place)}>Go there</Button> : null}
      <Button look="bare" name="Hide the guide to a first game" onPress={() => showFirstGame(false)}>
        Hide
      </Button>
    </section>
  );
}
