/** Small pictures: each the key frame at or before its instant, by the number burnt into it; kept, paused and given up. */
import { afterEach, expect, inject, test } from "vitest";
import { openShelf } from "../../../src-renderer/stage/strip/thumb-shelf.ts";
import { createThumbs, type Thumbs } from "../../../src-renderer/stage/strip/thumbs.ts";
import { codeIn, until } from "./pictures.ts";

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

test.each(inject("clips"))("$name: the picture of an instant is a key frame no later than it", async (clip) => {
  const thumbs = thumbsOf(clip.name);
  const last = clip.timesSec.at(-1)!;
  const times = [0, last / 2, last];
  thumbs.want(times);
  await until(() => times.every((time) => thumbs.getState().pictures.has(time)));
  const codes: number[] = [];
  for (const time of times) {
    const code = (await codeIn(thumbs.getState().pictures.get(time)!))!;
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
  expect(await (await shelf).get(["none"])).toEqual([null]);
  const film = { url: new URL(`/film/${name}`, location.href).href, fingerprint: "one" };
  const first = createThumbs(film, shelf);
  made.push(first);
  first.want([0]);
  await until(() => first.getState().pictures.has(0));
  await new Promise((resolve) => setTimeout(resolve, 100));
  // An address that gives no film: what comes, comes from the shelf.
  const again = createThumbs({ url: new URL("/film/none", location.href).href, fingerprint: "one" }, shelf);
  made.push(again);
  again.want([0]);
  await until(() => again.getState().pictures.has(0));
  expect(again.getState().pictures.get(0)).toMatch(/^blob:/u);
  const other = createThumbs({ url: new URL("/film/none", location.href).href, fingerprint: "two" }, shelf);
  made.push(other);
  other.want([0]);
  await new Promise((resolve) => setTimeout(resolve, 500));
  expect(other.getState().pictures.get(0) ?? null).toBeNull();
});

test("nothing is made while the film plays; a newer wish comes before an older one", async () => {
  const thumbs = thumbsOf(inject("clips")[0]!.name);
  thumbs.hold("all");
  thumbs.want([0, 1]);
  await new Promise((resolve) => setTimeout(resolve, 600));
  expect(thumbs.getState().pictures.size).toBe(0);
  thumbs.want([0.5]);
  await new Promise((resolve) => setTimeout(resolve, 100));
  thumbs.hold("nothing");
  await until(() => thumbs.getState().pictures.has(0.5));
  await new Promise((resolve) => setTimeout(resolve, 300));
  expect([...thumbs.getState().pictures.keys()]).toEqual([0.5]);
});

test("the whole film is counted, comes after what is in view, and is given up", async () => {
  const thumbs = thumbsOf("long-gop");
  const whole = [0, 2, 4, 6, 8, 10, 12, 14, 16, 18];
  const order: number[] = [];
  thumbs.subscribe(() => {
    for (const time of thumbs.getState().pictures.keys()) if (!order.includes(time)) order.push(time);
  });
  thumbs.hold("unseen");
  thumbs.wantWhole(whole);
  thumbs.want([9, 19]);
  await until(() => [9, 19].every((time) => thumbs.getState().pictures.has(time)));
  await new Promise((resolve) => setTimeout(resolve, 300));
  // Somebody steps through the film: what nobody looks at waits.
  expect(thumbs.getState().whole).toEqual({ made: 0, of: 10 });
  thumbs.hold("nothing");
  await until(() => thumbs.getState().whole.made === 10);
  expect(order).toEqual([9, 19]);
  thumbs.want(whole);
  // Made before, so there at once.
  expect(whole.every((time) => thumbs.getState().pictures.has(time))).toBe(true);
  thumbs.wantWhole([]);
  expect(thumbs.getState().whole).toEqual({ made: 0, of: 0 });
});

test("of pictures that share their key frames each is there, once more or again, and the very frame after them", async () => {
  const thumbs = thumbsOf("long-gop");
  // Keys every 250 frames: all of these are three pictures.
  const whole = Array.from({ length: 40 }, (_, index) => index / 2);
  thumbs.wantWhole(whole);
  await until(() => thumbs.getState().whole.made === whole.length);
  const again = whole.map((timeSec) => timeSec + 0.25).filter((timeSec) => timeSec < 20);
  thumbs.wantWhole(again);
  await until(() => thumbs.getState().whole.made === again.length);
  thumbs.look(13.55);
  await until(() => thumbs.getState().looked?.timeSec === 13.55);
  expect(thumbs.getState().whole).toEqual({ made: again.length, of: again.length });
});

test("what is given up is not made", async () => {
  const thumbs = thumbsOf("long-gop");
  thumbs.hold("all");
  thumbs.wantWhole([0, 4, 8, 12, 16]);
  await new Promise((resolve) => setTimeout(resolve, 200));
  thumbs.wantWhole([]);
  await new Promise((resolve) => setTimeout(resolve, 100));
  thumbs.hold("nothing");
  thumbs.want([18]);
  await until(() => thumbs.getState().pictures.has(18));
  await new Promise((resolve) => setTimeout(resolve, 500));
  thumbs.want([0, 18]);
  expect([...thumbs.getState().pictures.keys()]).toEqual([18]);
});

test.each(inject("clips"))("$name: the frame looked at is the very one", async (clip) => {
  const thumbs = thumbsOf(clip.name);
  for (const share of [0.13, 0.77]) {
    const frame = Math.floor(share * clip.frameCount);
    // The middle of the time it is shown.
    const time = (clip.timesSec[frame]! + clip.timesSec[frame + 1]!) / 2;
    thumbs.look(time);
    await until(() => thumbs.getState().looked?.timeSec === time);
    expect((await codeIn(thumbs.getState().looked!.address)) ?? -1).toBe(clip.firstCode + frame);
    thumbs.look(null);
    expect(thumbs.getState().looked).toBeNull();
  }
});

test("looking elsewhere breaks the first look off", async () => {
  const thumbs = thumbsOf("long-gop");
  const seen: number[] = [];
  thumbs.subscribe(() => thumbs.getState().looked && seen.push(thumbs.getState().looked!.timeSec));
  for (let at = 0; at < 10; at++) thumbs.look(7 + at / 10);
  await until(() => thumbs.getState().looked?.timeSec === 7.9);
  expect(new Set(seen)).toEqual(new Set([7.9]));
});

test("the shelf takes out what was put away first, and a store that cannot be had keeps nothing", async () => {
  const name = `limit ${Math.random()}`;
  const first = await openShelf(name, 10);
  const picture = new Blob(["x"], { type: "image/jpeg" });
  for (let at = 0; at < 12; at++) {
    first.put(`film/${at}`, picture);
    await new Promise((resolve) => setTimeout(resolve, 3));
  }
  first.close();
  const keys = Array.from({ length: 12 }, (_, at) => `film/${at}`);
  const second = await openShelf(name, 10);
  const kept = await second.get(keys);
  // A fifth of the room is left free: eight of twelve stay, the last ones.
  expect(kept.map((one) => one !== null)).toEqual(keys.map((_, at) => at >= 4));
  // Another window that holds an older layout of the store open, which never lets go.
  const older = await new Promise<IDBDatabase>((resolve) => {
    const request = indexedDB.open(`${name} old`, 1);
    request.addEventListener("success", () => resolve(request.result));
  });
  const none = await openShelf(`${name} old`);
  none.put("film/0", picture);
  expect(await none.get(["film/0"])).toEqual([null]);
  older.close();
  second.close();
});
