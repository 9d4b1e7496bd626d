/**
 * One round of an evening's work, by the keys and clicks of a person in a window that stays open: nothing is reached past the
 * window. Each part checks that what was done is there, and throws where it is not. A round leaves the library with the games
 * and grades that it found; only what must grow has grown: the history of edits, and the versions of grades.
 */
import { readdirSync, readFileSync, rmSync } from "node:fs";
import { basename, join } from "node:path";
import type { Page } from "playwright";

export type Soaked = {
  readonly page: Page;
  readonly titles: readonly string[];
  /** A packet of a game that the library does not hold, and that game's title. */
  readonly packet: { readonly path: string; readonly title: string };
  /** An empty folder that exports go to. */
  readonly folder: string;
  /** Where each game's referee was left, by its title: looked for again when the game is opened next. */
  readonly left: Map<string, string>;
  /** Counts what was looked for and found. */
  checked: number;
};

const place = (page: Page, name: string) =>
  page.getByRole("navigation", { name: "Places" }).getByRole("button", { name, exact: true });

async function until(page: Page, what: string, holds: () => Promise<boolean>): Promise<void> {
  for (const end = Date.now() + 30_000; Date.now() < end; await page.waitForTimeout(50)) if (await holds()) return;
  throw new Error(`It did not come to this in 30 s: ${what}.`);
}

async function openGame({ page }: Soaked, title: string): Promise<void> {
  await place(page, "Games").click();
  await page.getByRole("button", { name: new RegExp(`(?:^O|: o)pen ${title}$`, "u") }).click();
  await page.getByRole("heading", { name: title, level: 1 }).waitFor();
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await page.locator("article.finding").first().waitFor();
}

const frameOf = async (page: Page) =>
  Number(/frame (\d+)/u.exec(await page.getByLabel("Time and frame").innerText())?.[1]);

async function stepAndPlay(soaked: Soaked): Promise<void> {
  const { page } = soaked;
  const before = await frameOf(page);
  for (const key of ["w", "w", "w", "Shift+w", "q"]) await page.keyboard.press(key);
  await until(page, "twelve frames on", async () => (await frameOf(page)) === before + 12);
  await page.keyboard.press("Space");
  await until(page, "the film runs", async () => (await frameOf(page)) > before + 20);
  await page.keyboard.press("Space");
  const running = await frameOf(page);
  await page.keyboard.press("PageDown");
  await until(page, "the next play", async () => (await frameOf(page)) !== running);
  await page.keyboard.press("PageUp");
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  soaked.checked += 3;
}

const referee = (page: Page) => page.locator('tr[data-mark="R"]');
const placeOfReferee = async (page: Page) =>
  `${await referee(page).getAttribute("data-x")} ${await referee(page).getAttribute("data-y")}`;
const saved = (page: Page) => page.locator("output.saved", { hasText: /^saved$/u }).waitFor();

/** At the first moment of the game: what the round before left is there; it is moved, taken back, made again, and left there. */
async function moveTheReferee(soaked: Soaked, title: string, round: number): Promise<void> {
  const { page, left } = soaked;
  await page.getByRole("tab", { name: /Play/u }).click();
  await page.locator(".film-pane").focus();
  for (let last = -1, now = await frameOf(page); now !== last; now = await frameOf(page)) {
    last = now;
    await page.keyboard.press("PageUp");
    await page.waitForTimeout(200);
  }
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await page.getByRole("tab", { name: /Marks/u }).click();
  await until(page, "the referee is placed", async () => (await referee(page).getAttribute("data-x")) !== null);
  const before = await placeOfReferee(page);
  const wanted = left.get(title) ?? before;
  if (before !== wanted) throw new Error(`The referee of ${title} is at ${before}, and was left at ${wanted}.`);
  await referee(page).getByRole("button").first().click();
  await page.locator(".film-pane").focus();
  await page.keyboard.press(round % 2 === 0 ? "Shift+ArrowRight" : "Shift+ArrowLeft");
  await until(page, "the referee has moved", async () => (await placeOfReferee(page)) !== before);
  await saved(page);
  const moved = await placeOfReferee(page);
  await page.keyboard.press("Control+z");
  await until(page, "the move is taken back", async () => (await placeOfReferee(page)) === before);
  await page.keyboard.press("Control+y");
  await until(page, "the move is made again", async () => (await placeOfReferee(page)) === moved);
  await saved(page);
  left.set(title, moved);
  await page.keyboard.press("Escape");
  await page.getByRole("tab", { name: /Findings/u }).click();
  soaked.checked += 4;
}

