import { expect, test } from "vitest";
import { createEditHub } from "../../../src-main/service/edit-hub.ts";
import type { Edited } from "../../../src-main/store/history.ts";

const edit = (sequence: number): Edited => ({ sequence, changes: [], history: { undo: "x", redo: null } });

test("an aborted watch ends its wait and is forgotten", async () => {
  const hub = createEditHub();
  const stop = new AbortController();
  const watch = hub.watch("g", stop.signal);
  expect(hub.watchers()).toBe(1);
  const waiting = watch.next();
  stop.abort();
  expect(await waiting).toEqual({ done: true, value: undefined });
  expect(hub.watchers()).toBe(0);
});

test("a watch that is given up before it was ever read is forgotten", async () => {
  const hub = createEditHub();
  await hub.watch("g", undefined).return();
  expect(hub.watchers()).toBe(0);
  const stop = new AbortController();
  stop.abort();
  expect(await hub.watch("g", stop.signal).next()).toMatchObject({ done: true });
  expect(hub.watchers()).toBe(0);
});

test("leaving a loop forgets the watch", async () => {
  const hub = createEditHub();
  const watch = hub.watch("g", undefined);
  hub.publish("g", edit(1));
  for await (const edited of watch) {
    expect(edited.sequence).toBe(1);
    break;
  }
  expect(hub.watchers()).toBe(0);
});

test("games do not hear each other, and an end is heard by all of one game after what came before it", async () => {
  const hub = createEditHub();
  const [a, b, other] = [hub.watch("g", undefined), hub.watch("g", undefined), hub.watch("h", undefined)];
  hub.publish("g", edit(1));
  hub.end("g");
  for (const watch of [a, b]) {
    expect(await watch.next()).toMatchObject({ value: { sequence: 1 } });
    expect(await watch.next()).toMatchObject({ done: true });
  }
  expect(hub.watchers()).toBe(1);
  await other.return();
});

test("a watcher that never reads is let go before its edits fill the memory, and misses none in between", async () => {
  const hub = createEditHub();
  const watch = hub.watch("g", undefined);
  for (let sequence = 1; sequence <= 5000; sequence += 1) hub.publish("g", edit(sequence));
  expect(hub.watchers()).toBe(0);
  const seen: number[] = [];
  for await (const edited of watch) seen.push(edited.sequence);
  expect(seen.length).toBeLessThan(5000);
  expect(seen).toEqual(seen.map((_, index) => index + 1));
});
