/**
 * What a person reads in the window: the records of the page that is open as lines of text, and whether the window says that
 * they are saved. Taken from the document in one look, so that the two belong together; nothing is asked of the window's own code.
 */
import type { Page } from "playwright";

export const views = ["marks", "stakes", "grades", "times"] as const;
export type View = (typeof views)[number];

export type Shown = {
  /** Null while a page is on its way. */
  readonly view: View | null;
  /** The records of the view, a line each. */
  readonly text: string;
  readonly saved: boolean;
  /** Sentences of the notices in the corner. */
  readonly notices: readonly string[];
  /** The standing line over the place; empty when there is none. */
  readonly standing: string;
  readonly undo: string;
};

export async function shownIn(page: Page): Promise<Shown> {
  return page.evaluate(() => {
    const all = (selector: string) => [...document.querySelectorAll(selector)];
    const words = (selector: string) => document.querySelector(selector)?.textContent?.trim() ?? "";
    const selected = document.querySelector('[role="tab"][aria-selected="true"]')?.id;
    const table = document.querySelector(".grade-table");
    const sheet = document.querySelector(".play-sheet");
    let view: "marks" | "stakes" | "grades" | "times" | null = null;
    let lines: string[] = [];
    const figure = (value: string | null) => (value === null ? "unmeasured" : Number(value).toFixed(4));
    if (table) {
      view = "grades";
      lines = all(".grade-table td button")
        .map((cell) => (cell.getAttribute("aria-label") ?? "").replace(/, suggested .*$/u, ""))
        .filter((line) => !line.endsWith("not graded"));
    } else if (sheet) {
      view = "times";
      lines = [
        document.querySelector(".film-pane")?.getAttribute("aria-label") ?? "",
        ...all('.play-times [role="slider"]').map(
          (tick) => `${tick.getAttribute("aria-label")}: ${Number(tick.getAttribute("aria-valuenow")).toFixed(4)}`,
        ),
        ...all(".play-sheet tbody tr").map((row) =>
          ["down", "toGo", "result"].map((name) => row.querySelector(`.column-${name}`)?.textContent ?? "").join(" | "),
        ),
      ];
    } else if (selected === "tab-marks") {
      view = "marks";
      lines = all("tr[data-mark]").map(
        (row) =>
          `${row.getAttribute("data-mark")} ${figure(row.getAttribute("data-x"))} ${figure(row.getAttribute("data-y"))}`,
      );
    } else if (selected === "tab-survey") {
      view = "stakes";
      lines = all('section[aria-label="Stakes"] tbody tr').map(
        (row) =>
          `${row.querySelector("select")?.value} ${[...row.querySelectorAll("td.number")].map((cell) => cell.textContent).join(" ")}`,
      );
    }
    // What is put back by undo stands at the end of a list of marks or stakes; their order says nothing.
    if (view === "marks" || view === "stakes") lines = lines.toSorted();
    return {
      view,
      text: lines.join("\n"),
      saved: words("output.saved") === "saved",
      notices: all(".notices .notice p").map((one) => one.textContent ?? ""),
      standing: words(".standing"),
      undo: all("button")
        .map((button) => button.getAttribute("aria-label") ?? "")
        .filter((name) => name.startsWith("Undo: "))
        .join(),
    };
  });
}

/** Waits until what is shown is as wanted, and gives it; null when it is not within the time, or `given up` says so. */
export async function untilShown(
  page: Page,
  wanted: (shown: Shown) => boolean,
  { withinMs = 10_000, givenUp = () => false }: { readonly withinMs?: number; readonly givenUp?: () => boolean } = {},
): Promise<Shown | null> {
  const end = performance.now() + withinMs;
  for (;;) {
    const shown = await shownIn(page);
    if (wanted(shown)) return shown;
    if (givenUp() || performance.now() > end) return null;
    await new Promise((settle) => setTimeout(settle, 5));
  }
}
