/** The strip as a person meets it: pointer, wheel and keys over a film whose frames carry their numbers (long GOP, 30 a second). */
import { useEffect, useState } from "react";
import { beforeEach, expect, inject, test, vi } from "vitest";
import { page, userEvent } from "vitest/browser";
import { cleanup, render } from "vitest-browser-react";
import type { Film, Moment, Play } from "#core/game/records";
import { nothingSaid } from "#core/game/records";
import "../../../src-renderer/app/app.css";
import "../../../src-renderer/fieldbook/fieldbook.css";
import { type PlayerState, pausedState as notShownYet } from "../../../src-renderer/stage/film/film-player.ts";
import { ContactStrip } from "../../../src-renderer/stage/strip/contact-strip.tsx";
import { codeIn, until } from "./pictures.ts";

const frameSec = 1 / 30;
const clip = inject("clips").find(({ name }) => name === "long-gop")!;
const film: Film = {
  id: clip.name,
  gameId: "game",
  order: 1,
  label: "Long groups",
  path: "",
  sizeBytes: 1,
  fingerprint: "",
  widthPx: clip.widthPx,
  heightPx: clip.heightPx,
  durationSec: 20,
  codec: "H.264",
  lens: null,
};
const play = (number: number, startSec: number, endSec: number, snapSec: number | null): Play => ({
  id: `play ${number}`,
  gameId: "game",
  filmId: film.id,
  number,
  startSec,
  endSec,
  ...nothingSaid,
  snapSec,
  situation: {
    offence: "home",
    direction: "right",
    down: 1,
    scrimmageXYards: 40,
    lineToGainXYards: 50,
    ballYYards: 25,
  },
});
const plays = [play(1, 2, 6, 3), play(2, 10, 16, 12)];
const moment: Moment = {
  id: "m",
  gameId: "game",
  playId: "play 2",
  filmId: film.id,
  phase: "keys",
  frameIndex: 360,
  timeSec: 12,
};

const onSeek = vi.fn<(sec: number) => void>();
const onMoveTime = vi.fn<(playId: string, which: string, sec: number) => void>();
const pausedState = (frameIndex: number, sec: number): PlayerState => ({
  ...notShownYet(frameIndex, sec),
  ready: true,
});
let setPlayer: (state: PlayerState) => void = () => {};

function Strip({ canMove }: { readonly canMove: boolean }) {
  const [state, setState] = useState(() => pausedState(0, 0));
  useEffect(() => {
    setPlayer = setState;
  }, []);
  const [one] = useState(() => ({ ...film, fingerprint: `strip ${Math.random()}` }));
  return (
    <div style={{ width: 1000, paddingTop: 240 }}>
      <ContactStrip
        film={one}
        plays={plays}
        moments={[moment]}
        surveyed={new Set()}
        carried={[]}
        state={state}
        onSeek={(sec) => {
          onSeek(sec);
          setState(pausedState(Math.floor(sec / frameSec), sec));
        }}
        frameSec={frameSec}
        {...(canMove ? { onMoveTime } : {})}
      />
    </div>
  );
}

beforeEach(async () => {
  await cleanup();
  onSeek.mockClear();
  onMoveTime.mockClear();
});

const track = () => document.querySelector<HTMLElement>(".strip-track")!;
const pictures = () => [...document.querySelectorAll<HTMLElement>(".strip-pictures > span")];
const timesShown = () => pictures().map((one) => Number(one.dataset["time"]));
const preview = () => document.querySelector<HTMLElement>(".strip-preview");
/** The pointer over an instant of the whole film. */
const point = (type: string, sec: number, element: Element = track(), buttons = 0) => {
  const box = track().getBoundingClientRect();
  const clientX = box.left + (sec / 20) * box.width;
  const at = { clientX, clientY: box.top + 10, bubbles: true, buttons, pointerId: 1, isPrimary: true };
  element.dispatchEvent(new PointerEvent(type, at));
};
const focus = (element: Element) => element instanceof HTMLElement && element.focus();
const head = () => page.getByRole("slider", { name: /^Place in the film/u });

