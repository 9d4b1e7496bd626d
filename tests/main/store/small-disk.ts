import { onTestFinished } from "vitest";
import { mount, unmount } from "../../helpers/own-disk.ts";
import { temporaryFolder } from "./temporary-library.ts";

export { canMount } from "../../helpers/own-disk.ts";

/** A file system of its own (tmpfs) of so many bytes, which can be made read-only: for root a mode alone is no obstacle. */
export function smallDisk(sizeBytes: number) {
  const folder = temporaryFolder();
  mount("-t", "tmpfs", "-o", `size=${sizeBytes}`, "tmpfs", folder);
  onTestFinished(() => unmount(folder));
  return { folder, makeReadOnly: () => mount("-o", "remount,ro", folder) };
}
