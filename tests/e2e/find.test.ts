/** Finding in the library: by its key from anywhere, names and what was written, and on to the play that it was written of. */
import { expect, test } from "vitest";
import { serious } from "./axe-rules.ts";
import { demoWindow } from "./demo-window.ts";

const window = demoWindow();

test("what was written to a grade is found from another place by keyboard alone, and leads to its play", async () => {
  const { page } = window;
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  await page.getByRole("button", { name: /^Play 2, FJ, station: not graded/u }).click();
  await page.getByLabel("Comment").fill("Château wall behind him, late to the near hash");
  await page.getByLabel("Reason").fill("the snap was quick");
  await page.getByRole("button", { name: /^Accept/u }).click();
  await page.getByRole("button", { name: /^Play 2, FJ, station: graded/u }).waitFor();
  await page.locator("output.saved", { hasText: "saved" }).waitFor();

  await page.getByRole("button", { name: "Mechanics", exact: true }).click();
  await page.keyboard.press("Control+Shift+F");
  const field = page.getByRole("searchbox", { name: "Find in the library" });
  await expect.poll(() => field.evaluate((input) => input === document.activeElement)).toBe(true);
  await page.keyboard.type("chateau HASH");
  const found = page.getByRole("list", { name: "Found" }).getByRole("listitem");
  await page.getByText("1 found.").waitFor();
  expect(await found.innerText()).toMatch(
    /Grade\s+.*Château wall behind him, late to the near hash\s+.*play 2 · FJ, station/su,
  );
  expect(await found.locator("mark").allInnerTexts()).toEqual(["Château", "hash"]);
  expect(await serious(page)).toEqual([]);

  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Enter");
  await expect.poll(() => page.locator(".fieldbook .crumbs").innerText()).toMatch(/^Play 2,/u);
});

test("names are found by their beginnings; nothing found says what to do; Escape brings the games back", async () => {
  const { page } = window;
  await page.getByRole("button", { name: "Games", exact: true }).click();
  const field = page.getByRole("searchbox", { name: "Find in the library" });
  const game = page.locator(".game-row");
  await game.first().waitFor();
  const official = "Orrelby";
  await field.fill(official.toLowerCase());
  const found = page.getByRole("list", { name: "Found" }).getByRole("button");
  await page.getByText(/^\d+ found\.$/u).waitFor();
  expect(await found.first().innerText()).toMatch(/Official\s+.*Orrelby/su);
  expect(await game.count()).toBe(0);
  await field.fill("zebra crossing");
  await page.getByText("Nothing in the library has all of these words.").waitFor();
  expect(await found.count()).toBe(0);
  expect(await serious(page)).toEqual([]);
  await field.press("Escape");
  await game.first().waitFor();
  expect(await field.inputValue()).toBe("");
  // Nothing but blanks asks for nothing.
  await field.fill("   ");
  expect(await game.count()).toBeGreaterThan(0);
});
