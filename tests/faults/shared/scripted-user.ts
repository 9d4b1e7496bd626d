/**
 * Somebody who edits all the time, by keys and pointer, with the edits drawn from dice. Each edit waits until the window shows
 * it as saved, and goes to the ledger then; what is under way is in the ledger before its key is pressed.
 */
import type { Page } from "playwright";
import type { Dice } from "./dice.ts";
import type { Ledger } from "./ledger.ts";
import { shownIn, untilShown, type View } from "./shown.ts";

export type UserOptions = {
  readonly page: Page;
  readonly dice: Dice;
  readonly ledger: Ledger;
  readonly view: View;
  /** Called just before the key or click that makes an edit. */
  readonly onKey?: () => void;
  /** True once the program has been killed: nothing is waited for any more. */
  readonly hasEnded?: () => boolean;
};

/** How an edit ended. "silent": neither saved nor refused, with nothing said. */
export type EditEnd = "saved" | "refused" | "silent" | "cut off";

/** One edit: what leads up to it, and the key or click that makes it. */
type Edit = {
  readonly what: string;
  readonly press: () => Promise<unknown>;
  /** What is put away once the edit is saved or refused. */
  readonly after?: () => Promise<unknown>;
} | null;

export class ScriptedUser {
  readonly #options: UserOptions;
  /** Where in the window somebody was placed last, for a drag. Pixels. */
  #placedAt: { readonly x: number; readonly y: number } | null = null;
  /** The sentence of the last refusal, and what the last edit was. */
  refusal = "";
  last = "";

  constructor(options: UserOptions) {
    this.#options = options;
  }

  /** One edit, or one undo or redo, from the dice. */
  async edit(): Promise<EditEnd> {
    const { dice, ledger, view, page } = this.#options;
    await dismissNotices(page);
    const chance = dice.share();
    if (chance < 0.12 && ledger.next("undo", view))
      return this.#carryOut("undo", { what: "undo", press: () => page.keyboard.press("Control+z") });
    if (chance < 0.3 && ledger.next("redo", view))
      return this.#carryOut("redo", { what: "redo", press: () => page.keyboard.press("Control+y") });
    for (;;) {
      const edit = await this.#draw();
      if (edit) return this.#carryOut("edit", edit);
      if (this.#options.hasEnded?.()) return "cut off";
    }
  }

  async undo(): Promise<EditEnd> {
    await dismissNotices(this.#options.page);
    return this.#carryOut("undo", { what: "undo", press: () => this.#options.page.keyboard.press("Control+z") });
  }

  async redo(): Promise<EditEnd> {
    await dismissNotices(this.#options.page);
    return this.#carryOut("redo", { what: "redo", press: () => this.#options.page.keyboard.press("Control+y") });
  }

  async #carryOut(kind: "edit" | "undo" | "redo", edit: NonNullable<Edit>): Promise<EditEnd> {
    const { page, ledger, view, onKey, hasEnded = () => false } = this.#options;
    const before = ledger.texts.get(view) ?? "";
    if (hasEnded()) return "cut off";
    this.last = edit.what;
    this.refusal = "";
    ledger.begin({ kind, view, what: edit.what });
    onKey?.();
    await edit.press();
    // A dead program is given a moment: an answer may be on its way already, and what it shows must be there again.
    let endedMs: number | null = null;
    const shown = await untilShown(
      page,
      (now) => now.view === view && now.saved && (now.text !== before || now.notices.length > 0),
      {
        givenUp: () => {
          if (!hasEnded()) return false;
          endedMs ??= performance.now();
          return performance.now() - endedMs > 80;
        },
      },
    );
    if (!hasEnded()) await edit.after?.();
    // Whoever was placed last may stand elsewhere after an undo, or not at all.
    if (kind !== "edit") this.#placedAt = null;
    if (shown === null) return hasEnded() ? "cut off" : "silent";
    if (shown.text === before) {
      // Once the program is dead a notice says nothing of whether the edit was written.
      if (hasEnded()) return "cut off";
      this.refusal = shown.notices.join(" ");
      ledger.refused();
      return "refused";
    }
    ledger.acknowledge(shown.text);
    return "saved";
  }

  async #draw(): Promise<Edit> {
    switch (this.#options.view) {
      case "marks":
        return this.#drawMark();
      case "stakes":
        return this.#drawStake();
      case "grades":
        return this.#drawGrade();
      case "times":
        return this.#drawTime();
    }
  }

  /** A point of the film's ground in the window. */
  async #ground(): Promise<{ x: number; y: number }> {
    const { page, dice } = this.#options;
    const box = await page.locator(".film-pane").boundingBox();
    if (!box) throw new Error("there is no film");
    return { x: box.x + box.width * (0.2 + 0.6 * dice.share()), y: box.y + box.height * (0.5 + 0.3 * dice.share()) };
  }

