import { useState } from "react";
import { Button } from "../parts/button.tsx";
import { detailsOf, type FailureWords } from "./details.ts";

/** Copies what a failure was, for whoever helps; what is copied is read as it is before it is sent anywhere. */
export function CopyDetails(words: FailureWords) {
  return <CopyText text={() => detailsOf(words)} label="Copy details" />;
}

export function CopyText({ text, label }: { readonly text: () => string; readonly label: string }) {
  const [state, setState] = useState<"idle" | "copied" | "refused">("idle");
  const copy = () =>
    void navigator.clipboard.writeText(text()).then(
      () => setState("copied"),
      () => setState("refused"),
    );
  return (
    <>
      <Button onPress={copy}>{label}</Button>
      <span role="status" className="soft">
        {state === "copied" ? "Copied." : state === "refused" ? "The system did not let it be copied." : ""}
      </span>
    </>
  );
}
