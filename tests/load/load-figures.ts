/** Everything that the load group reads of one library: in the running program, by keys and clicks, and by its commands. */
import { spawnSync } from "node:child_process";
import { mkdirSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Browser, Page } from "playwright";
import { launchShell, projectRoot } from "../helpers/launch.ts";
import { gameTitle, type InventedCounts } from "./invented-library.ts";
import { framesWhile, inputToShown, median } from "./input-timing.ts";
import { launchBrowser, memoryOf, sizeMB, windowMemoryMB } from "./running-program.ts";

/** Figures by name; what each is measured in and held to is said where they are printed. */
export type LoadFigures = Record<string, number>;

const place = (page: Page, name: string) =>
  page.getByRole("navigation", { name: "Places" }).getByRole("button", { name, exact: true });
/** A list of choices takes letters typed within a second for one word. */
const selectForgetsMs = 1100;
/** Whoever goes from play to play looks at each for so long at least; what comes next is made ready meanwhile. */
const lookedAtMs = 700;
const sheetRow = ".play-sheet tbody tr";

/** Several times over, since single figures swing; the middle one counts. */
async function several(times: number, measure: (turn: number) => Promise<number>): Promise<number> {
  const values: number[] = [];
  for (let turn = 0; turn < times; turn++) values.push(await measure(turn));
  return median(values);
}

async function openGame(page: Page, title: string): Promise<number> {
  await place(page, "Games").click();
  const open = page.getByRole("button", { name: new RegExp(`(?:^O|: o)pen ${title}$`, "u") });
  await open.waitFor();
  // The games list goes with the first click; findings are there when the film has shown its first judged frame.
  return inputToShown(page, { selector: "article.finding" }, () => open.click());
}

async function measureGames(page: Page, games: number, figures: LoadFigures): Promise<void> {
  figures["games-list"] = await several(3, async () => {
    await place(page, "Mechanics").click();
    await page.locator(".mechanics h1").waitFor();
    return inputToShown(page, { selector: ".game-row", count: games }, () => place(page, "Games").click());
  });
  const field = page.getByRole("searchbox", { name: "Find in the library" });
  figures["find"] = await several(4, async (turn) => {
    // A word of every text, and one of none: all of the library is looked through for it.
    await field.fill(turn % 2 === 0 ? "book askq" : "book askx");
    await page.locator(".find [role=status]", { hasText: "Nothing in the library" }).waitFor();
    await field.press("End");
    await field.press("Backspace");
    await page.waitForTimeout(lookedAtMs);
    const matches = turn % 2 === 0 ? "^The first" : "^Nothing in";
    return inputToShown(page, { selector: ".find [role=status]", matches }, () =>
      field.press(turn % 2 === 0 ? "s" : "z"),
    );
  });
  await field.fill("");
  // The first game has a long history, the second has none.
  figures["open-corrected-game"] = await openGame(page, gameTitle(1));
  const others = Array.from({ length: Math.min(3, games - 1) }, (_, index) => gameTitle(index + 2));
  figures["open-game"] = await several(others.length, (turn) => openGame(page, others[turn] ?? ""));
  await openGame(page, gameTitle(1));
}

