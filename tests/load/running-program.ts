/**
 * What the running program takes, read from outside: memory by the system's own count, open files and sockets, and, where it
 * was launched to be looked into, the heap that its engine still holds after a collection. Linux only: from /proc.
 */
import { readdirSync, readFileSync, statSync } from "node:fs";
import { chromium, type Browser, type CDPSession, type Page } from "playwright";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import type { LaunchedShell } from "../helpers/launch.ts";

export const toMB = (bytes: number): number => bytes / 1e6;

/** What a process holds, in MB of 10⁶ bytes; `proportional` counts shared memory by its share. */
export function memoryOf(pid: number): { readonly resident: number; readonly proportional: number } {
  const kB = (text: string, name: string) => Number(new RegExp(`^${name}:\\s+(\\d+) kB`, "mu").exec(text)?.[1] ?? 0);
  const rollup = readFileSync(`/proc/${pid}/smaps_rollup`, "utf8");
  return { resident: toMB(kB(rollup, "Rss") * 1024), proportional: toMB(kB(rollup, "Pss") * 1024) };
}

/** Open files, sockets and pipes of a process. */
export const handlesOf = (pid: number): number => readdirSync(`/proc/${pid}/fd`).length;

/** Size of a file, 0 where it is not there. */
export const sizeMB = (path: string): number => toMB(statSync(path, { throwIfNoEntry: false })?.size ?? 0);

/** Of all pages' own processes together, by their share. */
export async function windowMemoryMB(browser: Browser): Promise<number> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send("SystemInfo.getProcessInfo");
  await session.detach();
  return processInfo
    .filter(({ type }) => type === "renderer")
    .reduce((sum, { id }) => sum + memoryOf(id).proportional, 0);
}

export function launchBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
}

/** Set when the program is launched, so that its heap can be asked for. */
export const openToInspection = { NODE_OPTIONS: "--inspect=127.0.0.1:0" } as const;

export type ProgramHeap = {
  /** MB still in use after a collection. */
  readonly usedMB: () => Promise<number>;
  /** Timers, sockets and requests that keep the program awake. */
  readonly resources: () => Promise<number>;
  readonly close: () => void;
};

/** By the protocol that Node itself offers to debuggers, on this machine alone. */
export async function inspectProgram(shell: LaunchedShell): Promise<ProgramHeap> {
  const address = /Debugger listening on (ws:\/\/127\.0\.0\.1:\S+)/u.exec(shell.output())?.[1];
  if (address === undefined) throw new Error("The program was not launched to be looked into.");
  const socket = new WebSocket(address);
  await new Promise((resolve, reject) => {
    socket.addEventListener("open", resolve, { once: true });
    socket.addEventListener("error", reject, { once: true });
  });
  let asked = 0;
  const waiting = new Map<number, (result: unknown) => void>();
  socket.addEventListener("message", ({ data }) => {
    const { id, result } = JSON.parse(String(data)) as { id?: number; result?: unknown };
    if (id === undefined) return;
    waiting.get(id)?.(result);
    waiting.delete(id);
  });
  const send = (method: string, params: object = {}) =>
    new Promise<unknown>((resolve) => {
      const id = ++asked;
      waiting.set(id, resolve);
      socket.send(JSON.stringify({ id, method, params }));
    });
  return {
    usedMB: async () => {
      await send("HeapProfiler.collectGarbage");
      return toMB(((await send("Runtime.getHeapUsage")) as { usedSize: number }).usedSize);
    },
    resources: async () => {
      const expression = "process.getActiveResourcesInfo().length";
      return ((await send("Runtime.evaluate", { expression })) as { result: { value: number } }).result.value;
    },
    close: () => socket.close(),
  };
}

/**
 * Tells the browser that memory is short, so that it lets go of what it keeps only while there is room: pictures it has decoded for
 * drawing, in segments of 4 MiB up to 512 MiB whatever the page does. What is left is held by somebody.
 */
export async function withoutSpare(session: CDPSession): Promise<void> {
  await session.send("Memory.simulatePressureNotification", { level: "critical" });
  await new Promise((settle) => setTimeout(settle, 1000));
}

export type WindowHeap = {
  readonly heapMB: number;
  readonly nodes: number;
  readonly documents: number;
  readonly listeners: number;
};

/** What a window's own engine still holds after a collection; nodes and listeners count those no document shows any more too. */
export async function windowHeap(session: CDPSession): Promise<WindowHeap> {
  // The second takes what the first one's finalisers let go of.
  await session.send("HeapProfiler.collectGarbage");
  await session.send("HeapProfiler.collectGarbage");
  const { usedSize } = await session.send("Runtime.getHeapUsage");
  const { nodes, documents, jsEventListeners } = await session.send("Memory.getDOMCounters");
  return { heapMB: toMB(usedSize), nodes, documents, listeners: jsEventListeners };
}

export const sessionOf = (page: Page): Promise<CDPSession> => page.context().newCDPSession(page);
