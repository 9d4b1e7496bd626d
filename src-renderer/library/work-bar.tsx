import { useId } from "react";
import { CopyDetails } from "../app/copy-details.tsx";
import { Button } from "../parts/button.tsx";
import type { WorkState } from "./use-work.ts";

/** How long work stands; what it came to is for the page to say. */
export function WorkBar({
  state,
  doing,
  onCancel,
}: {
  readonly state: WorkState<unknown>;
  readonly doing: string;
  readonly onCancel: () => void;
}) {
  const id = useId();
  switch (state.kind) {
    case "idle":
    case "done":
      return null;
    case "running":
      return (
        <div className="export-bar">
          <label htmlFor={id}>{doing}…</label>
          <progress id={id} max={state.total} value={state.done} />
          <Button onPress={onCancel}>Cancel</Button>
        </div>
      );
    case "cancelled":
      return (
        <p className="export-bar" role="status">
          Cancelled; nothing was changed.
        </p>
      );
    case "failed":
      return (
        <div className="export-bar" role="alert">
          <p className="contradiction">{state.message}</p>
          <CopyDetails code={state.code} message={state.message} />
        </div>
      );
  }
}