test("each picture is the key frame at or before its instant, and the film's end has one", async () => {
  await render(<Strip canMove={false} />);
  await until(() => pictures().length > 0 && pictures().every((one) => one.querySelector("img") !== null));
  // Keys every 250 frames: 0, 8.33 and 16.67 s, by the encoder's own settings.
  const keys = [0, 250, 500];
  for (const one of pictures()) {
    const frame = Number(one.dataset["time"]) * 30;
    const code = await codeIn(one.querySelector("img")!.src);
    expect(code).toBe(keys.findLast((key) => key <= frame + 1e-6));
  }
  expect(timesShown()).toContain(18);
});

test("no picture is made before the film has shown its own", async () => {
  await render(<Strip canMove={false} />);
  setPlayer(notShownYet(0, 0));
  await new Promise((resolve) => setTimeout(resolve, 600));
  expect(pictures().filter((one) => one.querySelector("img") !== null).length).toBeLessThan(pictures().length);
  setPlayer(pausedState(0, 0));
  await until(() => pictures().every((one) => one.querySelector("img") !== null));
});

test("under the pointer lies the very frame, with its time, and it goes with the pointer", async () => {
  await render(<Strip canMove={false} />);
  await until(() => track().clientWidth > 0);
  expect(preview()).toBeNull();
  point("pointermove", 13.55);
  await until(() => preview()?.textContent?.includes("0:13") === true);
  let code: number | null = null;
  for (let tries = 0; tries < 100 && (code === null || Math.abs(code - 406) > 1); tries++) {
    await new Promise((resolve) => setTimeout(resolve, 50));
    const address = preview()?.querySelector("img")?.src;
    code = address === undefined ? null : await codeIn(address).catch(() => null);
  }
  // 13.55 s is in frame 406; the strip's pixels are 20 ms wide.
  expect(Math.abs((code ?? 0) - 406)).toBeLessThanOrEqual(1);
  track().dispatchEvent(new PointerEvent("pointerout", { bubbles: true, relatedTarget: document.body }));
  await until(() => preview() === null);
});

test("a press goes there, and a drag goes along", async () => {
  await render(<Strip canMove={false} />);
  await until(() => track().clientWidth > 0);
  track().setPointerCapture = () => {};
  point("pointerdown", 5, track(), 1);
  point("pointermove", 7.5, track(), 1);
  point("pointermove", 9, track(), 0);
  expect(onSeek.mock.calls.map(([sec]) => Math.round(sec * 10) / 10)).toEqual([5, 7.5]);
});

test("by keyboard: a second, ten, the ends; closer, further, the play and the whole film", async () => {
  await render(<Strip canMove={false} />);
  // Its width is told after its first pictures, and they are others then.
  let whole: number[] = [];
  let steady = 0;
  await until(() => {
    const shown = timesShown();
    steady = shown.length > 0 && shown.join(" ") === whole.join(" ") ? steady + 1 : 0;
    whole = shown;
    return steady >= 15;
  });
  focus(head().element());
  const press = async (key: string) => {
    await userEvent.keyboard(key);
    return head().element().getAttribute("aria-valuenow");
  };
  expect(await press("{ArrowRight}")).toBe("1");
  expect(await press("{Shift>}{ArrowRight}{/Shift}")).toBe("11");
  expect(head().element().getAttribute("aria-valuetext")).toMatch(/0:11/u);
  await press("{Enter}");
  // Play 2 runs from 10 to 16 s, and a little film is left on either side.
  await until(() => timesShown()[0]! >= 8.5 && timesShown().at(-1)! <= 17);
  expect(timesShown().at(-1)).toBeGreaterThanOrEqual(15);
  await press("-");
  await press("0");
  await until(() => timesShown().length === whole.length);
  expect(timesShown()).toEqual(whole);
  await press("{ArrowUp}");
  await until(() => timesShown().at(-1)! < whole.at(-1)!);
  expect(await press("{End}")).toBe("20");
  // What is closer follows the place in the film.
  await until(() => timesShown().at(-1)! >= 19);
  expect(timesShown()[0]).toBeGreaterThan(0);
  expect(await press("{Home}")).toBe("0");
  await until(() => timesShown()[0] === 0);
});

