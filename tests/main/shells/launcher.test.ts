/** What `npm start` decides before there is a window. */
import { spawn, spawnSync } from "node:child_process";
import { chmodSync, mkdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { beforeAll, describe, expect, onTestFinished, test, vi } from "vitest";
import { argumentsOfApp, parseShellArguments } from "../../../src-main/shells/arguments.ts";
import { findBrowser, hasDisplay, type Machine } from "../../../src-main/shells/browser/find-browser.ts";
import { profileFolderFor } from "../../../src-main/shells/browser/app-window.ts";
import { buildState } from "../../../src-main/shells/built.ts";
import { isOwnPage, mayOpenOutside } from "../../../src-main/shells/electron/boundary.ts";
import { findElectron } from "../../../src-main/shells/find-electron.ts";
import { ensureBuilt, projectRoot } from "../../helpers/launch.ts";
import { temporaryFolder } from "../store/temporary-library.ts";

const { version } = JSON.parse(readFileSync(join(projectRoot, "node_modules", "electron", "package.json"), "utf8")) as {
  version: string;
};

function write(path: string, text: string, mode = 0o644): void {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
  chmodSync(path, mode);
}

describe("Electron's program", () => {
  function aPackage(found: string): string {
    const folder = temporaryFolder();
    write(join(folder, "package.json"), JSON.stringify({ version: "45.4.1" }));
    write(join(folder, "path.txt"), "electron");
    write(join(folder, "dist", "version"), found);
    write(join(folder, "dist", "electron"), "", 0o755);
    return folder;
  }

  test("is found when it is of the locked version, with or without the v", () => {
    for (const found of ["45.4.1", "v45.4.1\n"]) {
      const folder = aPackage(found);
      expect(findElectron(folder, {})).toBe(join(folder, "dist", "electron"));
    }
  });

  test("is not found when it is of another version, or any part of it is missing", () => {
    expect(findElectron(aPackage("45.4.0"), {})).toBeNull();
    for (const missing of ["path.txt", "dist/version", "dist/electron", "package.json"]) {
      const folder = aPackage("45.4.1");
      rmSync(join(folder, missing));
      expect(findElectron(folder, {})).toBeNull();
    }
  });

  test("may lie where the environment says", () => {
    const elsewhere = join(aPackage("45.4.1"), "dist");
    expect(findElectron(aPackage("none"), { ELECTRON_OVERRIDE_DIST_PATH: elsewhere })).toBe(
      join(elsewhere, "electron"),
    );
  });
});

describe("a build", () => {
  function aHouse(): string {
    const root = temporaryFolder();
    const built = [
      "out/main/browser-shell.js",
      "out/main/electron.js",
      "out/preload/preload.cjs",
      "out/licences.txt",
      "out/sbom.cdx.json",
      "out/renderer/index.html",
    ];
    for (const path of [
      "src-core/field/a.ts",
      "src-main/b.ts",
      "src-renderer/c.tsx",
      "electron.vite.config.ts",
      ...built,
    ]) {
      write(join(root, path), "");
    }
    const at = (path: string, sec: number): void => utimesSync(join(root, path), sec, sec);
    for (const path of ["src-core/field/a.ts", "src-core/field", "src-core", "src-main/b.ts", "src-main"])
      at(path, 1000);
    for (const path of ["src-renderer/c.tsx", "src-renderer", "electron.vite.config.ts"]) at(path, 1000);
    for (const path of built) at(path, 2000);
    return root;
  }

  test("is current until a source is newer than any part of it", () => {
    const root = aHouse();
    expect(buildState(root)).toBe("current");
    utimesSync(join(root, "src-core/field/a.ts"), 3000, 3000);
    expect(buildState(root)).toBe("stale");
    utimesSync(join(root, "src-core/field/a.ts"), 1000, 1000);
    utimesSync(join(root, "out/preload/preload.cjs"), 500, 500);
    expect(buildState(root)).toBe("stale");
  });

  test("is stale when a source was taken away, and absent when a part of it is", () => {
    const root = aHouse();
    rmSync(join(root, "src-main/b.ts"));
    expect(buildState(root)).toBe("stale");
    rmSync(join(root, "out/main/electron.js"));
    expect(buildState(root)).toBe("absent");
  });
});

describe("the command line", () => {
  test("names a library, a port and no window", () => {
    expect(parseShellArguments(["--library", "/a/b.crewglass", "--no-window", "--port", "8080"])).toEqual({
      kind: "arguments",
      value: { libraryPath: "/a/b.crewglass", window: false, port: 8080 },
    });
    const { value } = parseShellArguments([]) as { value: { libraryPath: string } };
    expect(value).toMatchObject({ window: true, port: 0 });
    expect(value.libraryPath).toMatch(/Crewglass.library\.crewglass$/u);
  });

  test("is what follows the program's folder in Electron", () => {
    const person = ["--library", "x"];
    expect(argumentsOfApp(["/electron", "/app", ...person], false)).toEqual(person);
    expect(argumentsOfApp(["/electron", "--no-sandbox", "--inspect=1", ".", ...person], false)).toEqual(person);
    expect(argumentsOfApp(["/crewglass", ...person], true)).toEqual(person);
    expect(argumentsOfApp(["/electron"], false)).toEqual([]);
  });
});

describe("the browser", () => {
  const machine = (platform: NodeJS.Platform, env: Record<string, string>, ...programs: string[]): Machine => ({
    platform,
    env,
    isExecutable: (path) => programs.includes(path),
  });

  test("is an installed Chromium, Chrome or Edge, in that order", () => {
    const env = { PATH: "/a:/b" };
    expect(findBrowser(machine("linux", env, "/b/chromium", "/a/google-chrome"))).toBe("/b/chromium");
    expect(findBrowser(machine("linux", env, "/a/microsoft-edge", "/a/google-chrome"))).toBe("/a/google-chrome");
    expect(findBrowser(machine("linux", env, "/a/microsoft-edge"))).toBe("/a/microsoft-edge");
    expect(findBrowser(machine("linux", env, "/c/chromium"))).toBeNull();
    const edge = "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge";
    expect(findBrowser(machine("darwin", {}, edge))).toBe(edge);
  });

  test("needs a display on Linux", () => {
    expect(hasDisplay(machine("linux", {}))).toBe(false);
    expect(hasDisplay(machine("linux", { DISPLAY: "" }))).toBe(false);
    expect(hasDisplay(machine("linux", { WAYLAND_DISPLAY: "wayland-0" }))).toBe(true);
    expect(hasDisplay(machine("darwin", {}))).toBe(true);
  });

  test("gets a profile where it may write", () => {
    expect(profileFolderFor("/snap/bin/chromium", "/data", "x")).toMatch(/snap.chromium.common.crewglass.x$/u);
    expect(profileFolderFor(process.execPath, "/data", "x")).toBe(join("/data", "windows", "x"));
  });
});

describe("the boundary of the Electron window", () => {
  test("lets https links of named sites out, and nothing else", () => {
    const hosts = new Set(["crewglass.example"]);
    expect(mayOpenOutside("https://crewglass.example/help", hosts)).toBe(true);
    for (const url of [
      "http://crewglass.example/",
      "https://crewglass.example.evil.example/",
      "https://crewglass.example@evil.example/",
      "https://user@crewglass.example/",
      "https://crewglass.example:8443/",
      "file:///etc/passwd",
      "javascript:alert(1)",
      "nonsense",
    ]) {
      expect([url, mayOpenOutside(url, hosts)]).toEqual([url, false]);
    }
    expect(mayOpenOutside("https://crewglass.example/help")).toBe(false);
  });

  test("knows its own page from others", () => {
    expect(isOwnPage({ url: "app://crewglass/", parent: null })).toBe(true);
    expect(isOwnPage({ url: "app://crewglass.evil/", parent: null })).toBe(false);
  });
});

describe("npm start", () => {
  beforeAll(ensureBuilt, 60_000);

  const guard = join(projectRoot, "src-main", "shells", "node-version.cjs");
  const launcher = join(projectRoot, "src-main", "shells", "start.ts");

  test("on a Node that is too old says one sentence", () => {
    const old = join(temporaryFolder(), "old.cjs");
    writeFileSync(
      old,
      'Object.defineProperty(process, "versions", { value: { ...process.versions, node: "20.20.2" } });',
    );
    const done = spawnSync(process.execPath, ["-r", old, "-r", guard, launcher], { encoding: "utf8" });
    expect(done.status).toBe(1);
    expect(done.stderr).toMatch(/^Crewglass needs Node 24 or newer.*\n$/u);
    expect(done.stdout).toBe("");
  });

  test("opens Electron where its program is installed, with the person's arguments", async () => {
    const dist = temporaryFolder();
    write(join(dist, "version"), version);
    write(join(dist, "electron"), `#!/bin/sh\nprintf '%s\\n' "$@" > "${dist}/arguments"\nexit 3\n`, 0o755);
    const env = { ...process.env, DISPLAY: ":77", ELECTRON_OVERRIDE_DIST_PATH: dist };
    const child = spawn(process.execPath, [launcher, "--library", "x"], { env, stdio: "ignore" });
    expect(await new Promise((settle) => child.once("exit", settle))).toBe(3);
    const args = readFileSync(join(dist, "arguments"), "utf8").trim().split("\n");
    expect(args.filter((argument) => argument !== "--no-sandbox")).toEqual([
      projectRoot.replace(/\/$/u, ""),
      "--library",
      "x",
    ]);
    expect(args.includes("--no-sandbox")).toBe(process.getuid?.() === 0);
  });

  test("without a window opens the browser shell, whether or not Electron is there", async () => {
    const child = spawn(process.execPath, [
      launcher,
      "--no-window",
      "--library",
      join(temporaryFolder(), "l.crewglass"),
    ]);
    onTestFinished(() => void child.kill("SIGKILL"));
    let output = "";
    child.stdout.on("data", (chunk: Buffer) => (output += chunk.toString()));
    await vi.waitFor(() => expect(output).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/open\?ticket=/mu), 15_000);
    const ended = new Promise((settle) => child.once("exit", settle));
    child.kill("SIGTERM");
    expect(await ended).toBe(0);
  }, 20_000);

  test.skipIf(process.platform === "win32")(
    "ends with the npm that started it, even when its shell says nothing",
    async () => {
      const library = join(temporaryFolder(), "l.crewglass");
      // Stands for npm's shell: it waits for the program and dies of the signal without giving it on.
      const script = `"${process.execPath}" "${launcher}" --no-window --library "${library}" & wait`;
      const env = { ...process.env, npm_lifecycle_event: "start" };
      const shell = spawn("/bin/sh", ["-c", script], { env, stdio: ["ignore", "pipe", "ignore"] });
      let output = "";
      shell.stdout.on("data", (chunk: Buffer) => (output += chunk.toString()));
      const closed = new Promise<string>((settle) => shell.stdout.once("close", () => settle("ended")));
      await vi.waitFor(() => expect(output).toMatch(/ticket=/u), 15_000);
      shell.kill("SIGTERM");
      // The pipe is shared with the program, so that it closes only when that has ended too.
      expect(await Promise.race([closed, pause(10_000, "still there")])).toBe("ended");
    },
    20_000,
  );
});

