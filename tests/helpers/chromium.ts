/**
 * Finds the Chromium that browser tests run in: an installed Chromium, Chrome or Edge. The build that playwright can
 * download is never used, because it comes without the H.264 decoder that film needs.
 */
import { accessSync, constants } from "node:fs";
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
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
];

const windowsSuffixes = [
  "Chromium\\Application\\chrome.exe",
  "Google\\Chrome\\Application\\chrome.exe",
  "Microsoft\\Edge\\Application\\msedge.exe",
];

/** Path of a program on PATH, or null. */
export function findOnPath(name: string): string | null {
  const folders = (process.env["PATH"] ?? "").split(delimiter).filter((folder) => folder !== "");
  const file = process.platform === "win32" ? `${name}.exe` : name;
  return folders.map((folder) => join(folder, file)).find(isExecutable) ?? null;
}

/** Path of an installed Chromium, Chrome or Edge, or null when the machine has none. */
export function findChromium(): string | null {
  if (process.platform === "darwin") return macPaths.find(isExecutable) ?? null;
  if (process.platform === "win32") {
    const roots = ["PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA"].flatMap((key) => process.env[key] ?? []);
    const paths = windowsSuffixes.flatMap((suffix) => roots.map((root) => join(root, suffix)));
    return paths.find(isExecutable) ?? null;
  }
  for (const name of linuxNames) {
    const path = findOnPath(name);
    if (path !== null) return path;
  }
  return null;
}

/** Flags for a test browser: it asks the network for nothing, and starts as root too (containers). */
export function chromiumFlags(): string[] {
  const flags = [
    "--no-first-run",
    "--no-default-browser-check",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-default-apps",
    "--disable-features=Translate,MediaRouter,OptimizationHints",
    "--password-store=basic",
    "--autoplay-policy=no-user-gesture-required",
    "--mute-audio",
  ];
  const isRoot = process.platform !== "win32" && process.getuid?.() === 0;
  return isRoot ? [...flags, "--no-sandbox", "--test-type"] : flags;
}

function isExecutable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
