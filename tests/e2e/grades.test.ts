/** Grading the demo game by keys and clicks: what is suggested, accepted, overruled with a reason, and kept. */
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { demoWindow } from "./demo-window.ts";

const window = demoWindow();
const cell = (page: Page, play: number, position: string, criterion: string) =>
  page.getByRole("button", { name: new RegExp(`^Play ${play}, ${position}, ${criterion}:`, "u") });
const nameOf = (page: Page, play: number, position: string, criterion = "station") =>
  cell(page, play, position, criterion).getAttribute("aria-label");

test("suggestions walked, accepted by a key, overruled with a reason, and there after a restart of the window; a graded play is filtered by", async () => {
  const { page } = window;
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  // FJ of play 2 was put three yards short by the scene.
  await expect.poll(() => nameOf(page, 2, "FJ")).toBe("Play 2, FJ, station: not graded, suggested 2");
  await cell(page, 2, "R", "station").click();
  await page.getByText("frame 201", { exact: true }).waitFor();
  await page.keyboard.press("a");
  await expect.poll(() => nameOf(page, 2, "R")).toBe("Play 2, R, station: graded 4, suggested 4");
  await cell(page, 2, "R", "station").focus();
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("ArrowUp");
  await page.getByRole("heading", { name: "R, station play 2" }).waitFor();

  // Two points more than the findings suggest: not without a reason.
  await cell(page, 2, "FJ", "station").click();
  await page.getByText(/FJ stood 6\.4 yd/u).waitFor();
  await page.keyboard.press("4");
  await page.getByRole("alert").getByText("The findings suggest 2: say why it is 4, then it counts.").waitFor();
  expect(await nameOf(page, 2, "FJ")).toMatch(/not graded/u);
  await page.keyboard.type("The chain crew stood in the way.");
  await page.getByLabel("Comment").focus();
  await expect.poll(() => nameOf(page, 2, "FJ")).toBe("Play 2, FJ, station: graded 4, suggested 2");
  await page.getByRole("button", { name: /^Undo: Grade FJ in station of play 2/u }).click();
  await expect.poll(() => nameOf(page, 2, "FJ")).toMatch(/not graded/u);
  await page.getByRole("button", { name: /^Redo/u }).click();
  await expect.poll(() => nameOf(page, 2, "FJ")).toMatch(/graded 4/u);

  await cell(page, 2, "LJ", "station").click();
  await page.keyboard.press("c");
  await expect.poll(() => nameOf(page, 2, "LJ")).toMatch(/cannot be judged/u);
  await cell(page, 2, "BJ", "station").click();
  await page.keyboard.press("a");
  await expect.poll(() => nameOf(page, 2, "BJ")).toMatch(/graded 4/u);
  await page.getByText(/^Grade sheet · 4 of \d+ graded$/u).waitFor();
  // One scale a game: it cannot be changed under its grades.
  expect(await page.getByLabel("Scale").locator("option").count()).toBe(1);

  await page.getByRole("button", { name: "Breakdown", exact: true }).click();
  await page.getByText(/15 marked, 1 graded/u).waitFor();
  await page.getByLabel("Evening").selectOption("graded");
  await expect.poll(() => page.locator(".play-sheet tbody tr").count()).toBe(1);
  await page.getByLabel("Evening").selectOption("to-grade");
  await expect.poll(() => page.locator(".play-sheet tbody tr").count()).toBe(14);

  await page.reload();
  await page.locator("article.finding").first().waitFor();
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  await expect.poll(() => nameOf(page, 2, "FJ")).toBe("Play 2, FJ, station: graded 4, suggested 2");
  await cell(page, 2, "FJ", "station").click();
  expect(await page.getByLabel("Reason").inputValue()).toBe("The chain crew stood in the way.");
  await page.getByRole("button", { name: "Take the grade back" }).click();
  await expect.poll(() => nameOf(page, 2, "FJ")).toMatch(/not graded/u);
});
