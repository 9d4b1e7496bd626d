import { useEffect, useState } from "react";
import type { NoteSubject } from "#core/grading/notes";
import { Labelled } from "../parts/labelled.tsx";
import type { GradeSheet } from "./use-grade-sheet.ts";

/** What the person keeps to themselves; it stays in the library and no page or packet holds it. */
export function PrivateNote({
  sheet,
  subject,
  label,
}: {
  readonly sheet: GradeSheet;
  readonly subject: NoteSubject;
  readonly label: string;
}) {
  const kept = sheet.note(subject);
  const [text, setText] = useState(kept);
  useEffect(() => setText(kept), [kept]);
  return (
    <Labelled label={label} field="note">
      <textarea
        rows={2}
        maxLength={8000}
        value={text}
        readOnly={!sheet.canNote}
        onChange={(event) => setText(event.target.value)}
        onBlur={() => sheet.writeNote(subject, text)}
      />
    </Labelled>
  );
}