describe("the browser shell's sources", () => {
  test("reach no electron, in the sources and in the build", () => {
    const start = join(projectRoot, "src-main", "shells", "browser", "browser-shell.ts");
    const reached = reach(start, new Set());
    expect([...reached].some((file) => file.endsWith("create-service.ts"))).toBe(true);
    for (const file of reached)
      expect([file, importsOf(file)]).toEqual([file, expect.not.arrayContaining(["electron"])]);

    const built = reach(join(projectRoot, "out", "main", "browser-shell.js"), new Set());
    expect(built.size).toBeGreaterThan(1);
    for (const file of built) expect([file, importsOf(file)]).toEqual([file, expect.not.arrayContaining(["electron"])]);
    const electronEntry = importsOf(join(projectRoot, "out", "main", "electron.js"));
    expect(electronEntry).toContain("electron");
  });
});

/** Every module named in a file, by import, export from, or import(). */
function importsOf(file: string): readonly string[] {
  const source = readFileSync(file, "utf8");
  return [...source.matchAll(/(?:\bfrom\s*|\bimport\s*\(?\s*)["'`]([^"'`\n]+)["'`]/gu)].map((match) => match[1] ?? "");
}

function reach(file: string, seen: Set<string>): Set<string> {
  if (seen.has(file)) return seen;
  seen.add(file);
  for (const name of importsOf(file)) {
    if (name.startsWith(".") && /\.[cm]?[jt]s$/u.test(name)) reach(join(dirname(file), name), seen);
    if (name.startsWith("#core/")) reach(join(projectRoot, "src-core", `${name.slice(6)}.ts`), seen);
  }
  return seen;
}
