/** Three observers' packets dropped on the window: taken in once however often, a damaged one refused, totalled, and written as PDF. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import type { Page } from "playwright";
import { expect, onTestFinished, test } from "vitest";
import { observersPackets } from "../helpers/observers-packets.ts";
import { readPdf } from "../helpers/read-pdf.ts";
import { demoWindow } from "./demo-window.ts";

const window = demoWindow();

function aFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "crewglass-packets-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** As a person drops files from another window. */
async function drop(page: Page, paths: readonly string[]): Promise<void> {
  const files = paths.map((path) => ({ name: basename(path), base64: readFileSync(path).toString("base64") }));
  const data = await page.evaluateHandle((given) => {
    const transfer = new DataTransfer();
    for (const { name, base64 } of given) {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      transfer.items.add(new File([bytes], name));
    }
    return transfer;
  }, files);
  await page.dispatchEvent(".workstation", "drop", { dataTransfer: data });
}

test("three observers' packets are dropped, looked at, taken in, totalled with severity taken out, and written", async () => {
  const { page } = window;
  const folder = aFolder();
  const { paths, grades } = await observersPackets(
    folder,
    [
      { name: "Wendeline Askew", severity: 0.7 },
      { name: "Hartmut Pillgrove", severity: 0 },
      { name: "Sidony Crake", severity: -0.7 },
    ],
    4,
  );
  const damaged = join(folder, "damaged.crewpacket");
  const whole = readFileSync(paths[0]!);
  writeFileSync(damaged, whole.subarray(0, whole.length - 200));
  await drop(page, [...paths, damaged]);
  await page
    .getByRole("alert")
    .getByText(/damaged\.crewpacket is not taken in\./u)
    .waitFor();
  await page.getByRole("button", { name: "Take in 12 packets" }).click();
  await expect.poll(() => page.locator(".season-table tbody tr").count()).toBe(12);
  // Left and come back to, the place shows the season: what was taken in does not wait again.
  await page.getByRole("button", { name: "Games", exact: true }).click();
  await page.getByRole("heading", { name: "Games", exact: true }).waitFor();
  await page.getByRole("button", { name: "Season", exact: true }).click();
  await page.getByRole("region", { name: "Totals" }).getByRole("rowheader").first().waitFor();
  // The same once more: it is all there already.
  await drop(page, paths.slice(0, 1));
  await page
    .getByText(/Wendeline Askew 1\.crewpacket/u)
    .first()
    .waitFor();
  await page.getByRole("button", { name: "Take in 1 packet" }).click();
  await expect.poll(() => page.locator(".season-table tbody tr").count()).toBe(12);

  await page.getByRole("button", { name: "Observers", exact: true }).click();
  const severity = async (name: string) =>
    Number(
      (
        await page
          .getByRole("row", { name: new RegExp(`^${name}`, "u") })
          .first()
          .locator("b")
          .innerText()
      ).replace("−", "-"),
    );
  await page.getByRole("rowheader", { name: "Wendeline Askew" }).waitFor();
  expect(await page.getByText(`${grades} grades`).count()).toBe(1);
  // Strict, middling and lenient, as they were made; how strict is a matter of the sample.
  expect(await severity("Wendeline Askew")).toBeGreaterThan(0.3);
  expect(await severity("Sidony Crake")).toBeLessThan(-0.3);
  expect(Math.abs(await severity("Hartmut Pillgrove"))).toBeLessThan(0.3);

  // Each observer made the games for themselves: put together they are graded three times, and agreement can be told.
  await page.getByRole("button", { name: "People", exact: true }).click();
  await page.getByRole("button", { name: "Put all of them together" }).click();
  await page.getByRole("button", { name: "Agreement", exact: true }).click();
  await page.getByText(/Fleiss’ kappa of what all graded/u).waitFor();
  expect(await page.getByRole("row", { name: /Herons v Lanterns \d/u }).count()).toBe(4);

  await page.getByRole("button", { name: "Totals", exact: true }).click();
  await page.getByLabel("Position").selectOption("LJ");
  await page.getByLabel("Withheld under games").fill("1");
  await page.getByLabel("Withheld under games").press("Enter");
  // The same name in three libraries is one official.
  await expect.poll(() => page.locator(".season-table tbody tr").count()).toBe(3);
  await expect.poll(() => page.locator(".season-table tbody td b").count()).toBe(3);
  const adjusted = await page.locator(".season-table tbody td b").allInnerTexts();
  await page.getByRole("button", { name: "Export…" }).click();
  await page.getByLabel("Into a new folder in").fill(join(folder, "out"));
  await page.getByRole("button", { name: "Write the season" }).click();
  await page.getByText(/^5 files written to/u).waitFor({ timeout: 60_000 });
  const out = join(folder, "out", readdirSync(join(folder, "out"))[0]!);
  const text = (await readPdf(readFileSync(join(out, "season.pdf")))).pages.map((one) => one.text).join(" ");
  for (const value of adjusted) expect(text).toContain(value);
  const audit = readFileSync(join(out, "audit.csv"), "utf8").trim().split("\r\n");
  expect(audit).toHaveLength(grades + 1);
});

