/** A teaching page of the demo game: put together, looked at, written, cancelled, and kept as a draft. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Page } from "playwright";
import { beforeEach, expect, onTestFinished, test } from "vitest";
import { readPdf } from "../helpers/read-pdf.ts";
import { demoWindow } from "./demo-window.ts";

const window = demoWindow();
let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "crewglass-teaching-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
});

async function openTeaching(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  await page.getByRole("button", { name: "Teaching", exact: true }).click();
  await page.getByRole("heading", { name: "From the game" }).waitFor();
}
const listed = (page: Page) => page.getByRole("list", { name: "On the page" }).locator(".line b").allTextContents();
const headings = (page: Page) => page.locator(".report").getByRole("heading", { level: 4 }).allTextContents();
const writeAs = async (page: Page, form: RegExp) => {
  await page.getByLabel("Into a new folder in").fill(folder);
  await page.getByLabel(form).check();
  await page.getByRole("button", { name: "Write the page" }).click();
};

async function addPlayTen(page: Page): Promise<void> {
  await page.locator("summary").filter({ hasText: "Play 10, " }).click();
  await page.getByRole("button", { name: /^Add Play 10, .*: the whole play$/u }).click();
}

const stood = "FJ stood 4.9 yd (4.8–5.1) downfield of the line to gain";
const straight = "FJ was straight-lined on the receiver and the defender 7 yd downfield on the near side";

test("a moment, a play and words are put in order by keyboard, seen, and written as a folder of whole files that name nobody", async () => {
  const { page, context } = window;
  await openTeaching(page);
  await page.getByText("Nothing is on the page yet.").waitFor();
  expect(await page.getByRole("button", { name: "Write the page" }).isDisabled()).toBe(true);

  await page
    .locator("summary")
    .filter({ hasText: /^Play 3, .*FJ: off station$/u })
    .click();
  const add = page.getByRole("button", { name: /^Add Play 3, .*: before the snap at/u });
  await add.focus();
  await page.keyboard.press("Enter");
  await addPlayTen(page);
  await page.getByRole("button", { name: "Add words of your own" }).focus();
  await page.keyboard.press("Enter");
  await page.keyboard.type("Hold the line to gain");
  await page.keyboard.press("Tab");
  await page.keyboard.type("Nobody beats you to it.");
  await page.getByLabel("Title", { exact: true }).fill("Where to stand");
  expect(await listed(page)).toEqual([
    "1. Play 3, before the snap at 0:11.80",
    "2. Play 10, the whole play",
    "3. Text: Hold the line to gain",
  ]);
  // The button keeps the focus as the line goes up, and at the top there is only the way down.
  await page.getByRole("button", { name: "Up: Text: Hold the line to gain" }).focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("Enter");
  expect(await listed(page)).toEqual([
    "1. Text: Hold the line to gain",
    "2. Play 3, before the snap at 0:11.80",
    "3. Play 10, the whole play",
  ]);
  await page.getByText("Text: Hold the line to gain is now 1 of 3.").waitFor();
  expect(await page.evaluate(() => document.activeElement?.getAttribute("aria-label"))).toBe(
    "Down: Text: Hold the line to gain",
  );

  await expect
    .poll(() => headings(page))
    .toEqual(["Play 3, 3rd & 5, before the snap at 0:11.80, FJ", "Play 10, 2nd & 13"]);
  const report = page.locator(".report");
  await report.getByText(stood).waitFor();
  expect(await report.getByText(/Where FJ stood .* 4\.4 yd .* to the nearest place of the target\.$/u).count()).toBe(1);

  // One step at a time, by arrow keys and by the slider.
  const steps = page.getByRole("group", { name: "Play 10, step by step" });
  expect(await steps.getByRole("img").count()).toBe(1);
  const live = steps.locator("output[aria-live=polite]");
  expect(await live.textContent()).toBe("−0.20 s 1 of 8");
  await steps.getByRole("button", { name: "The step after" }).focus();
  await page.keyboard.press("ArrowRight");
  expect(await live.textContent()).toBe("+0.20 s 2 of 8");
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("ArrowLeft");
  expect(await live.textContent()).toBe("−0.20 s 1 of 8");
  await steps.getByRole("slider").fill("7");
  expect(await live.textContent()).toBe("+3.13 s 8 of 8");
  expect(await steps.getByRole("img").getAttribute("alt")).toContain("3.13 s after the snap");

  await report.getByRole("button", { name: "Show it in motion" }).click();
  const width = () => report.locator("video").evaluate((video: HTMLVideoElement) => video.videoWidth);
  await expect.poll(width).toBe(1280);

  await writeAs(page, /^Both, with each picture/u);
  await page.getByText("6 files written to").waitFor({ timeout: 30_000 });
  const written = join(folder, "Where to stand");
  expect(readdirSync(folder)).toEqual(["Where to stand"]);
  const file = (name: string) => readFileSync(join(written, name));
  expect(readdirSync(written).toSorted()).toEqual([
    "02 play 3, before the snap, FJ, as filmed.png",
    "02 play 3, before the snap, FJ, as measured.png",
    "02 play 3, before the snap, FJ, before and after.png",
    "03 play 10.webm",
    "Where to stand.html",
    "Where to stand.pdf",
  ]);
  for (const name of readdirSync(written).filter((one) => one.endsWith(".png"))) {
    const bytes = file(name);
    expect(bytes.subarray(0, 8).toString("latin1")).toBe("\u0089PNG\r\n\u001a\n");
    // Its last chunk, with the check sum of nothing.
    expect(bytes.subarray(-12).toString("hex")).toBe("0000000049454e44ae426082");
  }
  const film = file("03 play 10.webm");
  expect(film.subarray(0, 4).toString("hex")).toBe("1a45dfa3");
  const html = file("Where to stand.html").toString("utf8");
  expect(html.endsWith("</html>\n")).toBe(true);
  expect(html).toContain(film.toString("base64"));
  const pdf = await readPdf(new Uint8Array(file("Where to stand.pdf")));
  const paper = pdf.pages.map(({ text }) => text).join(" ");
  for (const said of [stood, straight, "Nobody beats you to it."]) {
    expect(html).toContain(said);
    expect(paper).toContain(said);
  }
  for (const name of ["Orrelby", "Brandwick", "Quillane", "Hallowmere", "Herons"]) {
    expect(html).not.toContain(name);
    expect(paper).not.toContain(name);
  }

  // With no script at all the page is read, and its steps go on.
  const address = pathToFileURL(join(written, "Where to stand.html")).href;
  const scriptless = await context.browser()!.newContext({ javaScriptEnabled: false, offline: true });
  const reader = await scriptless.newPage();
  await reader.goto(address);
  expect(await reader.getByRole("heading", { level: 1 }).textContent()).toBe("Where to stand");
  expect(await reader.getByText(straight).first().isVisible()).toBe(true);
  expect(await reader.locator(".step:visible").count()).toBe(1);
  await reader.getByRole("radio", { name: "+2.40 s" }).check({ force: true });
  expect(await reader.locator(".step:visible figcaption").textContent()).toBe(
    "Zone, 2.40 s after the snap, as marked.",
  );
  await scriptless.close();
  const viewer = await context.newPage();
  await viewer.goto(address);
  const shown = () =>
    viewer
      .locator("video")
      .evaluate((video: HTMLVideoElement) => [video.videoWidth, Number(video.duration.toFixed(1))]);
  await expect.poll(shown).toEqual([1280, 4.6]);
  await viewer.close();

  // One whose page is left goes on, and says where it ended.
  await writeAs(page, /^One HTML file/u);
  await page.getByRole("button", { name: "Rulings", exact: true }).click();
  await page.getByRole("alert").getByText(`1 file written to ${written} (2).`).waitFor();
  expect(readdirSync(`${written} (2)`)).toEqual(["Where to stand.html"]);
});

test("cancelled on the way nothing is left; without an encoder the page comes out with its steps and says why; the draft is there again", async () => {
  const { page } = window;
  await openTeaching(page);
  await addPlayTen(page);
  await writeAs(page, /^Both, with each picture/u);
  await page.getByText(/^The moving picture: frame \d+ of 115…$/u).waitFor();
  expect(readdirSync(folder)).toHaveLength(1);
  await page.getByRole("button", { name: "Cancel" }).click();
  await page.getByText("Cancelled; nothing of it is left.").waitFor();
  expect(readdirSync(folder)).toEqual([]);

  // As the next start finds it: the draft names a moment that the game has no longer.
  await page.evaluate(() => {
    const key = Object.keys(localStorage).find((one) => one.startsWith("crewglass.teaching."))!;
    const draft = JSON.parse(localStorage.getItem(key)!) as { items: object[] };
    draft.items.unshift({ kind: "moment", id: "x", momentId: "gone", position: null, withBefore: true });
    localStorage.setItem(key, JSON.stringify(draft));
  });
  await page.addInitScript(() => {
    Reflect.deleteProperty(globalThis, "VideoEncoder");
  });
  await page.reload();
  await page.locator("article.finding").first().waitFor();
  await openTeaching(page);
  await page.getByText("One thing of this page is no longer in the game, and was left out of it.").waitFor();
  expect(await listed(page)).toEqual(["1. Play 10, the whole play"]);
  const why = "This browser cannot write a moving picture as WebM.";
  await page.getByRole("button", { name: "Show it in motion" }).click();
  await page.getByText(`There is no moving picture here. ${why}`).waitFor();
  await page.getByLabel("Title", { exact: true }).fill("Steps only");
  await writeAs(page, /^One HTML file/u);
  await page.getByText("1 file written to").waitFor();
  await page.getByText(`1 of 1 moving pictures could not be made. ${why}`).waitFor();
  expect(readdirSync(join(folder, "Steps only"))).toEqual(["Steps only.html"]);
  const html = readFileSync(join(folder, "Steps only", "Steps only.html"), "utf8");
  expect(html).toContain(`There is no moving picture here. ${why}`);
  expect(html).not.toContain("<video");
  expect(html.match(/<div class="step"/gu)).toHaveLength(8);

  await page.getByRole("button", { name: "Take off: Play 10, the whole play" }).click();
  await page.getByText("Nothing is on the page yet.").waitFor();
});
