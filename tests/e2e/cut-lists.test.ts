/** Cut lists out of the demo game and into it again by the window's own files: WebVTT, CSV, and a table from elsewhere. */
import { readFileSync } from "node:fs";
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { demoWindow } from "./demo-window.ts";

const window = demoWindow();

async function openBreakdown(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Breakdown", exact: true }).click();
  await page.locator(".play-sheet tbody tr").first().waitFor();
  await page.getByLabel("Time and frame").waitFor();
}

async function exported(page: Page, name: RegExp): Promise<string> {
  await page.getByRole("button", { name: "Cut lists…" }).click();
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name }).click()]);
  await page.getByRole("dialog").getByRole("button", { name: "Close" }).click();
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
  const vtt = await exported(page, /^Export WebVTT/u);
  const csv = await exported(page, /^Export CSV/u);
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
    await page.getByRole("button", { name: "Cut lists…" }).click();
    await chooseFile(page, name, text);
    await page.getByText("3 new, 0 changed, 12 there already, 0 left out.").waitFor();
    await page.getByRole("button", { name: "Import 3 plays", exact: true }).click();
    await expect.poll(() => sheet(page)).toEqual(before);
    await page.getByRole("button", { name: "Undo: Import 3 plays" }).click();
    await expect.poll(() => page.locator(".play-sheet tbody tr").count()).toBe(12);
  }
});

test("a table from elsewhere: columns that its headings do not tell are said by the person; what clashes is shown before", async () => {
  const { page } = window;
  await openBreakdown(page);
  await page.getByRole("button", { name: "Cut lists…" }).click();
  await chooseFile(page, "other.csv", "Clip;T1;T2;Down\n1;0:05,2;0:10,2;4\n2;not a time;0:12;1\n");
  await page.getByText("0 new, 0 changed, 0 there already, 2 left out.").waitFor();
  await page.getByRole("region", { name: "Columns of the file" }).getByLabel("start_s").selectOption({ label: "T1" });
  await page.getByRole("region", { name: "Columns of the file" }).getByLabel("end_s").selectOption({ label: "T2" });
  await page.getByText("It lies over play 2, which stays as it is.").waitFor();
  await page.getByText("line 3: start_s: “not a time” cannot be read.").waitFor();
  await page.getByLabel("Change plays that are there to what the list says").check();
  await page.getByText("0 new, 1 changed, 0 there already, 1 left out.").waitFor();
  await page.getByRole("button", { name: "Import 1 play" }).click();
  await expect.poll(() => page.locator('.play-sheet tr[data-number="2"] .column-down').innerText()).toBe("4");
  await page.keyboard.press("Control+z");
  await expect.poll(() => page.locator('.play-sheet tr[data-number="2"] .column-down').innerText()).toBe("2");

  await page.getByRole("button", { name: "Cut lists…" }).click();
  await chooseFile(page, "notes.vtt", 'start_s,"no end');
  await page.getByText(/notes\.vtt: Line 1: A quoted cell does not end\./u).waitFor();
  expect(await page.getByRole("button", { name: "Import 0 plays" }).isDisabled()).toBe(true);
});
