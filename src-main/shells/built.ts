/** Whether out/ holds a build of the sources as they are now. */
import { readdirSync, statSync } from "node:fs";
import { join } from "node:path";

const sources = ["src-core", "src-main", "src-renderer", "electron.vite.config.ts", "package-lock.json"];
const outputs = [
  "out/main/browser-shell.js",
  "out/main/electron.js",
  "out/preload/preload.cjs",
  "out/renderer/index.html",
  "out/licences.txt",
  "out/sbom.cdx.json",
];

export type BuildState = "current" | "absent" | "stale";

/** By modification times; a file that was only touched counts as changed. */
export function buildState(root: string): BuildState {
  const built = outputs.map((path) => modifiedMs(join(root, path)));
  if (built.includes(null)) return "absent";
  const oldestMs = Math.min(...built.map((timeMs) => timeMs ?? 0));
  return sources.some((path) => newestMs(join(root, path)) > oldestMs) ? "stale" : "current";
}

function modifiedMs(path: string): number | null {
  return statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? null;
}

function newestMs(path: string): number {
  const stat = statSync(path, { throwIfNoEntry: false });
  if (stat === undefined) return 0;
  if (!stat.isDirectory()) return stat.mtimeMs;
  // A folder's own time tells of files that were removed.
  return Math.max(stat.mtimeMs, ...readdirSync(path).map((name) => newestMs(join(path, name))));
}
