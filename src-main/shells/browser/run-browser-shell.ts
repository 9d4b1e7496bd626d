/** The browser shell from start to end: library, server, window, and a clean end whichever way it comes. */
import { createHash } from "node:crypto";
import { parseShellArguments, type ShellArguments } from "../arguments.ts";
import { dataFolder } from "../data-folder.ts";
import { onEnding } from "../ending.ts";
import type { Pages } from "../pages.ts";
import { createSocketService } from "../serve-calls.ts";
import type { OpenWorkstation, Workstation } from "../workstation.ts";
import { openAppWindow, profileFolderFor } from "./app-window.ts";
import { findBrowser, hasDisplay, installBrowser } from "./find-browser.ts";
import { showFolder } from "./show-folder.ts";
import { startShellServer, type ShellServer } from "./server.ts";

export type BrowserShellParts = {
  readonly args: readonly string[];
  readonly readPages: () => Pages;
  readonly openWorkstation: OpenWorkstation;
  /** See ShellServerOptions. */
  readonly policy?: (socketOrigin: string) => string;
};

const say = (line: string): void => console.log(line);

/** Runs until the window is closed or a signal comes. Returns the exit code. */
export async function runBrowserShell(parts: BrowserShellParts): Promise<number> {
  const parsed = parseShellArguments(parts.args);
  if (parsed.kind === "refused") {
    console.error(parsed.sentence);
    return 2;
  }
  const args = parsed.value;
  const workstation = await parts.openWorkstation({
    libraryPath: args.libraryPath,
    pickFilm: null,
    showFolder: hasDisplay() ? showFolder : null,
  });
  try {
    const opening = workstation.opening();
    if (opening.state === "closed") {
      console.error(opening.sentence);
      // Without a window to offer more, and no backup to put in its place, the sentence is all there is to say.
      const hasMore = opening.canReplace && opening.backups > 0;
      if (!hasMore && !(args.window && hasDisplay())) return 1;
    }
    const code = await serve(workstation, parts, args);
    return workstation.opening().state === "closed" ? 1 : code;
  } finally {
    await workstation.close();
  }
}

async function serve(workstation: Workstation, parts: BrowserShellParts, args: ShellArguments): Promise<number> {
  const server = await listen({
    port: args.port,
    pages: parts.readPages(),
    serveFilm: workstation.serveFilm,
    serveSocket: createSocketService(workstation, workstation.logBug),
    logBug: workstation.logBug,
    ...(parts.policy === undefined ? {} : { policy: parts.policy }),
  });
  if (server === null) return 1;
  try {
    await show(server, args);
    return 0;
  } finally {
    await server.close();
  }
}

async function listen(options: Parameters<typeof startShellServer>[0]): Promise<ShellServer | null> {
  try {
    return await startShellServer(options);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code !== "EADDRINUSE" && code !== "EACCES") throw error;
    console.error(`Port ${options.port} is taken on this machine. Leave --port away to use any free one.`);
    return null;
  }
}

/** Opens the window, or prints the address where there can be none, and waits for the end. */
async function show(server: ShellServer, args: ShellArguments): Promise<void> {
  const signalled = firstSignal();
  const browser = args.window && hasDisplay() ? (findBrowser() ?? installBrowser(say)) : null;
  if (browser === null) {
    say(whyNoWindow(args));
    printAddress(server);
    await signalled;
    return;
  }
  // One profile a library: a second window with the same profile would be handed to the first browser and seem closed.
  const name = createHash("sha256").update(args.libraryPath).digest("hex").slice(0, 12);
  const profile = profileFolderFor(browser, dataFolder(), name);
  const window = openAppWindow(browser, server.issueAddress(), profile);
  say("Crewglass is open in a window of its own. Closing the window ends it.");
  try {
    const code = await Promise.race([window.closed, signalled]);
    if (code === "signal" || code === 0) return;
    say(`The browser (${browser}) stopped with code ${code}.`);
    printAddress(server);
    await signalled;
  } finally {
    await window.close();
  }
}

function whyNoWindow(args: ShellArguments): string {
  if (!args.window) return "Crewglass is running without a window.";
  if (!hasDisplay()) return "There is no display here (DISPLAY is not set), so no window is opened.";
  return "No Chromium, Chrome or Edge is installed: install one for a window of its own.";
}

/** The address line stands alone: other programs read it. */
function printAddress(server: ShellServer): void {
  say("Open this address in a browser on this machine. It opens once; end with Ctrl+C.");
  say(server.issueAddress());
  if (!process.stdin.isTTY) return;
  say("Press Enter for a new address.");
  process.stdin.on("data", () => say(server.issueAddress())).unref();
}

function firstSignal(): Promise<"signal"> {
  return new Promise((settle) => onEnding(() => settle("signal")));
}