/** Another window on the same game sees an edit of this one, and is closed. */
async function lookFromAnotherWindow(soaked: Soaked, title: string): Promise<void> {
  const { page } = soaked;
  const other = await page.context().newPage();
  try {
    await other.goto(new URL("/", page.url()).href);
    await openGame({ ...soaked, page: other }, title);
    await other.getByRole("tab", { name: /Marks/u }).click();
    await page.getByRole("tab", { name: /Marks/u }).click();
    await until(other, "both windows show one place", async () => {
      return (await placeOfReferee(other)) === (await placeOfReferee(page));
    });
    await referee(page).getByRole("button").first().click();
    await page.locator(".film-pane").focus();
    await page.keyboard.press("ArrowUp");
    const before = soaked.left.get(title);
    await until(page, "the mark moves here", async () => (await placeOfReferee(page)) !== before);
    const moved = await placeOfReferee(page);
    await until(other, "the mark moves there", async () => (await placeOfReferee(other)) === moved);
    await saved(page);
    await page.keyboard.press("Control+z");
    await until(other, "it goes back there", async () => (await placeOfReferee(other)) === before);
    await page.keyboard.press("Escape");
    soaked.checked += 3;
  } finally {
    await other.close();
  }
}

async function walkThePlaySheet(soaked: Soaked): Promise<void> {
  const { page } = soaked;
  await place(page, "Breakdown").click();
  const rows = page.locator(".play-sheet tbody tr");
  await rows.first().waitFor();
  await page.getByText("findings being read").waitFor({ state: "detached" });
  const all = await rows.count();
  await page.getByRole("region", { name: "Play sheet" }).getByRole("button", { name: "Missed" }).click();
  await page.getByLabel("Missed by").selectOption("LJ");
  await until(page, "fewer plays", async () => (await rows.count()) < all || (await rows.count()) === 0);
  await page.getByLabel("Missed by").selectOption("");
  await until(page, "all plays", async () => (await rows.count()) === all);
  await page.getByRole("region", { name: "Play sheet" }).getByRole("button", { name: "Play", exact: true }).click();
  await rows.first().focus();
  for (let step = 0; step < 3; step++) await page.keyboard.press("ArrowDown");
  soaked.checked += 2;
}

async function grade(soaked: Soaked): Promise<void> {
  const { page } = soaked;
  await place(page, "Grades").click();
  const cells = page.getByRole("button", { name: /^Play \d+, \w+, \w+: graded [24], suggested [234]$/u });
  await cells.first().waitFor();
  const names = await cells.evaluateAll((all) => all.map((one) => one.getAttribute("aria-label") ?? ""));
  const name = names.find((one) => /graded (\d), suggested (?!\1)/u.test(one));
  if (name === undefined) throw new Error("No grade differs from what is suggested.");
  const [subject] = name.split(":");
  const suggested = name.slice(-1);
  const cell = page.getByRole("button", { name: new RegExp(`^${subject}:`, "u") });
  await cell.click();
  await page.keyboard.press("a");
  await until(page, `${name} accepted`, async () => {
    return (await cell.getAttribute("aria-label")) === `${subject}: graded ${suggested}, suggested ${suggested}`;
  });
  await saved(page);
  await page.getByRole("button", { name: /^Undo: Grade/u }).click();
  await until(page, `${name} again`, async () => (await cell.getAttribute("aria-label")) === name);
  await saved(page);
  await page.getByRole("button", { name: "Rulings", exact: true }).click();
  await page.getByRole("region", { name: "Rulings" }).waitFor();
  await page.getByRole("button", { name: "Pages", exact: true }).click();
  await page.locator("article.report img").first().waitFor({ timeout: 60_000 });
  await page.getByRole("button", { name: "Sheet", exact: true }).click();
  soaked.checked += 3;
}

