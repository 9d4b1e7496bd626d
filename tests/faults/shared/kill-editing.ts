/** The program killed while somebody edits, again and again on one library, each restart being the start of the next round. */
import { randomUUID } from "node:crypto";
import { join } from "node:path";
import type { Browser, BrowserContext } from "playwright";
import { type Dice, diceOf } from "./dice.ts";
import type { Tally } from "./fault.ts";
import { differenceOf, Ledger } from "./ledger.ts";
import { freePort, killLeftovers, type Program, startProgram } from "./program.ts";
import { rawFaults } from "./raw-check.ts";
import { ScriptedUser } from "./scripted-user.ts";
import { type View, views } from "./shown.ts";
import { goTo, openDemo, type OpenWindow } from "./window.ts";

/** How long somebody edits at most before the kill comes. */
const editingMs = 1500;
const aimedMs = 50;
const killsALibrary = 30;
/** Share of the kills that are followed by another in the next start. */
const killedAgain = 0.1;

const namesOf = (marks: string) =>
  marks
    .split("\n")
    .map((line) => line.replace(/(?: (?:-?[\d.]+|unmeasured)){2}$/u, ""))
    .toSorted()
    .join("\n");

/** A row of killed rounds on libraries that grow. */
export class KilledWhileEditing {
  readonly #folder: string;
  readonly #browser: Browser;
  readonly #tally: Tally;
  readonly #losses: string[];
  #context: BrowserContext | null = null;
  #port = 0;
  #libraryPath = "";
  #kills = 0;
  #ledger = new Ledger();
  #live: { readonly program: Program; readonly window: OpenWindow } | null = null;
  #view: View = "marks";
  /** Whether stakes were edited since the marks were looked at. */
  #hasStaked = false;

  constructor(parts: { folder: string; browser: Browser; tally: Tally; losses: string[] }) {
    this.#folder = parts.folder;
    this.#browser = parts.browser;
    this.#tally = parts.tally;
    this.#losses = parts.losses;
  }

  /** One kill. `seed` draws the edits and the instant. */
  async round(seed: number): Promise<void> {
    const dice = diceOf(seed);
    try {
      await this.#round(dice, seed);
    } catch (error) {
      this.#lose(seed, `the round did not come to its end: ${error instanceof Error ? error.message : String(error)}`);
      await this.#anew();
    }
  }

  async close(): Promise<void> {
    await this.#live?.window.close();
    await this.#live?.program.stop();
    this.#live = null;
  }

