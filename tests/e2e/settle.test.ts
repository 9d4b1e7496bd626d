/** A click on paint settles on it, unless one says not to; and the shade says where a mark can be trusted. */
import { expect, test } from "vitest";
import { demoFilm } from "../scene/films.ts";
import { sceneOf } from "../scene/scene.ts";
import { clickImage, seen } from "./clicking.ts";
import { demoWindow, goToFrame } from "./demo-window.ts";

const scene = sceneOf(demoFilm);
const window = demoWindow();
const frame = 60;

test("a click beside a yard line settles on it; left as clicked, by a key held or afterwards, it stays where it was", async () => {
  const { page } = window;
  await goToFrame(page, frame);
  await page.getByRole("tab", { name: /Survey/u }).click();
  const stakes = page.getByRole("region", { name: "Stakes" });
  await page.getByLabel("Or by name").selectOption("line:mid");
  const beside = (y: number) => {
    const at = seen(scene, frame, 50, y);
    return { uPx: at.uPx + 2.5, vPx: at.vPx };
  };
  await clickImage(page, beside(14));
  await stakes.getByText("line, 1 click, settled on the paint").waitFor();
  await page.keyboard.down("Alt");
  await clickImage(page, beside(26));
  await page.keyboard.up("Alt");
  await stakes.getByText("line, 2 clicks, settled on the paint").waitFor();
  await stakes.getByRole("button", { name: "Leave the stake on the midfield (the 40) as clicked" }).click();
  await stakes.getByText("line, 2 clicks", { exact: true }).waitFor();
  await page.getByRole("button", { name: "Undo: Leave a stake as clicked" }).click();
  await stakes.getByText("line, 2 clicks, settled on the paint").waitFor();
  expect(await stakes.getByRole("row").count()).toBe(2);
});

test("the shade says in words how much of the field each error takes, and has nothing to say without a survey", async () => {
  const { page } = window;
  await page.getByRole("tab", { name: /Survey/u }).click();
  await page.getByLabel("Shade how far off a mark may be").check();
  const legend = page.getByLabel("Of the field in this frame, by how far off a mark may be");
  const shares = (await legend.locator("dd").allInnerTexts()).map((text) => Number.parseInt(text, 10));
  expect(shares).toHaveLength(4);
  expect(Math.abs(shares.reduce((sum, share) => sum + share, 0) - 100)).toBeLessThanOrEqual(2);
  expect(shares[1]).toBeGreaterThan(20);
  await goToFrame(page, frame);
  await page.getByText("There is nothing to shade before this frame is surveyed.").waitFor();
});
