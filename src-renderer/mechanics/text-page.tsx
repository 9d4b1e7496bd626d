import { useRef } from "react";
import { Button } from "../parts/button.tsx";
import type { OpenBook } from "./use-books.ts";

/** The file of a book as text, read as it is typed. */
export function TextPage(props: {
  readonly open: OpenBook;
  readonly editable: boolean;
  readonly onType: (text: string) => void;
}) {
  const { open, editable } = props;
  const area = useRef<HTMLTextAreaElement>(null);
  const line = Number(/^line (\d+)$/u.exec(open.fault?.path ?? "")?.[1] ?? 0);
  const goToLine = () => {
    const lines = open.text.split("\n");
    const from = lines.slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
    area.current?.focus();
    area.current?.setSelectionRange(from, from + (lines[line - 1]?.length ?? 0));
  };
  return (
    <section className="text-page" aria-label="The file of the book">
      {editable ? null : (
        <p className="soft">This book comes with the program and stays as it is: copy it to change it.</p>
      )}
      <textarea
        ref={area}
        aria-label="Text of the file"
        aria-invalid={open.fault !== null}
        spellCheck={false}
        readOnly={!editable}
        value={open.text}
        onChange={(event) => props.onType(event.target.value)}
      />
      {line > 0 ? <Button onPress={goToLine}>Go to line {line}</Button> : null}
    </section>
  );
}
