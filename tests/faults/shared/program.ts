/** The running program as a child that can be hurt: the browser shell on a library, without a window of its own. */
import { spawn } from "node:child_process";
import { type AddressInfo, createServer } from "node:net";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { projectRoot } from "../../helpers/launch.ts";

export type Program = {
  readonly pid: number;
  /** The address of its window, which opens once; rejects with what it printed when it ends before, or after 30 s. */
  readonly address: Promise<string>;
  /** Its exit code; 137 when it was killed. */
  readonly ended: Promise<number>;
  readonly output: () => string;
  /** SIGKILL to the program itself, and waits until it is gone. */
  readonly kill: () => Promise<void>;
  /** As a person's Ctrl+C. */
  readonly stop: () => Promise<number>;
};

const patienceMs = 30_000;
const running = new Set<number>();
// However the harness itself ends, it leaves no program behind.
for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"] as const) process.once(signal, () => process.exit(1));
process.once("exit", killLeftovers);

/** Ends the programs that a try has left behind, as one does that breaks off half way. */
export function killLeftovers(): void {
  for (const pid of running) {
    try {
      process.kill(pid, "SIGKILL");
    } catch {
      // It has ended meanwhile.
    }
  }
}

export type ProgramOptions = {
  readonly env?: Readonly<Record<string, string>>;
  /** A port of its own, so that a browser knows the window again; any free one without it. */
  readonly port?: number;
  /** Another person of this machine, whom modes hold for; only root can start a program as one. */
  readonly uid?: number;
};

export function startProgram(libraryPath: string, { env = {}, port = 0, uid }: ProgramOptions = {}): Program {
  const shell = join(projectRoot, "out", "main", "browser-shell.js");
  return startNode([shell, "--no-window", "--library", libraryPath, "--port", String(port)], env, uid);
}

/** A port that nobody has now. */
export async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((settle) => server.listen(0, "127.0.0.1", settle));
  const { port } = server.address() as AddressInfo;
  await new Promise((settle) => server.close(settle));
  return port;
}

/** The work without a window, as `npm run crewglass` starts it. */
export function startCommand(...args: readonly string[]): Program {
  return startNode([join(projectRoot, "src-main", "command", "crewglass.ts"), ...args], {});
}

function startNode(args: readonly string[], env: Readonly<Record<string, string>>, uid?: number): Program {
  // Without npm's own mark: the program would look for a parent that has gone.
  const { npm_lifecycle_event: _, ...inherited } = process.env;
  const child = spawn(process.execPath, [...args], {
    cwd: projectRoot,
    // Its log is not kept among the person's.
    env: { ...inherited, XDG_STATE_HOME: join(tmpdir(), "crewglass-test-state"), ...env },
    stdio: ["ignore", "pipe", "pipe"],
    ...(uid === undefined ? {} : { uid, gid: uid }),
  });
  const pid = child.pid ?? 0;
  running.add(pid);
  let printed = "";
  const ended = new Promise<number>((settle) => {
    child.once("close", (code) => {
      running.delete(pid);
      settle(code ?? 137);
    });
  });
  const address = new Promise<string>((settle, fail) => {
    const timer = setTimeout(() => fail(new Error(`No address in ${patienceMs} ms:\n${printed}`)), patienceMs);
    const read = (chunk: Buffer): void => {
      printed += chunk.toString();
      const found = /^http:\/\/127\.0\.0\.1:\d+\/open\?ticket=\S+$/mu.exec(printed)?.[0];
      if (found === undefined) return;
      clearTimeout(timer);
      settle(found);
    };
    child.stdout.on("data", read);
    child.stderr.on("data", read);
    void ended.then((code) => {
      clearTimeout(timer);
      fail(new Error(`The program ended with code ${code}:\n${printed}`));
    });
  });
  // Whoever kills it at once never asks for the address.
  address.catch(() => undefined);
  const kill = async (): Promise<void> => {
    child.kill("SIGKILL");
    await ended;
  };
  return {
    pid,
    address,
    ended,
    output: () => printed,
    kill,
    stop: async () => {
      child.kill("SIGTERM");
      const timer = setTimeout(() => child.kill("SIGKILL"), 10_000);
      const code = await ended;
      clearTimeout(timer);
      return code;
    },
  };
}

/** A folder of its own for a group, removed at the end. */
export async function inTemporaryFolder<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), "crewglass-faults-"));
  try {
    return await work(folder);
  } finally {
    killLeftovers();
    rmSync(folder, { recursive: true, force: true, maxRetries: 3 });
  }
}
