/**
 * `npm start`: builds when needed, then opens Electron where its program is installed and the browser shell elsewhere.
 * Everything after `--` is given on.
 */
import { spawn, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import { hasDisplay } from "./browser/find-browser.ts";
import { buildState } from "./built.ts";
import { onEnding } from "./ending.ts";
import { findElectron } from "./find-electron.ts";

const root = join(import.meta.dirname, "..", "..");
const installerTimeoutMs = 20_000;

function build(): boolean {
  const state = buildState(root);
  if (state === "current") return true;
  console.log(
    state === "absent" ? "Building Crewglass, a few seconds." : "The sources changed: building Crewglass again.",
  );
  const tool = join(root, "node_modules", "electron-vite", "bin", "electron-vite.js");
  const done = spawnSync(process.execPath, [tool, "build", "--logLevel", "warn"], { cwd: root, encoding: "utf8" });
  if (done.status === 0) return true;
  console.error(`${done.stdout}${done.stderr}\nThe build failed; the lines above say where.`);
  return false;
}

/** The installer is tried once for each version, so that a machine that may not download does not wait every time. */
function tryElectronInstaller(packageFolder: string): string | null {
  const { version } = JSON.parse(readFileSync(join(packageFolder, "package.json"), "utf8")) as { version: string };
  const tried = join(root, "node_modules", ".cache", "crewglass", `electron-${version}-tried`);
  if (existsSync(tried)) return null;
  mkdirSync(dirname(tried), { recursive: true });
  writeFileSync(tried, "");
  console.log(`Fetching Electron's program once, ${installerTimeoutMs / 1000} s at most.`);
  spawnSync(process.execPath, [join(packageFolder, "install.js")], { timeout: installerTimeoutMs, stdio: "ignore" });
  return findElectron(packageFolder, process.env);
}

function electronProgram(): string | null {
  const packageFolder = join(root, "node_modules", "electron");
  if (!existsSync(packageFolder)) return null;
  const program = findElectron(packageFolder, process.env) ?? tryElectronInstaller(packageFolder);
  if (program === null) {
    console.log(
      "Electron's program is not installed (npx install-electron fetches it): opening the browser shell instead.",
    );
  }
  return program;
}

function runElectron(program: string, args: readonly string[]): void {
  const asRoot = process.platform === "linux" && process.getuid?.() === 0 ? ["--no-sandbox"] : [];
  const child = spawn(program, [...asRoot, root, ...args], { stdio: "inherit" });
  onEnding((signal) => child.kill(signal));
  child.once("exit", (code) => (process.exitCode = code ?? 1));
}

const args = process.argv.slice(2);
if (build()) {
  // Electron needs a display, and cannot run without a window.
  const program = hasDisplay() && !args.includes("--no-window") ? electronProgram() : null;
  if (program !== null) runElectron(program, args);
  else await import(pathToFileURL(join(root, "out", "main", "browser-shell.js")).href);
} else {
  process.exitCode = 1;
}