test("the wheel comes closer at the pointer, and the strip turns over when the film runs out of it", async () => {
  await render(<Strip canMove={false} />);
  await until(() => timesShown().length > 0);
  const box = track().getBoundingClientRect();
  const wheel = new WheelEvent("wheel", {
    deltaY: -700,
    clientX: box.left + box.width / 4,
    cancelable: true,
    bubbles: true,
  });
  track().dispatchEvent(wheel);
  expect(wheel.defaultPrevented).toBe(true);
  // e^1.4 ≈ 4 times closer at 5 s: from 3.75 to 8.75 s or so; the place in the film, 0 s, does not draw it back.
  await until(() => timesShown()[0]! >= 3.5);
  expect(timesShown().at(-1)).toBeLessThan(9);
  setPlayer({ ...pausedState(450, 15), mode: "playing" });
  await until(() => timesShown().some((time) => Math.abs(time - 15) <= 0.5));
  expect(timesShown()[0]).toBeGreaterThan(9);
});

test("times are dragged, and only where somebody takes them", async () => {
  const { rerender } = await render(<Strip canMove={false} />);
  await until(() => track().clientWidth > 0);
  expect(document.querySelectorAll(".strip-hold")).toHaveLength(0);
  // The snaps are seen all the same.
  expect(document.querySelectorAll(".strip-tick.snap")).toHaveLength(2);
  await rerender(<Strip canMove />);
  setPlayer(pausedState(360, 12));
  await until(() => document.querySelectorAll(".strip-hold").length > 0);
  const start = page.getByRole("slider", { name: "Play 2: start" }).element();
  start.setPointerCapture = () => {};
  point("pointerdown", 10, start, 1);
  point("pointermove", 9.5, start, 1);
  point("pointermove", 9, start, 1);
  expect(onMoveTime).not.toHaveBeenCalled();
  // The film goes along, so that one sees where it is put.
  expect(onSeek.mock.lastCall?.[0]).toBeCloseTo(9, 1);
  point("pointerup", 9, start);
  expect(onMoveTime).toHaveBeenCalledTimes(1);
  expect(onMoveTime.mock.lastCall?.slice(0, 2)).toEqual(["play 2", "start"]);
  expect(onMoveTime.mock.lastCall?.[2]).toBeCloseTo(9, 1);
});

test("times are moved by keyboard, a frame or ten, set once on letting go, and left as they were by Escape", async () => {
  await render(<Strip canMove />);
  await until(() => track().clientWidth > 0);
  setPlayer(pausedState(360, 12));
  const snap = page.getByRole("slider", { name: "Play 2: snap" });
  await until(() => snap.query()?.tabIndex === 0);
  // Of the play at hand alone.
  expect(page.getByRole("slider", { name: "Play 1: snap" }).query()).toBeNull();
  focus(snap.element());
  await userEvent.keyboard("{ArrowRight>3/}");
  expect(onMoveTime).toHaveBeenCalledTimes(1);
  expect(onMoveTime.mock.lastCall?.[2]).toBeCloseTo(12 + 3 * frameSec, 6);
  await userEvent.keyboard("{PageDown}");
  expect(onMoveTime.mock.lastCall?.[2]).toBeCloseTo(12 - 10 * frameSec, 6);
  await userEvent.keyboard("{ArrowRight>}{Escape}{/ArrowRight}");
  expect(onMoveTime).toHaveBeenCalledTimes(2);
  expect(onSeek.mock.lastCall?.[0]).toBe(12);
});
