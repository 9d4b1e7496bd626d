/** Cut lists out of the demo game and into it again by the window's own files: WebVTT, CSV, and a table from elsewhere. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { projectRoot } from "../helpers/launch.ts";
import { demoWindow } from "./demo-window.ts";
import { attachFilm, newGame } from "../helpers/new-game.ts";

const window = demoWindow();

async function openBreakdown(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Breakdown", exact: true }).click();
  await page.locator(".play-sheet tbody tr").first().waitFor();
  await page.getByLabel("Time and frame").waitFor();
}

async function exported(page: Page, format: "csv" | "vtt"): Promise<string> {
  await page.getByRole("button", { name: "Export a cut list…" }).click();
  const dialog = page.getByRole("dialog", { name: "Export a cut list" });
  await dialog.getByLabel("As").selectOption(format);
  await dialog.getByText(`15 plays, as “plays of Demo film.${format}”.`).waitFor();
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    dialog.getByRole("button", { name: "Save the file" }).click(),
  ]);
  expect(download.suggestedFilename()).toBe(`plays of Demo film.${format}`);
  await dialog.waitFor({ state: "detached" });
  return readFileSync(await download.path(), "utf8");
}

async function chooseFile(page: Page, name: string, text: string): Promise<void> {
  await page
    .getByLabel("File of a cut list")
    .setInputFiles({ name, mimeType: "text/plain", buffer: Buffer.from(text) });
}

const sheet = (page: Page) =>
  page.locator(".play-sheet tbody tr").evaluateAll((rows) =>
    rows.map((row) =>
      [...row.querySelectorAll("td")]
        .slice(0, 10)
        .map((cell) => cell.textContent)
        .join("|"),
    ),
  );

test("the plays as WebVTT and as CSV; three taken out of the game, each list brings the same plays back in one edit", async () => {
  const { page } = window;
  await openBreakdown(page);
  const before = await sheet(page);
  const vtt = await exported(page, "vtt");
  const csv = await exported(page, "csv");
  expect(vtt.startsWith("WEBVTT\n")).toBe(true);
  expect(csv.split("\r\n")).toHaveLength(17);

  // The first two and the last: what is left is known again as what it is.
  for (const [number, left] of [
    [1, 14],
    [1, 13],
    [13, 12],
  ] as const) {
    await page.locator(`.play-sheet tr[data-number="${number}"]`).click();
    await page.getByRole("button", { name: `Remove play ${number}`, exact: true }).click();
    await expect.poll(() => page.locator(".play-sheet tbody tr").count()).toBe(left);
  }
  for (const [name, text] of [
    ["plays.vtt", vtt],
    ["plays.csv", csv],
  ] as const) {
    await page.getByRole("button", { name: "Import a cut list…" }).click();
    await chooseFile(page, name, text);
    await page.getByText("3 new, 0 changed, 12 there already, 0 clashes, 0 left out.").waitFor();
    await page.getByRole("button", { name: "Import 3 plays", exact: true }).click();
    await expect.poll(() => sheet(page)).toEqual(before);
    await page.getByRole("button", { name: "Undo: Import 3 plays" }).click();
    await expect.poll(() => page.locator(".play-sheet tbody tr").count()).toBe(12);
  }
});

test("a table from elsewhere: columns that its headings do not tell are said by the person; what clashes is shown before", async () => {
  const { page } = window;
  await openBreakdown(page);
  await page.getByRole("button", { name: "Import a cut list…" }).click();
  await chooseFile(page, "other.csv", "Clip;T1;T2;Down\n1;0:05,2;0:10,2;4\n2;not a time;0:12;1\n");
  await page.getByText("0 new, 0 changed, 0 there already, 0 clashes, 2 left out.").waitFor();
  await page.getByRole("region", { name: "Columns of the file" }).getByLabel("start_s").selectOption({ label: "T1" });
  await page.getByRole("region", { name: "Columns of the file" }).getByLabel("end_s").selectOption({ label: "T2" });
  await page.getByText("clash line 2: It lies over play 2, which stays as it is.").waitFor();
  await page.getByText("line 3: start_s: “not a time” cannot be read.").waitFor();
  await page.getByLabel("Change plays that are there to what the list says").check();
  await page.getByText("0 new, 1 changed, 0 there already, 0 clashes, 1 left out.").waitFor();
  await page.getByText("play 2 down 2 → 4", { exact: true }).waitFor();
  await page.getByRole("button", { name: "Import 1 play" }).click();
  await expect.poll(() => page.locator('.play-sheet tr[data-number="2"] .column-down').innerText()).toBe("4");
  // The keys of an open dialog stay inside it.
  await page.getByRole("dialog").waitFor({ state: "detached" });
  await page.keyboard.press("Control+z");
  await expect.poll(() => page.locator('.play-sheet tr[data-number="2"] .column-down').innerText()).toBe("2");

  await page.getByRole("button", { name: "Import a cut list…" }).click();
  await chooseFile(page, "notes.vtt", 'start_s,"no end');
  await page.getByText(/notes\.vtt: Line 1: A quoted cell does not end\./u).waitFor();
  expect(await page.getByRole("button", { name: "Import 0 plays" }).isDisabled()).toBe(true);
});

test("a fresh game on the same film: either list makes the same plays of it, in one edit that can be undone", async () => {
  const { page } = window;
  await openBreakdown(page);
  const before = await sheet(page);
  const lists = [
    ["plays.vtt", await exported(page, "vtt")],
    ["plays.csv", await exported(page, "csv")],
  ] as const;
  expect(lists[0][1]).toMatch(
    /^WEBVTT\n\nNOTE [^\n]+\n\nplay 1\n00:00:00\.000 --> 00:00:05\.200\nPlay 1: First and 16\n\{"film":"Demo film","snap_s":1\.8,/u,
  );
  expect(lists[1][1].split("\r\n")[1]).toMatch(/^1,Demo film,0,1\.8,/u);

  await newGame(page);
  await attachFilm(page, join(projectRoot, "src-main", "demo", "film.mp4"));
  await page.getByText("frame 0", { exact: true }).waitFor();
  await page.getByRole("button", { name: "Breakdown", exact: true }).click();
  await page.getByText("No play yet: press N at the first snap.").waitFor();

  for (const [name, text] of lists) {
    await page.getByRole("button", { name: "Import a cut list…" }).click();
    await chooseFile(page, name, text);
    await page.getByText("15 new, 0 changed, 0 there already, 0 clashes, 0 left out.").waitFor();
    await page.getByRole("button", { name: "Import 15 plays", exact: true }).click();
    await expect.poll(() => sheet(page)).toEqual(before);
    await page.getByRole("button", { name: "Undo: Import 15 plays" }).click();
    await page.getByText("No play yet: press N at the first snap.").waitFor();
  }
});

test("a list pasted whose times are frames of the film", async () => {
  const { page } = window;
  await openBreakdown(page);
  await page.getByRole("button", { name: "Import a cut list…" }).click();
  const dialog = page.getByRole("dialog", { name: /^Import a cut list/u });
  await dialog.getByLabel("Or paste it here").fill("start\tend\tdown\n156\t306\t4\n");
  await dialog.getByText("1 left out.", { exact: false }).waitFor();
  expect(await dialog.getByLabel("Cells are parted by").inputValue()).toBe("\t");
  await dialog.getByLabel("Times are").selectOption("frames");
  expect(await dialog.getByLabel("Frames a second").inputValue()).toBe("30");
  await dialog.getByText("clash line 2: It lies over play 2, which stays as it is.").waitFor();
  await dialog.getByLabel("Cells are parted by").selectOption(",");
  await dialog.getByText("line 2: It says neither a start nor a snap.").waitFor();
});
