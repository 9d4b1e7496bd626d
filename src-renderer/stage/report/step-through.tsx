import { type KeyboardEvent, useState } from "react";
import type { Block, ReportAssets } from "#core/report/document";
import { Button } from "../../parts/button.tsx";
import { FigureView } from "./figure-view.tsx";

/** Pictures of one play, one at a time: by its buttons, its slider, or the arrow keys anywhere in it. */
export function StepThrough({
  name,
  steps,
  assets,
}: Pick<Extract<Block, { kind: "steps" }>, "name" | "steps"> & { readonly assets: ReportAssets }) {
  const [chosen, setChosen] = useState(0);
  const last = steps.length - 1;
  const at = Math.min(chosen, last);
  const step = steps[at];
  if (!step) return null;
  const go = (to: number) => setChosen(Math.min(last, Math.max(0, to)));
  const places: Readonly<Record<string, number>> = { ArrowLeft: at - 1, ArrowRight: at + 1, Home: 0, End: last };
  const onKeyDown = (event: KeyboardEvent) => {
    const to = places[event.key];
    if (to === undefined || event.ctrlKey || event.altKey || event.metaKey) return;
    // Neither the slider's own step nor a key of the place.
    event.preventDefault();
    event.stopPropagation();
    go(to);
  };
  return (
    <div className="step-through" role="group" aria-label={name} onKeyDown={onKeyDown}>
      <div className="step-bar">
        <Button name="The step before" onPress={() => go(at - 1)}>
          ‹
        </Button>
        <input
          type="range"
          min={0}
          max={last}
          value={at}
          aria-label="Step of the play"
          aria-valuetext={`${step.label}, ${at + 1} of ${steps.length}`}
          onChange={(event) => go(Number(event.target.value))}
        />
        <Button name="The step after" onPress={() => go(at + 1)}>
          ›
        </Button>
        <output aria-live="polite">
          <b>{step.label}</b> {at + 1} of {steps.length}
        </output>
      </div>
      <FigureView figure={step.figure} still={assets.get(step.figure.picture.stillKey ?? "")?.bytes ?? null} />
    </div>
  );
}
