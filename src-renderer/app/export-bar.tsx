import { useId } from "react";
import { type ExportState, writtenWords } from "./use-export.ts";
import { CopyDetails } from "./copy-details.tsx";
import { useFailures } from "./failures.tsx";
import { Button } from "../parts/button.tsx";

/** How an export stands: its progress with a way out, and its end with where it lies. */
export function ExportBar({
  state,
  onCancel,
  onShow,
}: {
  readonly state: ExportState;
  readonly onCancel: () => void;
  readonly onShow: (exportId: string) => Promise<void>;
}) {
  const { attempt } = useFailures();
  const id = useId();
  switch (state.kind) {
    case "idle":
      return null;
    case "running":
      return (
        <div className="export-bar">
          <label htmlFor={id}>{state.doing}…</label>
          <progress id={id} max={state.total} value={state.done} />
          <Button onPress={onCancel}>Cancel</Button>
        </div>
      );
    case "done":
      return (
        <div className="export-bar" role="status">
          <p>{writtenWords(state, state.missing)}.</p>
          {state.notes.map((note) => (
            <p key={note}>{note}</p>
          ))}
          <Button onPress={() => void attempt(() => onShow(state.exportId))}>Open the folder</Button>
        </div>
      );
    case "failed":
      return (
        <div className="export-bar" role="alert">
          <p className="contradiction">Nothing was written. {state.message}</p>
          <CopyDetails code="EXPORT_FAILED" message={state.message} />
        </div>
      );
    case "cancelled":
      return (
        <p className="export-bar" role="status">
          Cancelled; nothing of it is left.
        </p>
      );
  }
}
