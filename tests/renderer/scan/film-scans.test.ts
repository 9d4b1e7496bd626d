import { describe, expect, test } from "vitest";
import demoUrl from "../../../src-main/demo/film.mp4?url";
import { createFilmScans, type FilmScans, type ScanState } from "../../../src-renderer/stage/scan/film-scans.ts";

/** The demo film looked through by the product's own decoder, in its worker. */
const film = { id: "demo", fingerprint: "demo" };
const scansOf = (url: string) => createFilmScans(() => new URL(url, location.href).href);

function until(scans: FilmScans, holds: (state: ScanState) => boolean): Promise<ScanState> {
  return new Promise((resolve) => {
    const look = (): void => {
      const state = scans.stateOf(film);
      if (!holds(state)) return;
      leave();
      resolve(state);
    };
    const leave = scans.subscribe(look);
    look();
  });
}

const wait = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
const doneOf = (state: ScanState) => (state.kind === "running" ? state.done : Number.NaN);

describe("a film looked through for plays", () => {
  test("shows how far it is, stands still while it is paused, goes on, and finds the plays of the film", async () => {
    const scans = scansOf(demoUrl);
    expect(scans.stateOf(film)).toEqual({ kind: "none" });
    scans.start(film);
    await until(scans, (state) => doneOf(state) >= 60);
    scans.pauseAll(true);
    // The frame in hand is finished.
    await wait(600);
    const stood = scans.stateOf(film);
    expect(stood).toMatchObject({ kind: "running", paused: true, total: 2223 });
    await wait(1200);
    expect(doneOf(scans.stateOf(film))).toBe(doneOf(stood));
    scans.pauseAll(false);
    const before = performance.now();
    const first = doneOf(stood);
    const done = await until(scans, ({ kind }) => kind === "done" || kind === "failed");
    if (done.kind !== "done") throw new Error("the film was not looked through");
    const perSec = (2223 - first) / ((performance.now() - before) / 1000);
    console.log(`${perSec.toFixed(0)} frames of 720p a second`);
    // As the demo film was filmed, at 30 frames a second: plays 1, 2 and 15.
    expect(done.proposals).toHaveLength(15);
    const [one, two] = done.proposals;
    expect([one!.startSec, one!.endSec, two!.startSec, two!.endSec]).toEqual(
      [0, 156, 156, 306].map((frame) => expect.closeTo(frame / 30, 4)),
    );
    expect(done.proposals.at(-1)!.endSec).toBeCloseTo(2223 / 30, 2);
    // Kept, and not looked for again.
    scans.start(film);
    expect(scans.stateOf(film)).toBe(done);
    scans.refuse(film, [one!]);
    expect(scans.stateOf(film)).toMatchObject({ kind: "done", refused: [one] });
  }, 180_000);

  test("given up half-way ends at once and leaves nothing, and can be begun anew", async () => {
    const scans = scansOf(demoUrl);
    scans.start(film);
    await until(scans, (state) => doneOf(state) >= 30);
    scans.cancel(film);
    expect(scans.stateOf(film)).toEqual({ kind: "none" });
    await wait(500);
    expect(scans.stateOf(film)).toEqual({ kind: "none" });
    scans.start(film);
    await until(scans, (state) => doneOf(state) >= 15);
    scans.cancel(film);
  }, 60_000);

  test("that is not there fails with a sentence, and can be tried again", async () => {
    const scans = scansOf("/film/nowhere");
    scans.start(film);
    const failed = await until(scans, ({ kind }) => kind === "failed");
    expect(failed).toMatchObject({ kind: "failed", message: expect.stringMatching(/^[A-Z].{15,}\.$/u) });
    scans.start(film);
    expect(scans.stateOf(film).kind).toBe("running");
    await until(scans, ({ kind }) => kind === "failed");
  }, 60_000);
});
