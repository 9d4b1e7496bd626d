import { useEffect, useMemo, useState } from "react";
import type { FilmPlayer } from "./film-player.ts";

/** Rates from the far left, backward, to the far right; it stands in the middle. */
const rates = [-8, -4, -2, -1, -0.5, -0.25, 0, 0.25, 0.5, 1, 2, 4, 8] as const;
const middle = (rates.length - 1) / 2;

/** Held off its middle it runs the film, the farther the faster, and backward to the left; let go it springs back. */
export function ShuttleBar({ player }: { readonly player: FilmPlayer }) {
  const [at, setAt] = useState(middle);
  const to = (next: number): void => {
    setAt(next);
    void player.shuttle(rates[next] ?? 0);
  };
  const letGo = useMemo(
    () => () => {
      setAt(middle);
      void player.shuttle(0);
    },
    [player],
  );
  useEffect(() => letGo, [letGo]);
  const rate = rates[at] ?? 0;
  const said = rate === 0 ? "stands" : `${Math.abs(rate)} times ${rate < 0 ? "backward" : "forward"}`;
  return (
    <label className="shuttle" title="Shuttle: hold it off the middle, or use the arrows; Esc stops">
      <span className="soft">{rate === 0 ? "Shuttle" : `${rate < 0 ? "−" : ""}${Math.abs(rate)}×`}</span>
      <input
        type="range"
        aria-label="Shuttle"
        aria-valuetext={said}
        min={0}
        max={rates.length - 1}
        step={1}
        value={at}
        onChange={(event) => to(Number(event.target.value))}
        onPointerUp={(event) => {
          letGo();
          // The keys of the film are its own again.
          event.currentTarget.blur();
        }}
        onKeyDown={(event) => {
          if (event.key !== "Escape") return;
          letGo();
          event.currentTarget.blur();
        }}
        onBlur={letGo}
      />
    </label>
  );
}
