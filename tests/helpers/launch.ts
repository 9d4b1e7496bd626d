/**
 * Starts the browser shell as a child, on a library of its own and without a window, and reads the address it prints.
 * For tests that drive or attack the running program.
 */
import { spawn, spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { buildState } from "../../src-main/shells/built.ts";

export const projectRoot = fileURLToPath(new URL("../..", import.meta.url));

export type LaunchedShell = {
  /** Opens the window once: `http://127.0.0.1:PORT/open?ticket=…` */
  readonly address: string;
  readonly origin: string;
  readonly libraryPath: string;
  readonly pid: number;
  /** Everything printed so far, both streams. */
  readonly output: () => string;
  /** Ends the program as a person's Ctrl+C would, and gives its exit code. A library made here is removed. */
  readonly stop: (options?: { readonly keepLibrary?: boolean }) => Promise<number>;
};

export type LaunchOptions = {
  /** A library to open; without it a new one in a temporary folder. */
  readonly libraryPath?: string;
  readonly args?: readonly string[];
  /** Folder of the package.json of the program to start; without it this project's own, built when it has to be. */
  readonly programFolder?: string;
  readonly env?: Readonly<Record<string, string>>;
};

/** Rejects with what the program printed when it ends, or says nothing for 30 s, before there is an address. */
export async function launchShell(options: LaunchOptions = {}): Promise<LaunchedShell> {
  if (options.programFolder === undefined) await ensureBuilt();
  const programFolder = options.programFolder ?? projectRoot;
  const folder = options.libraryPath === undefined ? mkdtempSync(join(tmpdir(), "crewglass-test-")) : null;
  const libraryPath = options.libraryPath ?? join(folder ?? "", "library.crewglass");
  const program = join(programFolder, "out", "main", "browser-shell.js");
  const args = [program, "--no-window", "--library", libraryPath, ...(options.args ?? [])];
  const child = spawn(process.execPath, args, {
    cwd: programFolder,
    // The program's own log lies beside the library, and not among the person's.
    env: { ...process.env, XDG_STATE_HOME: join(libraryPath, "..", "state"), ...options.env },
    stdio: ["ignore", "pipe", "pipe"],
  });
  let printed = "";
  const exited = new Promise<number>((settle) => child.once("exit", (code) => settle(code ?? 1)));
  const address = await new Promise<string>((settle, fail) => {
    const timer = setTimeout(() => {
      child.kill("SIGKILL");
      fail(new Error(`The program printed no address in 30 s:\n${printed}`));
    }, 30_000);
    const read = (chunk: Buffer): void => {
      printed += chunk.toString();
      const found = /^http:\/\/127\.0\.0\.1:\d+\/open\?ticket=\S+$/mu.exec(printed)?.[0];
      if (found === undefined) return;
      clearTimeout(timer);
      settle(found);
    };
    child.stdout.on("data", read);
    child.stderr.on("data", read);
    void exited.then((code) => {
      clearTimeout(timer);
      fail(new Error(`The program ended with code ${code}:\n${printed}`));
    });
  });
  return {
    address,
    origin: new URL(address).origin,
    libraryPath,
    pid: child.pid ?? 0,
    output: () => printed,
    stop: async ({ keepLibrary = false } = {}) => {
      child.kill("SIGTERM");
      const timer = setTimeout(() => child.kill("SIGKILL"), 10_000);
      const code = await exited;
      clearTimeout(timer);
      if (folder !== null && !keepLibrary) rmSync(folder, { recursive: true, force: true });
      return code;
    },
  };
}

/** Builds when out/ is absent or older than the sources; test files that run side by side build once. */
export async function ensureBuilt(): Promise<void> {
  const lock = join(projectRoot, "node_modules", ".cache", "crewglass-building");
  while (buildState(projectRoot) !== "current") {
    if (!takeLock(lock)) {
      await pause(100);
      continue;
    }
    try {
      if (buildState(projectRoot) === "current") return;
      const tool = join(projectRoot, "node_modules", "electron-vite", "bin", "electron-vite.js");
      const built = spawnSync(process.execPath, [tool, "build", "--logLevel", "warn"], {
        cwd: projectRoot,
        encoding: "utf8",
      });
      if (built.status !== 0) throw new Error(`The build failed:\n${built.stdout}${built.stderr}`);
      return;
    } finally {
      rmSync(lock, { recursive: true, force: true });
    }
  }
}

const staleLockMs = 120_000;

function takeLock(folder: string): boolean {
  mkdirSync(join(folder, ".."), { recursive: true });
  try {
    mkdirSync(folder);
    return true;
  } catch {
    const heldSinceMs = statSync(folder, { throwIfNoEntry: false })?.mtimeMs ?? Date.now();
    if (Date.now() - heldSinceMs > staleLockMs) rmSync(folder, { recursive: true, force: true });
    return false;
  }
}
