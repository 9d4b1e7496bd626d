/** A window on the running program, for one browser that all rounds share. */
import { type Browser, chromium, type Page } from "playwright";
import { chromiumFlags, findChromium } from "../../helpers/chromium.ts";
import { demoFilm } from "../../scene/films.ts";
import { sceneOf } from "../../scene/scene.ts";
import { type Shown, shownIn, untilShown, type View } from "./shown.ts";

const firstFrames = sceneOf(demoFilm).plays.map(({ moments }) => moments[0]!.frameIndex);

export type OpenWindow = { readonly page: Page; readonly close: () => Promise<void> };

export async function startBrowser(): Promise<Browser> {
  // A signal ends the harness as a whole, and not its browser alone.
  const signals = { handleSIGINT: false, handleSIGTERM: false, handleSIGHUP: false };
  return chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags(), ...signals });
}

/** A browser opens each window in a context of its own; a context keeps what the program keeps in a browser, as a person's does. */
export type Opener = { readonly newPage: () => Promise<Page> };

/** Opens the window as a person does, and waits until the place is there. */
export async function openWindow(opener: Opener, address: string): Promise<OpenWindow> {
  const page = await opener.newPage();
  await page.setViewportSize({ width: 1280, height: 800 });
  page.setDefaultTimeout(15_000);
  await page.goto(address);
  await page.locator("main.place").waitFor();
  return { page, close: () => page.close() };
}

/** The demo game, which opens by itself, stopped on its first moment. */
export async function openDemo(opener: Opener, address: string): Promise<OpenWindow> {
  const window = await openWindow(opener, address);
  await window.page.locator("article.finding").first().waitFor();
  return window;
}

const places: Record<View, string> = {
  marks: "Field book",
  stakes: "Field book",
  grades: "Grades",
  times: "Breakdown",
};

/** Goes to a view, and gives what it shows once that stands still. */
export async function goTo(page: Page, view: View): Promise<Shown> {
  const place = page
    .getByRole("navigation", { name: "Places" })
    .getByRole("button", { name: places[view], exact: true });
  await place.click();
  if (view === "marks" || view === "stakes") {
    await page.locator('.film-pane[data-shown="true"]').waitFor();
    await page.getByRole("tab", { name: view === "marks" ? /Marks/u : /Survey/u }).click();
    await toFrame(page, frames[view]);
  } else if (view === "grades") {
    await page.locator(".grade-table td button").first().waitFor();
  } else {
    // The times shown are those of the play that the film stands in.
    const row = page.locator('.play-sheet tr[data-number="1"]');
    await page.locator(".play-times").waitFor();
    await page.getByLabel("Time and frame").waitFor();
    if (!(await page.locator(".play-times").getAttribute("aria-label"))?.endsWith(" 1")) await row.click();
    await page.locator('.play-times[aria-label="Times of play 1"]').waitFor();
  }
  return settled(page, view);
}

/** Marks are edited on the first moment of the first play, stakes on that of the second: each frame has a survey of its own. */
const frames = { marks: firstFrames[0]!, stakes: firstFrames[1]! };
const playApartFrames = 60;

/** By the keys a person has: a play, ten frames and one frame, on or back. */
async function toFrame(page: Page, wanted: number): Promise<void> {
  const at = page.getByLabel("Time and frame");
  const end = performance.now() + 20_000;
  for (;;) {
    const text = await at.innerText();
    const away = wanted - Number(/frame (\d+)/u.exec(text)?.[1]);
    if (away === 0) break;
    if (performance.now() > end) throw new Error(`the film did not go to frame ${wanted}`);
    await page.locator(".film-pane").focus();
    const step = `${Math.abs(away) >= 10 ? "Shift+" : ""}${away > 0 ? "w" : "q"}`;
    const isFar = Math.abs(away) > playApartFrames;
    await page.keyboard.press(isFar ? (away > 0 ? "PageDown" : "PageUp") : step);
    while ((await at.innerText()) === text && performance.now() < end) await page.waitForTimeout(10);
  }
  await page.locator('.film-pane[data-shown="true"]').waitFor();
}

/** The text of a view that three looks in a row have found the same. */
async function settled(page: Page, view: View): Promise<Shown> {
  let before = "";
  let same = 0;
  const shown = await untilShown(page, (now) => {
    same = now.view === view && now.saved && now.text === before ? same + 1 : 0;
    before = now.text;
    return same >= 3;
  });
  if (shown === null) throw new Error(`the window did not come to rest: ${JSON.stringify(await shownIn(page))}`);
  return shown;
}