test("an imported evaluation is read in its game, under its observer's name, and is nobody else's to change", async () => {
  const { page } = window;
  const folder = aFolder();
  const { paths } = await observersPackets(folder, [{ name: "Wendeline Askew", severity: 0.7 }], 1);
  await drop(page, paths);
  await page.getByRole("button", { name: "Take in 1 packet" }).click();
  await expect.poll(() => page.locator(".season-table tbody tr").count()).toBe(1);
  await page.getByRole("button", { name: "Games", exact: true }).click();
  await page.getByRole("button", { name: "Open Herons v Lanterns 1" }).click();
  await page.getByRole("heading", { name: "Herons v Lanterns 1" }).waitFor();
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  const whose = () =>
    page.getByLabel("Grades of").evaluate((select: HTMLSelectElement) => select.selectedOptions[0]?.textContent);
  await expect.poll(whose).toBe("Wendeline Askew");
  const cell = page.getByRole("button", { name: /^Play 1, LJ, station: graded \d/u });
  await cell.click();
  const given = await cell.getAttribute("aria-label");
  await page.getByText("The film is not here").waitFor();
  expect(await page.getByRole("button", { name: "Cannot judge from film" }).isDisabled()).toBe(true);
  await page.keyboard.press("1");
  expect(await cell.getAttribute("aria-label")).toBe(given);
  await page.getByLabel("Grades of").selectOption({ label: "You" });
  await page.getByRole("button", { name: /^Play 1, LJ, station: not graded/u }).waitFor();
  await page.getByLabel("Grades of").selectOption({ label: "Wendeline Askew" });
  await page.getByRole("button", { name: "Pages", exact: true }).click();
  await page.getByLabel("With the observer’s name").check();
  await page.locator(".report").getByText("observer: Wendeline Askew").waitFor();
});

test("a packet says what it holds before it leaves, and is written with names or without; a watched folder is looked in", async () => {
  const { page } = window;
  const folder = aFolder();
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  await page.getByLabel(/^Private note on the game/u).fill("between us");
  const cell = page.getByRole("button", { name: /^Play 2, LJ, station:/u });
  await expect.poll(() => cell.getAttribute("aria-label")).toMatch(/suggested 4/u);
  await cell.click();
  await page.keyboard.press("a");
  await expect.poll(() => cell.getAttribute("aria-label")).toMatch(/graded 4/u);
  await page.getByRole("button", { name: "Packet…" }).click();
  const holds = page.getByRole("region", { name: "What it holds" });
  await holds.getByText(/The names of the crew: .*Ivo Brandwick/u).waitFor();
  await page.getByRole("checkbox", { name: "With the names of the crew" }).uncheck();
  await holds.getByText(/No names of the crew/u).waitFor();
  await page.getByLabel("Into a new folder in").fill(folder);
  await page.getByRole("button", { name: "Write the packet" }).click();
  await page.getByText(/\.crewpacket written to/u).waitFor();
  await page.keyboard.press("Escape");
  const inside = join(folder, readdirSync(folder)[0]!);

  await page.getByRole("button", { name: "Season", exact: true }).click();
  await page.getByRole("button", { name: "Packets", exact: true }).click();
  await page.getByLabel("Watch a folder; empty watches none").fill(inside);
  await page.getByLabel("Watch a folder; empty watches none").blur();
  await page.getByRole("button", { name: "Take in 1 packet" }).waitFor({ timeout: 15_000 });
  await page.getByText("Kiln Street Herons v Port Ansel Lanterns", { exact: false }).first().waitFor();
});