  async #drawMark(): Promise<Edit> {
    const { page, dice } = this.#options;
    const rows = page.locator("tr[data-mark]");
    const chance = dice.share();
    if (chance < 0.3) {
      const letter = dice.pick(["R", "L", "F", "B"]);
      const at = await this.#ground();
      await page.locator(".film-pane").focus();
      await page.mouse.move(at.x, at.y);
      this.#placedAt = at;
      return {
        what: `the official of ${letter} at the pointer`,
        press: () => page.keyboard.press(letter.toLowerCase()),
      };
    }
    if (chance < 0.45 && (await rows.count()) < 40) {
      const who = dice.pick(["A receiver", "A back", "B defender"]);
      await page.getByRole("button", { name: `Mark ${who}`, exact: true }).click();
      const at = await this.#ground();
      await page.keyboard.down("Shift");
      this.#placedAt = at;
      return {
        what: `${who} by a click`,
        press: async () => {
          await page.mouse.click(at.x, at.y);
          await page.keyboard.up("Shift");
        },
      };
    }
    if (chance < 0.6 && this.#placedAt) {
      const from = this.#placedAt;
      const to = await this.#ground();
      await page.mouse.move(from.x, from.y);
      // What was placed just now can be taken hold of once it has been drawn.
      await page.evaluate(() => new Promise((settle) => requestAnimationFrame(() => requestAnimationFrame(settle))));
      await page.mouse.down();
      await page.mouse.move((from.x + to.x) / 2, (from.y + to.y) / 2);
      await page.mouse.move(to.x, to.y);
      this.#placedAt = to;
      return { what: "a drag", press: () => page.mouse.up() };
    }
    const count = await rows.count();
    if (count === 0) return null;
    const row = rows.nth(dice.below(count));
    this.#placedAt = null;
    if (chance < 0.88 || count < 8) {
      await row.locator("button.link").click();
      await page.locator(".film-pane").focus();
      const key = `${dice.pick(["", "Shift+"])}Arrow${dice.pick(["Left", "Right", "Up", "Down"])}`;
      return { what: `a move by ${key}`, press: () => page.keyboard.press(key) };
    }
    await row.locator("button.link").click();
    await page.locator(".film-pane").focus();
    return { what: "a mark taken away", press: () => page.keyboard.press("Delete") };
  }

  async #drawStake(): Promise<Edit> {
    const { page, dice } = this.#options;
    const table = page.getByRole("region", { name: "Stakes" });
    const names = table.getByRole("combobox");
    const count = await names.count();
    const chance = dice.share();
    const free = async (list: ReturnType<Page["locator"]>) => {
      const values = await list
        .locator("option:not([disabled])")
        .evaluateAll((all) =>
          all.map((one) => (one as HTMLOptionElement).value).filter((one) => one !== "" && !one.startsWith("line:")),
        );
      return dice.pick(values);
    };
    if (chance < 0.4 && count < 12) {
      const list = page.getByLabel("Or by name");
      await list.selectOption(await free(list));
      const at = await this.#ground();
      await page.keyboard.down("Shift");
      return {
        what: "a stake by a click",
        press: async () => {
          await page.mouse.click(at.x, at.y);
          await page.keyboard.up("Shift");
        },
      };
    }
    if (count === 0) return null;
    const at = dice.below(count);
    if (chance < 0.75) {
      const list = names.nth(at);
      const value = await free(list);
      if (value === (await list.inputValue())) return null;
      return { what: "a stake named anew", press: () => list.selectOption(value) };
    }
    const away = table.getByRole("button", { name: /^Take the stake/u }).nth(at);
    return { what: "a stake taken away", press: () => away.click() };
  }

  async #drawGrade(): Promise<Edit> {
    const { page, dice } = this.#options;
    const cells = page.locator(".grade-table td button");
    const cell = cells.nth(dice.below(await cells.count()));
    const name = (await cell.getAttribute("aria-label")) ?? "";
    const suggested = /suggested (\d)/u.exec(name)?.[1];
    await cell.click();
    if (!name.includes("not graded")) {
      if (dice.share() < 0.4) return { what: `${name} taken back`, press: () => page.keyboard.press("Delete") };
      if (name.includes("cannot be judged")) return null;
      return { what: `${name} now not to be judged`, press: () => page.keyboard.press("c") };
    }
    if (suggested === undefined || dice.share() < 0.2)
      return { what: `${name}, not to be judged`, press: () => page.keyboard.press("c") };
    if (dice.share() < 0.5) return { what: `${name}, accepted`, press: () => page.keyboard.press("a") };
    const points = dice.pick(["1", "2", "3", "4"].filter((one) => one !== suggested));
    await page.keyboard.press(points);
    await page.locator(".grade-form [role=alert]").waitFor();
    await page.getByLabel("Reason").fill("Seen otherwise on the film.");
    return { what: `${name}, given ${points} with a reason`, press: () => page.getByLabel("Comment").focus() };
  }

  async #drawTime(): Promise<Edit> {
    const { page, dice } = this.#options;
    const chance = dice.share();
    if (chance < 0.5) {
      const tick = page.getByRole("slider", { name: /^(?:Snap|Release) of play/u }).nth(dice.below(2));
      if ((await tick.count()) === 0) return null;
      await tick.focus();
      const key = dice.pick(["ArrowLeft", "ArrowRight"]);
      return { what: `a time moved by ${key}`, press: () => page.keyboard.press(key) };
    }
    const number = Number(/play (\d+)/u.exec(await page.locator(".crumbs").innerText())?.[1]);
    const cell = (name: string) => page.locator(`.play-sheet tr[data-number="${number}"] .column-${name}`);
    if (chance < 0.7) {
      const down = dice.pick(["1", "2", "3", "4"]);
      if ((await cell("down").innerText()) === down) return null;
      await page.locator(".film-pane").focus();
      return { what: `down ${down}`, press: () => page.keyboard.press(down) };
    }
    if (chance < 0.85) {
      const yards = dice.pick(["3", "5", "7", "9"]);
      if ((await cell("toGo").innerText()) === yards) return null;
      await page.locator(".film-pane").focus();
      await page.keyboard.press("f");
      await page.keyboard.type(yards);
      return { what: `${yards} to go`, press: () => page.keyboard.press("Enter") };
    }
    await page.getByRole("button", { name: "Films…" }).click();
    const field = page.getByLabel(/^Name of the film/u);
    await field.fill(`Film ${dice.below(1000)} from the tower`);
    return {
      what: "the film's title",
      press: () => field.press("Enter"),
      after: () => page.keyboard.press("Escape"),
    };
  }
}

export async function dismissNotices(page: Page): Promise<void> {
  while ((await shownIn(page)).notices.length > 0) {
    await page.locator(".notices").getByRole("button", { name: "Dismiss" }).first().click({ timeout: 10_000 });
  }
}
