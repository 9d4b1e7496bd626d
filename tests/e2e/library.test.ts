import { readdirSync, readFileSync, statSync, truncateSync } from "node:fs";
import { dirname } from "node:path";
import type { Page } from "playwright";
import { expect, onTestFinished, test } from "vitest";
import { launchShell } from "../helpers/launch.ts";
import { serious } from "./axe-rules.ts";
import { demoWindow } from "./demo-window.ts";

const window = demoWindow();

const press = (page: Page, name: string | RegExp) => page.getByRole("button", { name }).first().click();

async function makeGame(page: Page, home: string): Promise<void> {
  await press(page, "Games");
  await press(page, "New game…");
  await page.getByLabel("Home team").fill(home);
  await page.getByLabel("Visitors").fill("Port Ansel Lanterns");
  await press(page, "Make the game");
  await page.getByRole("dialog").waitFor({ state: "detached" });
}

async function titles(page: Page): Promise<string[]> {
  await press(page, "Games");
  await page.locator(".game-row").first().waitFor();
  return (await page.locator(".game-row h2").allInnerTexts()).map((title) =>
    title.replace(/ v Port Ansel Lanterns$/u, ""),
  );
}

test("a backup is made, looked at, and put in the library's place; what was there is kept and the window begins anew", async () => {
  const { page, shell } = window;
  await makeGame(page, "Before the backup");
  await press(page, "Library");
  await page.getByText("There are no backups of this library yet.").waitFor();
  await press(page, "Look it through");
  await page.getByText("The library is whole").waitFor();
  await press(page, "Make one now");
  await page.getByText("Made and looked through").waitFor();
  expect(await serious(page)).toEqual([]);
  await makeGame(page, "After the backup");
  expect(await titles(page)).toContain("After the backup");

  await press(page, "Library");
  await press(page, /^Look at it: backup of/u);
  await page.getByText(/It is whole, and holds 2 games/u).waitFor();
  expect(await page.getByRole("dialog").innerText()).toContain("Before the backup");
  expect(await page.getByRole("dialog").innerText()).not.toContain("After the backup");
  expect(await serious(page)).toEqual([]);
  await press(page, "Put it in the library’s place");
  const said = page.getByRole("status").filter({ hasText: "is the library now" });
  await said.waitFor();
  const kept = /kept as (.+)\.\s/u.exec(`${await said.innerText()} `)?.[1] ?? "";
  await page.locator("article.finding").first().waitFor();
  expect(await titles(page)).toContain("Before the backup");
  expect(await titles(page)).not.toContain("After the backup");
  await said.getByRole("button", { name: "Dismiss" }).click();
  expect(await said.count()).toBe(0);

  expect(readdirSync(dirname(shell.libraryPath))).toContain(kept.split("/").at(-1));
  const other = await launchShell({ libraryPath: kept });
  onTestFinished(async () => void (await other.stop()));
  const second = await window.context.newPage();
  await second.goto(other.address);
  await second.locator("article.finding").first().waitFor();
  expect(await titles(second)).toContain("After the backup");
});

test("a damaged library opens a window that says so, offers its backups, and keeps the damaged file", async () => {
  const { page, shell } = window;
  await makeGame(page, "Worth keeping");
  await page.close();
  // At its end the program backs up what was edited.
  await shell.stop({ keepLibrary: true });
  truncateSync(shell.libraryPath, statSync(shell.libraryPath).size >> 1);
  const damaged = readFileSync(shell.libraryPath);
  const again = await launchShell({ libraryPath: shell.libraryPath });
  onTestFinished(async () => void (await again.stop()));
  const rescue = await window.context.newPage();
  await rescue.goto(again.address);
  await rescue.getByRole("heading", { name: "The library did not open" }).waitFor();
  expect(await rescue.getByRole("alert").first().innerText()).toContain("is damaged and was left as it is");
  await rescue.getByRole("button", { name: "Try again" }).press("Enter");
  await rescue.getByText("Tried again: it is still so.").waitFor();
  await window.context.grantPermissions(["clipboard-read", "clipboard-write"]);
  await press(rescue, "Copy details");
  await rescue.getByText("Copied.").waitFor();
  expect(await rescue.evaluate(() => navigator.clipboard.readText())).toMatch(
    /^damaged: .*\nCrewglass 0\.1\.0, Chrome/u,
  );
  expect(await serious(rescue)).toEqual([]);
  await rescue
    .getByRole("button", { name: /^Look at it: backup of/u })
    .first()
    .press("Enter");
  await rescue.getByText(/It is whole/u).waitFor();
  await rescue.getByRole("button", { name: "Put it in the library’s place" }).press("Enter");
  await rescue.getByText("is the library now").waitFor();
  expect(await titles(rescue)).toContain("Worth keeping");
  const kept = readdirSync(dirname(shell.libraryPath)).find((name) => name.includes("(damaged")) ?? "";
  expect(readFileSync(`${dirname(shell.libraryPath)}/${kept}`)).toEqual(damaged);
});

test("diagnostics can be read and copied, and hold nothing of whom or what the library is about", async () => {
  const { page } = window;
  await makeGame(page, "Marigold Cup");
  await press(page, "Library");
  await press(page, "Diagnostics");
  await page.getByText("SQLite").waitFor();
  expect(await serious(page)).toEqual([]);
  await window.context.grantPermissions(["clipboard-read", "clipboard-write"]);
  await press(page, "Copy all of it");
  await page.getByText("Copied.").waitFor();
  const text = await page.evaluate(() => navigator.clipboard.readText());
  expect(text).toMatch(/^Crewglass: 0\.1\.0\n/u);
  expect(text).toMatch(/opened schema=\d+/u);
  for (const name of ["Marigold", "Orrelby", "Herons", window.shell.libraryPath]) expect(text).not.toContain(name);
});

test("the licences of everything in the program can be read", async () => {
  const { page } = window;
  await press(page, "Library");
  await press(page, "Licences");
  const text = page.getByLabel("Licences of everything in the program");
  await text.waitFor();
  for (const name of ["react ", "better-sqlite3 ", "Mozilla Public License"])
    expect(await text.innerText()).toContain(name);
  expect(await serious(page)).toEqual([]);
});

test("an error of the window's own leaves a way on, and the log says where it was and not about whom", async () => {
  const { page, shell } = window;
  // A promise that nobody waits for, as a mistake of ours would leave.
  await page.evaluate(() => void Promise.reject(new TypeError("Ottoline Quill is not a function of this test")));
  await press(page, "Library");
  await press(page, "Diagnostics");
  await expect
    .poll(async () => {
      await press(page, "Read again");
      return page.getByLabel("Lines of the log").innerText();
    })
    .toContain("window failed");
  expect(await page.getByLabel("Lines of the log").innerText()).not.toContain("Ottoline");
  expect(shell.output()).not.toContain("Ottoline");
});
