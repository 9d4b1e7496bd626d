import { spawnSync } from "node:child_process";
import { onTestFinished } from "vitest";
import { temporaryFolder } from "./temporary-library.ts";

/** Whether this machine lets the tests mount a file system of their own: Linux, as root, outside most containers. */
export const canMount = ((): boolean => {
  if (process.platform !== "linux" || process.getuid?.() !== 0) return false;
  // A private mount namespace, so that the probe leaves nothing behind.
  return spawnSync("unshare", ["--mount", "mount", "-t", "tmpfs", "tmpfs", "/mnt"]).status === 0;
})();

function mount(...args: string[]): void {
  const { status, stderr } = spawnSync("mount", args, { encoding: "utf8" });
  if (status !== 0) throw new Error(`mount ${args.join(" ")}: ${stderr}`);
}

/** A file system of its own (tmpfs) of so many bytes, which can be made read-only: for root a mode alone is no obstacle. */
export function smallDisk(sizeBytes: number) {
  const folder = temporaryFolder();
  mount("-t", "tmpfs", "-o", `size=${sizeBytes}`, "tmpfs", folder);
  onTestFinished(() => void spawnSync("umount", ["-l", folder]));
  return { folder, makeReadOnly: () => mount("-o", "remount,ro", folder) };
}
