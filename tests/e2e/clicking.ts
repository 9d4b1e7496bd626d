/** Clicks on the film as a person makes them: at image points, where the scene's own camera shows a field point. */
import type { Page } from "playwright";
import { layOut, templateById } from "#core/field/template";
import { project, viewOf } from "../scene/pinhole.ts";
import type { Scene } from "../scene/scene.ts";

const layout = layOut(templateById("flag-100x40")!);

/** Where in the window an image point is. A frame's number comes first and its picture after it; before, nothing is taken. */
async function inWindow(page: Page, at: { uPx: number; vPx: number }): Promise<[number, number]> {
  const pane = page.locator('.film-pane[data-shown="true"]');
  await pane.waitFor();
  const box = (await pane.boundingBox())!;
  const [scale, x, y] = await Promise.all(["data-scale", "data-x", "data-y"].map((name) => pane.getAttribute(name)));
  return [box.x + Number(x) + at.uPx * Number(scale), box.y + Number(y) + at.vPx * Number(scale)];
}

/** With Shift, as a person clicks in a crowd: it places even where another mark stands close by. */
export async function clickImage(page: Page, at: { uPx: number; vPx: number }): Promise<void> {
  const [x, y] = await inWindow(page, at);
  await page.keyboard.down("Shift");
  await page.mouse.click(x, y);
  await page.keyboard.up("Shift");
}

export async function pointAt(page: Page, at: { uPx: number; vPx: number }): Promise<void> {
  await page.mouse.move(...(await inWindow(page, at)));
}

export function seen(scene: Scene, frame: number, xYards: number, yYards: number) {
  return project(viewOf(scene.truthAt(frame).camera), [xYards, yYards, 0])!;
}

export async function stakeOut(page: Page, scene: Scene, frame: number, landmarkIds: readonly string[]): Promise<void> {
  await page.getByRole("tab", { name: /Survey/u }).click();
  for (const [index, id] of landmarkIds.entries()) {
    const { at } = layout.landmarks.find((landmark) => landmark.id === id)!;
    await page.getByLabel("Or by name").selectOption(id);
    await clickImage(page, seen(scene, frame, at.xYards, at.yYards));
    await page
      .getByRole("region", { name: "Stakes" })
      .getByRole("row")
      .nth(index + 1)
      .waitFor();
  }
  await page.getByRole("heading", { name: "Surveyed" }).waitFor();
}
