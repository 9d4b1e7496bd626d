import { spawn } from "node:child_process";
import { Failure } from "#core/contract/errors";

const openers: Partial<Record<NodeJS.Platform, string>> = { linux: "xdg-open", darwin: "open", win32: "explorer" };

/** Opens a folder in the system's own window of files. Throws NOT_HERE where the system has no program for it. */
export async function showFolder(path: string): Promise<void> {
  const opener = openers[process.platform];
  const started = await new Promise<boolean>((settle) => {
    if (opener === undefined) return settle(false);
    const child = spawn(opener, [path], { stdio: "ignore", detached: true });
    child.once("error", () => settle(false));
    child.once("spawn", () => {
      child.unref();
      settle(true);
    });
  });
  if (!started)
    throw new Failure("NOT_HERE", `No program here opens folders from another program. It lies at ${path}.`, { path });
}
