/** What the window has shown as saved, and what a person has under way: the truth that a killed program is held to. */
import type { View } from "./shown.ts";

export type Intent = { readonly kind: "edit" | "undo" | "redo"; readonly view: View; readonly what: string };
type Step = { readonly view: View; readonly before: string; readonly after: string };

export class Ledger {
  /** The text of each view as it was last shown as saved; absent before it was looked at. */
  readonly texts = new Map<View, string>();
  readonly #steps: Step[] = [];
  #at = 0;
  /** Set when an edit is begun, gone when it is shown as saved or refused. */
  intent: Intent | null = null;
  acknowledged = 0;

  /** The step that undo takes back, or redo makes again, when it is one of this view; null otherwise. */
  next(kind: "undo" | "redo", view: View): Step | null {
    const step = this.#steps[kind === "undo" ? this.#at - 1 : this.#at];
    return step?.view === view ? step : null;
  }

  begin(intent: Intent): void {
    this.intent = intent;
  }

  refused(): void {
    this.intent = null;
  }

  /** The window shows the edit under way, and shows it as saved. */
  acknowledge(text: string): void {
    const intent = this.intent;
    if (!intent) throw new Error("nothing was under way");
    this.#apply(intent, text);
    this.acknowledged += 1;
  }

  /** After a kill: takes what is shown now for true when it is what was acknowledged, or that and the edit under way. */
  settle(view: View, text: string): "as acknowledged" | "with the edit under way" | "wrong" {
    const known = this.texts.get(view);
    const intent = this.intent;
    this.intent = null;
    if (text === known) return "as acknowledged";
    if (intent?.view !== view) return "wrong";
    if (intent.kind !== "edit") {
      const step = this.next(intent.kind, view);
      if (text !== (intent.kind === "undo" ? step?.before : step?.after)) return "wrong";
    }
    this.#apply(intent, text);
    return "with the edit under way";
  }

  /** What is shown of a view now counts, as after another view's edit has moved what is measured there. */
  take(view: View, text: string): void {
    this.texts.set(view, text);
  }

  reset(): void {
    this.texts.clear();
    this.#steps.length = 0;
    this.#at = 0;
    this.intent = null;
  }

  #apply({ kind, view }: Intent, text: string): void {
    const before = this.texts.get(view) ?? "";
    if (kind === "edit") {
      this.#steps.length = this.#at;
      this.#steps.push({ view, before, after: text });
      this.#at += 1;
    } else this.#at += kind === "undo" ? -1 : 1;
    this.texts.set(view, text);
    this.intent = null;
  }
}

/** A sentence on how two texts differ: the lines that only one of them has. */
export function differenceOf(wanted: string, shown: string): string {
  const [a, b] = [wanted.split("\n"), shown.split("\n")];
  const only = (list: readonly string[], other: readonly string[]) => list.filter((line) => !other.includes(line));
  const few = (list: readonly string[]) => (list.length === 0 ? "nothing" : list.slice(0, 3).join("; "));
  return `wanted and not shown: ${few(only(a, b))}; shown and not wanted: ${few(only(b, a))}`;
}