async function measureFieldbook(page: Page, figures: LoadFigures): Promise<void> {
  const crumbs = page.locator(".fieldbook .crumbs");
  await page.locator(".film-pane").focus();
  const toNext = async () => {
    const now = Number(/^Play (\d+),/u.exec(await crumbs.innerText())?.[1]);
    const next = { selector: ".fieldbook .crumbs", matches: `^Play ${now + 1},` };
    return inputToShown(page, next, () => page.keyboard.press("PageDown"));
  };
  figures["play-to-play"] = await several(7, async () => {
    await page.waitForTimeout(lookedAtMs);
    return toNext();
  });
  figures["play-to-play-at-once"] = await several(7, toNext);
  await page.getByRole("tab", { name: /Marks/u }).click();
  const referee = page.locator('tr[data-mark="R"]');
  await referee.getByRole("button").first().click();
  await page.locator(".film-pane").focus();
  const x = async () => (await referee.getAttribute("data-x")) ?? "";
  const [edits, undos]: [number[], number[]] = [[], []];
  for (let turn = 0; turn < 7; turn++) {
    const before = await x();
    const other = { selector: 'tr[data-mark="R"]', attribute: "data-x", matches: `^(?!${before}$)` };
    edits.push(await inputToShown(page, other, () => page.keyboard.press("Shift+ArrowRight")));
    const back = { selector: 'tr[data-mark="R"]', attribute: "data-x", matches: `^${before}$` };
    undos.push(await inputToShown(page, back, () => page.keyboard.press("Control+z")));
  }
  figures["edit-saved"] = median(edits);
  figures["undo"] = median(undos);
  await page.keyboard.press("Escape");
}

async function measureSheet(page: Page, plays: number, figures: LoadFigures): Promise<void> {
  figures["play-sheet"] = await inputToShown(page, { selector: sheetRow, count: plays }, () =>
    place(page, "Breakdown").click(),
  );
  const since = performance.now();
  await page.getByText("findings being read").waitFor({ state: "detached", timeout: 120_000 });
  figures["play-sheet-all-judged"] = performance.now() - since;
  await place(page, "Field book").click();
  await page.locator("article.finding, .sheet-page").first().waitFor();
  // As long as findings are still being read the line goes on to say so.
  const judged = { selector: ".play-sheet .progress", matches: "graded$" };
  figures["play-sheet-again-judged"] = await inputToShown(page, judged, () => place(page, "Breakdown").click());
  const header = page.getByRole("region", { name: "Play sheet" }).getByRole("button", { name: "Missed" });
  figures["play-sheet-sort"] = await several(5, async (turn) => {
    const order = turn % 2 === 0 ? "descending" : "ascending";
    return inputToShown(page, { selector: ".play-sheet th[aria-sort]", attribute: "aria-sort", matches: order }, () =>
      header.press("Enter"),
    );
  });
  const down = page.getByRole("group", { name: "Show only" }).getByLabel("Down");
  figures["play-sheet-filter"] = await several(4, async (turn) => {
    await down.focus();
    await page.waitForTimeout(selectForgetsMs);
    const rows = await page.locator(sheetRow).count();
    const key = turn % 2 === 0 ? "2" : "a";
    const first = `${sheetRow}:nth-child(${rows})`;
    // Fewer rows leave no row at the number of the last; all of them bring more than there were.
    const shown = turn % 2 === 0 ? { selector: first, count: 0 } : { selector: sheetRow, count: plays };
    return inputToShown(page, shown, () => page.keyboard.press(key));
  });
  await page.locator(".play-sheet .table-room").hover();
  const { frames, late } = await framesWhile(page, async () => {
    for (let step = 0; step < 60; step++) {
      await page.mouse.wheel(0, step < 30 ? 80 : -80);
      await page.waitForTimeout(16);
    }
  });
  figures["play-sheet-late-frames"] = (100 * late) / Math.max(1, frames);
}

async function measureGrades(page: Page, figures: LoadFigures): Promise<void> {
  const graded = { selector: ".grade-table button", attribute: "aria-label", matches: "^Play 100, .*: graded" };
  figures["grade-sheet"] = await inputToShown(page, graded, () => place(page, "Grades").click());
  const since = performance.now();
  const cells = page.getByRole("button", { name: /^Play \d+, \w+, \w+: graded [24], suggested [234]$/u });
  await cells.first().waitFor({ timeout: 120_000 });
  figures["grade-sheet-all-suggested"] = performance.now() - since;
  const names = await cells.evaluateAll((all) => all.map((one) => one.getAttribute("aria-label") ?? ""));
  const differing = names.filter((one) => /graded (\d), suggested (?!\1)/u.test(one)).slice(0, 5);
  figures["grade-typed"] = await several(differing.length, async (turn) => {
    const name = differing[turn] ?? "";
    const [subject = ""] = name.split(":");
    const cell = page.getByRole("button", { name: new RegExp(`^${subject}:`, "u") });
    await cell.click();
    const suggested = name.slice(-1);
    const label = `^${subject}: graded ${suggested}, suggested ${suggested}$`;
    return inputToShown(page, { selector: ".grade-table button", attribute: "aria-label", matches: label }, () =>
      page.keyboard.press("a"),
    );
  });
}

