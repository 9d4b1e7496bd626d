/** The browser shell from start to end, as a child, with a stand-in for the browser where a window is opened. */
import { spawn } from "node:child_process";
import { chmodSync, existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { delimiter, join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import { beforeAll, describe, expect, onTestFinished, test, vi } from "vitest";
import { applicationId } from "../../../src-main/store/upgrade.ts";
import { ensureBuilt, launchShell, projectRoot } from "../../helpers/launch.ts";
import { temporaryFolder } from "../store/temporary-library.ts";
import { ask, callsOver, cookieOf, openSocket } from "./ask.ts";

beforeAll(ensureBuilt, 60_000);

const isRoot = process.getuid?.() === 0;
const isDebian = existsSync("/etc/debian_version") && existsSync("/usr/bin/apt-get");

const program = join(projectRoot, "out", "main", "browser-shell.js");

type Run = {
  readonly pid: number;
  readonly ended: Promise<number>;
  readonly output: () => string;
  readonly kill: (signal: NodeJS.Signals) => void;
};

function run(args: readonly string[], env: Readonly<Record<string, string>> = {}): Run {
  const child = spawn(process.execPath, [program, ...args], {
    env: { ...process.env, ...env },
    stdio: ["ignore", "pipe", "pipe"],
  });
  let output = "";
  child.stdout.on("data", (chunk: Buffer) => (output += chunk.toString()));
  child.stderr.on("data", (chunk: Buffer) => (output += chunk.toString()));
  const ended = new Promise<number>((settle) => child.once("close", (code) => settle(code ?? -1)));
  onTestFinished(() => void child.kill("SIGKILL"));
  return { pid: child.pid ?? 0, ended, output: () => output, kill: (signal) => void child.kill(signal) };
}

/** A process that has ended and that nobody has waited for yet is not alive, though signals still reach it. */
function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    if (process.platform !== "linux") return true;
    return !/^\d+ \(.*\) [ZX] /u.test(readFileSync(`/proc/${pid}/stat`, "utf8"));
  } catch {
    return false;
  }
}

/** A program called chromium that notes how it was started, has a child of its own, and lives until told otherwise. */
function standInBrowser(life = "sleep 60 & echo $! > child; echo $$ > pid; wait") {
  const folder = temporaryFolder();
  writeFileSync(
    join(folder, "chromium"),
    `#!/bin/sh\nPATH=/usr/bin:/bin\ncd "${folder}"\nprintf '%s\\n' "$@" > arguments\n${life}\n`,
  );
  chmodSync(join(folder, "chromium"), 0o755);
  const state = temporaryFolder();
  const read = (name: string): string => readFileSync(join(folder, name), "utf8");
  return {
    path: join(folder, "chromium"),
    env: { PATH: `${folder}${delimiter}${process.env["PATH"]}`, DISPLAY: ":77", XDG_STATE_HOME: state },
    state,
    started: () => vi.waitFor(() => expect(read("pid")).toMatch(/\d/u), 10_000),
    flags: () => read("arguments").trim().split("\n"),
    pids: () => [Number(read("pid")), Number(read("child"))],
  };
}

const address = (flags: readonly string[]): string => flags.find((flag) => flag.startsWith("--app="))?.slice(6) ?? "";

