/**
 * How long a window takes from a key or a click to the painted result, by the window's own clock: from the time stamp of the
 * input event to the frame after the one in which the result is in the document.
 */
import type { Page } from "playwright";

/** Elements of a selector; so many of them, or one whose text or attribute matches, or none left. */
export type Shown = {
  readonly selector: string;
  readonly count?: number;
  readonly attribute?: string;
  readonly matches?: string;
};

type Waiting = { shown?: Promise<number> };

/** Milliseconds. Rejects when it is not shown in a minute. */
export async function inputToShown(page: Page, shown: Shown, act: () => Promise<unknown>): Promise<number> {
  await page.evaluate(({ selector, count, attribute, matches }) => {
    const pattern = matches === undefined ? null : new RegExp(matches, "u");
    const textOf = (one: Element) => (attribute === undefined ? one.textContent : one.getAttribute(attribute)) ?? "";
    const holds = () => {
      const all = [...document.querySelectorAll(selector)];
      if (count !== undefined && all.length !== count) return false;
      return pattern === null ? count !== undefined || all.length > 0 : all.some((one) => pattern.test(textOf(one)));
    };
    (window as Waiting).shown = new Promise<number>((resolve, reject) => {
      let began: number | null = null;
      const begin = (event: Event): void => {
        began ??= event.timeStamp;
      };
      for (const type of ["keydown", "pointerdown", "input"])
        window.addEventListener(type, begin, { capture: true, once: true });
      const end = performance.now() + 60_000;
      const look = (): void => {
        if (began !== null && holds()) requestAnimationFrame(() => resolve(performance.now() - (began ?? 0)));
        else if (performance.now() > end) reject(new Error(`${selector} did not come to be as it should`));
        else requestAnimationFrame(look);
      };
      requestAnimationFrame(look);
    });
  }, shown);
  await act();
  return page.evaluate(() => (window as Waiting).shown ?? Number.NaN);
}

export const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

/** Frames of the window while something is done, and how many of them came late by half a frame of sixty a second or more. */
export async function framesWhile(page: Page, act: () => Promise<unknown>): Promise<{ frames: number; late: number }> {
  await page.evaluate(() => {
    const held = window as unknown as { ticks: number[]; counting: boolean };
    [held.ticks, held.counting] = [[], true];
    const tick = (now: number): void => {
      held.ticks.push(now);
      if (held.counting) requestAnimationFrame(tick);
    };
    requestAnimationFrame(tick);
  });
  await act();
  const ticks = await page.evaluate(() => {
    const held = window as unknown as { ticks: number[]; counting: boolean };
    held.counting = false;
    return held.ticks;
  });
  const gaps = ticks.slice(1).map((now, index) => now - ticks[index]!);
  return { frames: gaps.length, late: gaps.filter((gap) => gap > 25).length };
}