  #lose(seed: number, sentence: string): void {
    this.#losses.push(`seed ${seed}, ${this.#view}: ${sentence}`);
  }

  /** Another library for the next round: what follows from a loss is not counted again. */
  async #anew(): Promise<void> {
    await this.#live?.window.close().catch(() => undefined);
    killLeftovers();
    this.#live = null;
    this.#libraryPath = "";
  }

  async #open(): Promise<{ program: Program; window: OpenWindow }> {
    // The same browser at the same port: the strip of pictures is made once, and not in every round.
    this.#context ??= await this.#browser.newContext();
    if (this.#port === 0) this.#port = await freePort();
    const program = startProgram(this.#libraryPath, { port: this.#port });
    const window = await openDemo(this.#context, await program.address);
    this.#live = { program, window };
    return this.#live;
  }

  async #round(dice: Dice, seed: number): Promise<void> {
    if (this.#libraryPath === "" || this.#kills % killsALibrary === 0) {
      await this.close();
      this.#libraryPath = join(this.#folder, `${randomUUID()}.crewglass`);
      this.#ledger = new Ledger();
      this.#kills = 0;
      this.#tally.add("libraries");
    }
    const { program, window } = this.#live ?? (await this.#open());
    this.#view = dice.pick(views);
    await this.#arrive(window, seed);
    await this.#editUntilKilled(program, window, dice, seed);
    this.#kills += 1;

    const raw = rawFaults(this.#libraryPath);
    if (raw.length > 0) this.#lose(seed, raw.join("; "));
    await window.close();
    this.#live = null;
    if (dice.share() < killedAgain) await this.#killInStart(dice, seed);
    await this.#verify((await this.#open()).window, dice, seed);
  }

  /** Killed once more while it reads the log that the first kill has left. */
  async #killInStart(dice: Dice, seed: number): Promise<void> {
    const program = startProgram(this.#libraryPath, { port: this.#port });
    await new Promise((settle) => setTimeout(settle, 1000 * dice.share()));
    await program.kill();
    const raw = rawFaults(this.#libraryPath);
    if (raw.length > 0) this.#lose(seed, `after a second kill: ${raw.join("; ")}`);
    this.#tally.add("killed again in the next start");
  }

  /** To the view of this round; what it shows must be what it showed last. */
  async #arrive(window: OpenWindow, seed: number): Promise<void> {
    const { text } = await goTo(window.page, this.#view);
    // Stakes of one frame help to measure others of its film: who is marked stays, and where that is in yards may not.
    const counts = this.#view === "marks" && this.#hasStaked ? namesOf : (shown: string) => shown;
    const known = this.#ledger.texts.get(this.#view);
    if (known !== undefined && counts(known) !== counts(text)) this.#lose(seed, differenceOf(known, text));
    this.#ledger.take(this.#view, text);
    if (this.#view === "marks") this.#hasStaked = false;
    if (this.#view === "stakes") this.#hasStaked = true;
  }

  async #editUntilKilled(program: Program, window: OpenWindow, dice: Dice, seed: number): Promise<void> {
    let killed: Promise<void> | null = null;
    const kill = () => (killed ??= program.kill());
    let timer: NodeJS.Timeout | undefined;
    // Some fall where they may; some into the first moments after a key, when the edit is on its way to the disk.
    const isAimed = dice.share() < 0.4;
    let keysLeft = isAimed ? dice.below(6) : Number.POSITIVE_INFINITY;
    const afterMs = dice.share() * (isAimed ? aimedMs : editingMs);
    if (!isAimed) timer = setTimeout(() => void kill(), afterMs);
    const user = new ScriptedUser({
      page: window.page,
      dice,
      ledger: this.#ledger,
      view: this.#view,
      hasEnded: () => killed !== null,
      onKey: () => {
        if (keysLeft-- === 0) timer = setTimeout(() => void kill(), afterMs);
      },
    });
    // An edit may wait for a window that hangs: a kill that is never drawn comes in the end all the same.
    const last = setTimeout(() => void kill(), 20_000);
    while (killed === null) {
      const end = await user.edit().catch((error: unknown) => {
        if (killed === null) throw error;
        return "cut off" as const;
      });
      this.#tally.add(end === "saved" ? "edits shown as saved" : `edits ${end}`);
      if (end === "refused") this.#tally.add(`refused: ${user.refusal}`);
      if (end === "silent")
        this.#lose(seed, `${this.#ledger.intent?.what} was neither saved nor refused in ten seconds`);
      if (end === "silent") break;
    }
    clearTimeout(timer);
    clearTimeout(last);
    await kill();
    this.#tally.add(isAimed ? "kills within 50 ms of a key" : "kills at a random instant");
  }

  async #verify(window: OpenWindow, dice: Dice, seed: number): Promise<void> {
    const ledger = this.#ledger;
    const view = this.#view;
    const { text } = await goTo(window.page, view);
    const wanted = ledger.texts.get(view) ?? "";
    const underWay = ledger.intent?.what ?? "nothing";
    const verdict = ledger.settle(view, text);
    if (verdict === "wrong") {
      this.#lose(seed, `after the restart (under way: ${underWay}) ${differenceOf(wanted, text)}`);
      return this.#anew();
    }
    this.#tally.add(`shown again ${verdict}`);
    const step = ledger.next("undo", view);
    if (!step) return void this.#tally.add("nothing to take back");
    const user = new ScriptedUser({ page: window.page, dice, ledger, view });
    for (const kind of ["undo", "redo"] as const) {
      const end = await user[kind]();
      const should = kind === "undo" ? step.before : step.after;
      const is = ledger.texts.get(view) ?? "";
      if (end === "saved" && is === should) continue;
      this.#lose(
        seed,
        `${kind} after the restart (under way: ${underWay}): ${end} ${user.refusal} ${differenceOf(should, is)}`,
      );
      return this.#anew();
    }
    this.#tally.add("taken back and made again");
  }
}