describe.skipIf(process.platform === "win32")("the window", () => {
  test("is an app window of the browser, in a profile of its own", async () => {
    const browser = standInBrowser();
    const shell = run(["--library", join(temporaryFolder(), "l.crewglass")], browser.env);
    await browser.started();
    const flags = browser.flags();
    const profile = flags.find((flag) => flag.startsWith("--user-data-dir="))?.slice(16) ?? "";
    expect(profile.startsWith(join(browser.state, "crewglass"))).toBe(true);
    expect(existsSync(profile)).toBe(true);
    expect(flags).toEqual(
      expect.arrayContaining([
        "--no-first-run",
        "--no-default-browser-check",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--disable-features=Translate,MediaRouter",
        "--password-store=basic",
      ]),
    );
    expect(flags.includes("--no-sandbox")).toBe(process.getuid?.() === 0);
    // The window's address is not printed: it opens once, and the window has it.
    expect(shell.output()).not.toContain("ticket");
    const cookie = await cookieOf(address(flags));
    expect((await ask(new URL(address(flags)).origin, "/", { headers: { cookie } })).status).toBe(200);
    shell.kill("SIGTERM");
    expect(await shell.ended).toBe(0);
    expect(existsSync(profile)).toBe(false);
  });

  test.each(["SIGTERM", "SIGINT", "SIGHUP"] as const)(
    "%s ends the program and leaves no child behind",
    async (signal) => {
      const browser = standInBrowser();
      const shell = run(["--library", join(temporaryFolder(), "l.crewglass")], browser.env);
      await browser.started();
      expect(browser.pids().map(isAlive)).toEqual([true, true]);
      shell.kill(signal);
      expect(await shell.ended).toBe(0);
      await vi.waitFor(() => expect(browser.pids().map(isAlive)).toEqual([false, false]));
    },
  );

  test("a browser that ignores the signal is ended all the same", async () => {
    const browser = standInBrowser(
      "trap '' TERM; (trap '' TERM; exec sleep 60) & echo $! > child; echo $$ > pid; wait",
    );
    const shell = run(["--library", join(temporaryFolder(), "l.crewglass")], browser.env);
    await browser.started();
    shell.kill("SIGTERM");
    expect(await shell.ended).toBe(0);
    await vi.waitFor(() => expect(browser.pids().map(isAlive)).toEqual([false, false]));
  }, 15_000);

  test("closing it ends the program", async () => {
    const shell = run(["--library", join(temporaryFolder(), "l.crewglass")], standInBrowser("exit 0").env);
    expect(await shell.ended).toBe(0);
    expect(shell.output()).toContain("Closing the window ends it.");
  });

  test("a browser that cannot start leaves an address to open by hand", async () => {
    const shell = run(["--library", join(temporaryFolder(), "l.crewglass")], standInBrowser("exit 7").env);
    await vi.waitFor(() => expect(shell.output()).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/open\?ticket=/mu), 10_000);
    expect(shell.output()).toContain("stopped with code 7");
    shell.kill("SIGTERM");
    expect(await shell.ended).toBe(0);
  });

  test("shows why a library cannot be opened, and the program ends with 1 when it is closed", async () => {
    const path = join(temporaryFolder(), "l.crewglass");
    writeFileSync(path, "a shopping list");
    const browser = standInBrowser();
    const shell = run(["--library", path], browser.env);
    await browser.started();
    const opened = address(browser.flags());
    const { origin } = new URL(opened);
    const client = callsOver(await openSocket(origin, { cookie: await cookieOf(opened), origin }));
    expect(await client.library.opening()).toMatchObject({
      state: "closed",
      reason: "not-a-library",
      sentence: expect.stringMatching(/is not a Crewglass library.*was left as it is/u),
      // A person's own file is not to be put aside for a new library.
      canReplace: false,
    });
    expect(shell.output()).toContain("is not a Crewglass library");
    shell.kill("SIGTERM");
    expect(await shell.ended).toBe(1);
    expect(readFileSync(path, "utf8")).toBe("a shopping list");
  });
});

