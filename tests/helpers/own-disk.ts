/** A file system of a test's own (tmpfs, or a folder mounted a second time), for what only a real one does. */
import { spawnSync } from "node:child_process";

/** Whether this machine lets the tests mount one: Linux, as root, outside most containers. */
export const canMount = ((): boolean => {
  if (process.platform !== "linux" || process.getuid?.() !== 0) return false;
  // A private mount namespace, so that the probe leaves nothing behind.
  return spawnSync("unshare", ["--mount", "mount", "-t", "tmpfs", "tmpfs", "/mnt"]).status === 0;
})();

export const cannotMount = "cannot be tried here: this machine gives no right to mount";

export function mount(...args: string[]): void {
  const { status, stderr } = spawnSync("mount", args, { encoding: "utf8" });
  if (status !== 0) throw new Error(`mount ${args.join(" ")}: ${stderr}`);
}

/** Takes it away even while files on it are open: whoever has them keeps them, and nobody else finds them. */
export function unmount(folder: string): void {
  spawnSync("umount", ["-l", folder]);
}