async function measureSeason(page: Page, folder: string, figures: LoadFigures): Promise<void> {
  const row = ".season-table tbody tr";
  figures["season-totals"] = await inputToShown(page, { selector: row }, () => place(page, "Season").click());
  const position = page.getByLabel("Position");
  figures["season-position"] = await several(4, async (turn) => {
    await position.focus();
    await page.waitForTimeout(selectForgetsMs);
    const wanted = turn % 2 === 0 ? "R" : "L";
    const caption = { selector: ".season-table caption", matches: `^${wanted}` };
    return inputToShown(page, caption, () => page.keyboard.press(wanted));
  });
  figures["eligibility"] = await inputToShown(
    page,
    { selector: ".season-table caption", matches: "hold all rules$" },
    () => page.getByRole("button", { name: "Eligibility", exact: true }).click(),
  );
  await page.getByRole("button", { name: "Export…" }).click();
  await page.getByLabel("Into a new folder in").fill(folder);
  figures["season-export"] = await inputToShown(page, { selector: ".export-bar", matches: "^5 files written to" }, () =>
    page.getByRole("button", { name: "Write the season" }).click(),
  );
  await page.keyboard.press("Escape");
}

/** Throws where the export does not hold every grade of the library. */
function assertWhole(folder: string, grades: number): void {
  const out = join(folder, readdirSync(folder)[0] ?? "");
  const lines = readFileSync(join(out, "audit.csv"), "utf8").trim().split("\r\n").length - 1;
  if (lines < grades) throw new Error(`The export tells of ${lines} grades and rulings of ${grades}.`);
}

export async function loadFigures(
  libraryPath: string,
  counts: InventedCounts,
  playsPerGame: number,
): Promise<LoadFigures> {
  const figures: LoadFigures = {};
  const exportFolder = `${libraryPath}-out`;
  mkdirSync(exportFolder);
  figures["start"] = await several(3, async () => {
    const began = performance.now();
    const shell = await launchShell({ libraryPath });
    const took = performance.now() - began;
    await shell.stop({ keepLibrary: true });
    return took;
  });
  const shell = await launchShell({ libraryPath });
  const browser: Browser = await launchBrowser();
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    const asked = performance.now();
    await page.goto(shell.address);
    await page.locator(".game-row").nth(counts.titles.length - 1).waitFor(); // prettier-ignore
    figures["first-usable-screen"] = performance.now() - asked;
    figures["program-memory-idle"] = memoryOf(shell.pid).proportional;
    await measureGames(page, counts.titles.length, figures);
    await measureFieldbook(page, figures);
    figures["window-memory-in-a-game"] = await windowMemoryMB(browser);
    await measureSheet(page, playsPerGame, figures);
    await measureGrades(page, figures);
    await measureSeason(page, exportFolder, figures);
    assertWhole(exportFolder, counts.grades);
    figures["program-memory-after-all"] = memoryOf(shell.pid).proportional;
    figures["window-memory-after-all"] = await windowMemoryMB(browser);
  } finally {
    await browser.close();
    await shell.stop({ keepLibrary: true });
  }
  const began = performance.now();
  const command = join(projectRoot, "src-main", "command", "crewglass.ts");
  const check = spawnSync(process.execPath, [command, "check", libraryPath], { cwd: projectRoot, encoding: "utf8" });
  figures["check"] = performance.now() - began;
  if (check.status !== 0) throw new Error(`The library is not whole: ${check.stdout}${check.stderr}`);
  figures["file-size"] = sizeMB(libraryPath);
  return figures;
}
