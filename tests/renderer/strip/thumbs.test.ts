/** Small pictures: each the key frame at or before its instant, by the number burnt into it; kept, paused and given up. */
import { afterEach, expect, inject, test } from "vitest";
import { openShelf } from "../../../src-renderer/stage/strip/thumb-shelf.ts";
import { createThumbs, type Thumbs } from "../../../src-renderer/stage/strip/thumbs.ts";
import { codeOn } from "../film/code-on-canvas.ts";

const made: Thumbs[] = [];
afterEach(() => {
  for (const thumbs of made.splice(0)) thumbs.dispose();
});

function thumbsOf(name: string, shelf?: ReturnType<typeof openShelf>): Thumbs {
  const film = { url: new URL(`/film/${name}`, location.href).href, fingerprint: `${name} ${Math.random()}` };
  const thumbs = shelf ? createThumbs(film, shelf) : createThumbs(film);
  made.push(thumbs);
  return thumbs;
}

async function until(what: () => boolean): Promise<void> {
  for (let waited = 0; !what(); waited += 20) {
    if (waited > 20_000) throw new Error("it never came");
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

async function codeIn(address: string): Promise<number | null> {
  const image = new Image();
  image.src = address;
  await image.decode();
  const canvas = document.createElement("canvas");
  // As large as the code is read from.
  canvas.width = 640;
  canvas.height = Math.round((640 * image.naturalHeight) / image.naturalWidth);
  canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
  return codeOn(canvas);
}

test.each(inject("clips"))("$name: the picture of an instant is a key frame no later than it", async (clip) => {
  const thumbs = thumbsOf(clip.name);
  const last = clip.timesSec.at(-1)!;
  const times = [0, last / 2, last];
  thumbs.want(times);
  await until(() => times.every((time) => thumbs.getState().has(time)));
  const codes: number[] = [];
  for (const time of times) {
    const code = (await codeIn(thumbs.getState().get(time)!))!;
    const frame = code - clip.firstCode;
    // Before the first frame there is only the first.
    expect(clip.timesSec[frame]!).toBeLessThanOrEqual(Math.max(time, clip.timesSec[0]!) + 0.05);
    codes.push(frame);
  }
  expect(codes[0]).toBe(0);
  expect(codes).toEqual(codes.toSorted((a, b) => a - b));
});

test("what was made is there at the next opening without being made again, and another film's is not", async () => {
  const name = inject("clips")[0]!.name;
  const shelf = openShelf(`test ${Math.random()}`);
  const film = { url: new URL(`/film/${name}`, location.href).href, fingerprint: "one" };
  const first = createThumbs(film, shelf);
  made.push(first);
  first.want([0]);
  await until(() => first.getState().has(0));
  await new Promise((resolve) => setTimeout(resolve, 100));
  // An address that gives no film: what comes, comes from the shelf.
  const again = createThumbs({ url: new URL("/film/none", location.href).href, fingerprint: "one" }, shelf);
  made.push(again);
  again.want([0]);
  await until(() => again.getState().has(0));
  expect(again.getState().get(0)).toMatch(/^blob:/u);
  const other = createThumbs({ url: new URL("/film/none", location.href).href, fingerprint: "two" }, shelf);
  made.push(other);
  other.want([0]);
  await new Promise((resolve) => setTimeout(resolve, 500));
  expect(other.getState().get(0) ?? null).toBeNull();
});

test("nothing is made while the film plays; a newer wish comes before an older one", async () => {
  const thumbs = thumbsOf(inject("clips")[0]!.name);
  thumbs.pause(true);
  thumbs.want([0, 1]);
  await new Promise((resolve) => setTimeout(resolve, 600));
  expect(thumbs.getState().size).toBe(0);
  thumbs.want([0.5]);
  await new Promise((resolve) => setTimeout(resolve, 100));
  thumbs.pause(false);
  await until(() => thumbs.getState().has(0.5));
  await new Promise((resolve) => setTimeout(resolve, 300));
  expect([...thumbs.getState().keys()]).toEqual([0.5]);
});
