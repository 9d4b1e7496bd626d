/** The season in the window: the invented one read and exported, put away and brought back; and a season of one's own grades. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { expect, onTestFinished, test } from "vitest";
import { readPdf } from "../helpers/read-pdf.ts";
import { demoWindow } from "./demo-window.ts";

const window = demoWindow();

function aFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "crewglass-season-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

test("the invented season: totals, who is eligible, crews, agreement, observers; written, read back, and put away", async () => {
  const { page } = window;
  const folder = aFolder();
  await page.getByRole("button", { name: "Season", exact: true }).click();
  const rows = page.locator(".season-table tbody tr");
  await rows.first().waitFor();
  await page.getByLabel("Position").selectOption("LJ");
  const adjusted = (await rows.locator("td b").allInnerTexts()).map((text) => Number(text.replace("−", "-")));
  expect(adjusted.length).toBeGreaterThan(5);
  expect(adjusted).toEqual(adjusted.toSorted((a, b) => b - a));
  const best = await rows.first().getByRole("button").innerText();
  await rows.first().getByRole("button").click();
  await page
    .getByRole("region", { name: `Why ${best} stands there` })
    .getByText(/\d+ grades of \d+ plays/u)
    .waitFor();
  expect(await page.getByRole("img", { name: /^Adjusted values of LJ/u }).getAttribute("alt")).toContain(best);
  const saved = page.waitForEvent("download");
  await page.getByRole("button", { name: "Save intervals LJ as PNG" }).click();
  const png = readFileSync((await (await saved).path()) ?? "");
  expect(png.subarray(1, 4).toString()).toBe("PNG");

  await page.getByRole("button", { name: "Eligibility", exact: true }).click();
  await page.getByLabel("Games at the position, at least").fill("6");
  await page.getByLabel("Games at the position, at least").press("Enter");
  await page
    .getByText(/✕ games at the position: at least 6 \(5 of 6\)/u)
    .first()
    .waitFor();
  await page.getByRole("button", { name: "Propose", exact: true }).click();
  const first = page.getByLabel("Crew 1, LJ");
  const second = page.getByLabel("Crew 2, LJ");
  const chosen = await first.inputValue();
  expect(chosen).not.toBe("-");
  await second.selectOption(chosen);
  await page.getByText(/is put down twice\./u).waitFor();

  await page.getByRole("button", { name: "Agreement", exact: true }).click();
  await page
    .getByText(/\d+ of \d+ the same \(\d+ %\)/u)
    .first()
    .waitFor();
  await page.getByRole("button", { name: "Observers", exact: true }).click();
  await page.getByRole("rowheader", { name: "Wendeline Askew" }).waitFor();

  await page.getByRole("button", { name: "Places", exact: true }).click();
  await page.getByRole("img", { name: /^Stations before the snap: BJ .* 15 times/u }).waitFor({ timeout: 60_000 });
  await page.getByRole("rowheader", { name: "to 10 yd, middle" }).waitFor();
  await page.getByRole("button", { name: "People", exact: true }).click();
  await page.getByLabel("This one").selectOption({ index: 1 });
  await page.getByLabel("is one with").selectOption({ index: 2 });
  await page.getByRole("button", { name: "Put together", exact: true }).click();
  await page.getByText("29 officials").waitFor();
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await page.getByText("30 officials").waitFor();
  await page.getByRole("button", { name: "Totals", exact: true }).click();
  await page.getByLabel("Criterion").selectOption("look");
  await rows.first().waitFor();
  await page.getByLabel("Criterion").selectOption("all");
  await expect.poll(async () => (await rows.locator("td b").allInnerTexts()).length).toBeGreaterThan(5);
  await page.getByRole("button", { name: "Export…" }).click();
  await page.getByLabel("Into a new folder in").fill(folder);
  await page.getByRole("button", { name: "Write the season" }).click();
  await page.getByText(/^4 files written to/u).waitFor({ timeout: 60_000 });
  const out = join(folder, readdirSync(folder)[0]!);
  const pdf = await readPdf(readFileSync(join(out, "season.pdf")));
  const text = pdf.pages.map((one) => one.text).join(" ");
  for (const value of adjusted) expect(text).toContain(value.toFixed(2));
  expect(text).toContain("choose nothing themselves");
  expect(text).not.toContain("Wendeline");
  const table = parse<Record<string, string>>(readFileSync(join(out, "totals.csv")), { columns: true, bom: true });
  expect(
    table
      .filter((row) => row["position"] === "LJ")
      .map((row) => Number(row["adjusted"]).toFixed(2))
      .toSorted(),
  ).toEqual(expect.arrayContaining(adjusted.map((value) => value.toFixed(2)).toSorted()));
  await page.keyboard.press("Escape");

  await page.getByRole("button", { name: "Put it away" }).click();
  await page.getByText("No grades yet.").waitFor();
  await page.getByRole("button", { name: "Show the invented season" }).click();
  await page.getByRole("heading", { name: "An invented season" }).waitFor();
});

test("a season of one's own: the grades of the library are in it, too little is withheld, and who said what is listed", async () => {
  const { page } = window;
  const folder = aFolder();
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  const cell = page.getByRole("button", { name: /^Play 2, LJ, station:/u });
  await expect.poll(() => cell.getAttribute("aria-label")).toMatch(/suggested 4/u);
  await cell.click();
  await page.keyboard.press("a");
  await expect.poll(() => cell.getAttribute("aria-label")).toMatch(/graded 4/u);
  await page.getByRole("button", { name: "Season", exact: true }).click();
  await page.getByRole("heading", { name: "Season", exact: true }).waitFor();
  await page.getByRole("rowheader", { name: "Ivo Brandwick" }).waitFor();
  await page
    .getByText(/too few, to estimate anything from/u)
    .first()
    .waitFor();
  await page.getByText("1 grade of 1 play in 1 game by 1 observer.").waitFor();
  await page.getByText("Nobody at LJ has enough grades yet for a value").waitFor();
  await page.getByRole("button", { name: "Export…" }).click();
  await page.getByLabel("Into a new folder in").fill(folder);
  await page.getByRole("button", { name: "Write the season" }).click();
  await page.getByText(/^5 files written to/u).waitFor({ timeout: 60_000 });
  const out = join(folder, readdirSync(folder)[0]!);
  const audit = parse<Record<string, string>>(readFileSync(join(out, "audit.csv")), { columns: true, bom: true });
  expect(audit).toMatchObject([{ play: "2", position: "LJ", family: "grade", act: "given", said: "4.0" }]);
});
