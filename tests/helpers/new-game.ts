/** A new game on a film, made in the window as a person makes it. */
import type { Page } from "playwright";

export async function newGame(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Games", exact: true }).click();
  await page.getByRole("button", { name: "New game…" }).click();
  await page.getByLabel("Home team").fill("Kiln Street Herons");
  await page.getByLabel("Visitors").fill("Port Ansel Lanterns");
  await page.getByRole("button", { name: "Make the game" }).click();
}

export async function attachFilm(page: Page, path: string): Promise<void> {
  await page.getByRole("button", { name: "Attach film…" }).click();
  await page.getByLabel(/^Path of the film file/u).fill(path);
  await page.getByRole("button", { name: "Use this file" }).click();
}