describe("without a window", () => {
  test("no display: says so, prints an address, and stays", async () => {
    const env = { DISPLAY: "", WAYLAND_DISPLAY: "" };
    const shell = run(["--library", join(temporaryFolder(), "l.crewglass")], env);
    await vi.waitFor(() => expect(shell.output()).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/open\?ticket=/mu), 10_000);
    if (process.platform === "linux") expect(shell.output()).toContain("There is no display here");
    expect(isAlive(shell.pid)).toBe(true);
    shell.kill("SIGTERM");
    expect(await shell.ended).toBe(0);
  });

  test("no browser: says so in one line, prints an address, and stays", async () => {
    // As root on Debian the program would install a browser: it is told that it is not root.
    const notRoot = "--import=data:text/javascript,process.getuid=()=>1000";
    const env = { DISPLAY: ":77", PATH: temporaryFolder(), NODE_OPTIONS: notRoot };
    const shell = run(["--library", join(temporaryFolder(), "l.crewglass")], env);
    await vi.waitFor(() => expect(shell.output()).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/open\?ticket=/mu), 10_000);
    expect(shell.output().split("\n")[0]).toMatch(/^No Chromium, Chrome or Edge is installed: /u);
    expect(isAlive(shell.pid)).toBe(true);
    shell.kill("SIGTERM");
    expect(await shell.ended).toBe(0);
  });

  test.runIf(isRoot && isDebian)("no browser, Debian, root: says so, installs chromium and opens it", async () => {
    const browser = standInBrowser();
    const folder = temporaryFolder();
    // A stand-in for apt-get whose "installation" puts the stand-in browser on the PATH.
    const apt = `#!/bin/sh\necho "$@" >> "${folder}/asked"\n[ "$1" = install ] && /bin/cp "${browser.path}" "${folder}/chromium"\n`;
    writeFileSync(join(folder, "apt-get"), apt);
    chmodSync(join(folder, "apt-get"), 0o755);
    const shell = run(["--library", join(temporaryFolder(), "l.crewglass")], { ...browser.env, PATH: folder });
    await browser.started();
    expect(shell.output()).toMatch(/^No Chromium, Chrome or Edge is installed: installing Debian's chromium/u);
    expect(readFileSync(join(folder, "asked"), "utf8")).toBe(
      "update -q\ninstall -y -q --no-install-recommends chromium\n",
    );
    shell.kill("SIGTERM");
    expect(await shell.ended).toBe(0);
  });

  test.each<[string, (path: string) => void, RegExp]>([
    ["newer", (path) => newerLibrary(path), /was made by a newer Crewglass \(schema 9000\).*update the program/u],
    ["not a library", (path) => writeFileSync(path, "a shopping list"), /is not a Crewglass library/u],
    ["a folder", (path) => mkdirSync(path), /is not a Crewglass library/u],
  ])("a library that is %s: a sentence and code 1", async (_name, make, sentence) => {
    const path = join(temporaryFolder(), "l.crewglass");
    make(path);
    const shell = run(["--no-window", "--library", path]);
    expect(await shell.ended).toBe(1);
    expect(shell.output()).toMatch(sentence);
    expect(shell.output().trim().split("\n")).toHaveLength(1);
  });

  test("a second start on the same library: a sentence and code 1, and the first goes on", async () => {
    const first = await launchShell();
    try {
      const second = run(["--no-window", "--library", first.libraryPath]);
      expect(await second.ended).toBe(1);
      expect(second.output()).toMatch(/use the window that is already open/u);
      const cookie = await cookieOf(first.address);
      expect((await ask(first.origin, "/", { headers: { cookie } })).status).toBe(200);
    } finally {
      await first.stop();
    }
  });

  test("a library outlives its program, also when that is killed", async () => {
    const libraryPath = join(temporaryFolder(), "l.crewglass");
    const first = run(["--no-window", "--library", libraryPath]);
    await vi.waitFor(() => expect(first.output()).toContain("ticket"), 10_000);
    first.kill("SIGKILL");
    await first.ended;
    const again = await launchShell({ libraryPath });
    expect(await again.stop()).toBe(0);
  });

  test("a port that is taken: a sentence and code 1", async () => {
    const other = createServer();
    const port = await new Promise<number>((settle) =>
      other.listen(0, "127.0.0.1", () => settle((other.address() as { port: number }).port)),
    );
    onTestFinished(() => void other.close());
    const shell = run(["--no-window", "--port", String(port), "--library", join(temporaryFolder(), "l.crewglass")]);
    expect(await shell.ended).toBe(1);
    expect(shell.output()).toContain(`Port ${port} is taken`);
  });

  test("arguments that make no sense: a sentence and code 2", async () => {
    for (const args of [["--port", "x"], ["--port", "70000"], ["--library", ""], ["--libary", "x"], ["film.mp4"]]) {
      const shell = run(["--no-window", ...args]);
      expect([args, await shell.ended]).toEqual([args, 2]);
      expect(shell.output()).toContain("Usage: npm start --");
    }
  });
});

function newerLibrary(path: string): void {
  const db = new BetterSqlite3(path);
  db.pragma(`application_id = ${applicationId}`);
  db.pragma("user_version = 9000");
  db.exec("CREATE TABLE of_tomorrow (x INTEGER) STRICT");
  db.close();
}
