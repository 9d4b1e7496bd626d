import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { onTestFinished } from "vitest";

const script = join(import.meta.dirname, "commit-until-killed.ts");

/** Another process on a library; `lines` is what it has said so far. Killed at the latest when the test ends. */
export async function startOther(path: string, mode: "--hold" | "--edit", enough: (line: string) => boolean) {
  const child: ChildProcess = spawn(process.execPath, [script, path, mode], { stdio: ["ignore", "pipe", "pipe"] });
  onTestFinished(() => void child.kill("SIGKILL"));
  const exited = once(child, "exit");
  const lines: string[] = [];
  let complaint = "";
  child.stderr?.on("data", (data: Buffer) => (complaint += data.toString()));
  if (child.stdout === null) throw new Error("the other process has no output");
  const reader = createInterface({ input: child.stdout });
  const read = once(reader, "close");
  await new Promise<void>((resolve, reject) => {
    reader.on("line", (line) => {
      lines.push(line);
      if (enough(line)) resolve();
    });
    void exited.then(() => reject(new Error(`the other process ended early: ${complaint}`)));
  });
  return {
    pid: child.pid ?? 0,
    lines,
    kill: async () => {
      child.kill("SIGKILL");
      await exited;
      await read;
    },
  };
}