/** Looks into everything of the season, takes a packet in, finds it in the totals, and writes it all out. */
async function goThroughTheSeason(soaked: Soaked): Promise<void> {
  const { page, packet, folder } = soaked;
  await place(page, "Season").click();
  const rows = page.locator(".season-table tbody tr");
  const gamesTotalled = async () =>
    Number(/(\d+) games?/u.exec((await page.locator(".season .crumbs").textContent()) ?? "")?.[1]);
  await rows.first().waitFor();
  const before = await gamesTotalled();
  const file = { name: basename(packet.path), base64: readFileSync(packet.path).toString("base64") };
  const data = await page.evaluateHandle(({ name, base64 }) => {
    const transfer = new DataTransfer();
    transfer.items.add(new File([Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))], name));
    return transfer;
  }, file);
  await page.dispatchEvent(".workstation", "drop", { dataTransfer: data });
  await data.dispose();
  await page.getByRole("button", { name: "Take in 1 packet" }).click();
  await page.getByText(/is taken in\./u).waitFor();
  await page.getByRole("button", { name: "Clear the list" }).click();
  for (const name of ["Eligibility", "Agreement", "Observers", "People", "Totals"]) {
    await page.getByRole("button", { name, exact: true }).click();
    await page.getByRole("region", { name, exact: true }).waitFor();
  }
  await rows.first().waitFor();
  await until(page, "the packet's game is in the totals", async () => (await gamesTotalled()) === before + 1);
  await page.getByRole("button", { name: "Places", exact: true }).click();
  await page.getByRole("img", { name: /^Stations before the snap/u }).waitFor({ timeout: 60_000 });
  await page.getByText(/^Judging game/u).waitFor({ state: "detached", timeout: 60_000 });
  await page.getByRole("button", { name: "Totals", exact: true }).click();
  await rows.first().waitFor();
  await page.getByRole("button", { name: "Export…" }).click();
  await page.getByLabel("Into a new folder in").fill(folder);
  await page.getByRole("button", { name: "Write the season" }).click();
  await page.getByText(/^5 files written to/u).waitFor({ timeout: 60_000 });
  await page.keyboard.press("Escape");
  const out = join(folder, readdirSync(folder)[0] ?? "");
  const audit = readFileSync(join(out, "audit.csv"), "utf8");
  if (!audit.includes(packet.title)) throw new Error("The export does not hold what the packet brought.");
  rmSync(out, { recursive: true });
  soaked.checked += 3;
}

async function removeThePacketsGame({ page, packet }: Soaked): Promise<void> {
  await place(page, "Games").click();
  await page.getByRole("button", { name: `Remove ${packet.title}`, exact: true }).click();
  await page.getByRole("button", { name: "Remove the game" }).click();
  await page.getByRole("heading", { name: packet.title }).waitFor({ state: "detached" });
}

async function turnTheSheets({ page }: Soaked): Promise<void> {
  await place(page, "Night sheet").click();
  await place(page, "Mechanics").click();
  await page.getByRole("tab", { name: "Compare" }).click();
  await page.getByRole("tab", { name: "Rule by rule" }).click();
  await place(page, "Keys").click();
  await page.getByRole("dialog", { name: "Keys" }).waitFor();
  await page.keyboard.press("Escape");
  await place(page, "Day sheet").click();
}

/** Ends where the next one begins, at the list of games, with one game open behind it. */
export async function soakRound(soaked: Soaked, round: number): Promise<void> {
  for (const title of soaked.titles) {
    await openGame(soaked, title);
    await stepAndPlay(soaked);
    await moveTheReferee(soaked, title, round);
  }
  const [first = "", last = ""] = [soaked.titles[0], soaked.titles.at(-1)];
  await lookFromAnotherWindow(soaked, last);
  await walkThePlaySheet(soaked);
  await openGame(soaked, first);
  await grade(soaked);
  await goThroughTheSeason(soaked);
  await turnTheSheets(soaked);
  await removeThePacketsGame(soaked);
}
