/** Finds an installed Chromium, Chrome or Edge to open the window in, and on Debian can install one. */
import { spawnSync } from "node:child_process";
import { accessSync, constants, existsSync } from "node:fs";
import { delimiter, join } from "node:path";

const linuxNames = [
  "chromium",
  "chromium-browser",
  "google-chrome-stable",
  "google-chrome",
  "microsoft-edge-stable",
  "microsoft-edge",
];

const macPaths = [
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
];

const windowsPaths = [
  "Google\\Chrome\\Application\\chrome.exe",
  "Microsoft\\Edge\\Application\\msedge.exe",
  "Chromium\\Application\\chrome.exe",
];

export type Machine = {
  readonly platform: NodeJS.Platform;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly isExecutable: (path: string) => boolean;
};

export const thisMachine: Machine = {
  platform: process.platform,
  env: process.env,
  isExecutable: (path) => {
    try {
      accessSync(path, constants.X_OK);
      return true;
    } catch {
      return false;
    }
  },
};

/** Absolute path of the browser's program, or null when the machine has none. */
export function findBrowser(machine: Machine = thisMachine): string | null {
  return candidates(machine).find(machine.isExecutable) ?? null;
}

function candidates({ platform, env }: Machine): readonly string[] {
  if (platform === "darwin") return macPaths;
  if (platform === "win32") {
    const roots = ["PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA"].flatMap((key) => env[key] ?? []);
    return windowsPaths.flatMap((path) => roots.map((root) => join(root, path)));
  }
  const folders = (env["PATH"] ?? "").split(delimiter).filter((folder) => folder !== "");
  return linuxNames.flatMap((name) => folders.map((folder) => join(folder, name)));
}

/** Whether a window can be shown at all. */
export function hasDisplay({ platform, env }: Machine = thisMachine): boolean {
  if (platform === "darwin" || platform === "win32") return true;
  return (env["DISPLAY"] ?? "") !== "" || (env["WAYLAND_DISPLAY"] ?? "") !== "";
}

/** Debian's chromium, where this process may install it. Says so first; null when it may not or it did not come. */
export function installBrowser(say: (line: string) => void): string | null {
  const mayInstall = process.getuid?.() === 0 && existsSync("/etc/debian_version") && existsSync("/usr/bin/apt-get");
  if (!mayInstall) return null;
  say("No Chromium, Chrome or Edge is installed: installing Debian's chromium with apt-get, about a minute.");
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
  spawnSync("apt-get", ["update", "-q"], { stdio: "ignore", env });
  spawnSync("apt-get", ["install", "-y", "-q", "--no-install-recommends", "chromium"], { stdio: "ignore", env });
  return findBrowser();
}
