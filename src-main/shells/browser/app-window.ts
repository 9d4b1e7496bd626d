/** An app window of an installed browser, in a process group and a profile of its own so that both can be ended. */
import { spawn } from "node:child_process";
import { mkdirSync, realpathSync, rmSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";

export type AppWindow = {
  /** Settles with the exit code when the person closed the window or the browser could not start. */
  readonly closed: Promise<number>;
  readonly close: () => Promise<void>;
};

export function appWindowFlags(address: string, profileFolder: string, isRoot: boolean): readonly string[] {
  const flags = [
    `--app=${address}`,
    `--user-data-dir=${profileFolder}`,
    "--no-first-run",
    "--no-default-browser-check",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-features=Translate,MediaRouter",
    "--password-store=basic",
    "--window-size=1440,900",
  ];
  // The browser's own sandbox refuses to start as root; --test-type keeps it from warning about that in the window.
  return isRoot ? [...flags, "--no-sandbox", "--test-type"] : flags;
}

/** A browser installed as a snap may not write to hidden folders of the home folder: it gets one it may write to. */
export function profileFolderFor(browser: string, dataFolder: string, name: string): string {
  const isSnap = browser.startsWith("/snap/") || realpathSync(browser).endsWith("/snap");
  return isSnap ? join(homedir(), "snap", "chromium", "common", "crewglass", name) : join(dataFolder, "windows", name);
}

const graceMs = 3000;

/**
 * Opens the window. The profile is made new and removed afterwards: an address has a new port each time, so that
 * nothing kept in it would ever be found again.
 */
export function openAppWindow(browser: string, address: string, profileFolder: string): AppWindow {
  rmSync(profileFolder, { recursive: true, force: true });
  mkdirSync(profileFolder, { recursive: true, mode: 0o700 });
  const flags = appWindowFlags(address, profileFolder, process.getuid?.() === 0);
  const ownGroup = process.platform !== "win32";
  const child = spawn(browser, flags, { stdio: "ignore", detached: ownGroup });
  const { promise: closed, resolve: settle } = Promise.withResolvers<number>();
  child.once("error", () => settle(1));
  child.once("exit", (code) => settle(code ?? 1));
  const signal = (name: NodeJS.Signals): void => {
    if (child.pid === undefined) return;
    try {
      if (ownGroup) process.kill(-child.pid, name);
      else child.kill(name);
    } catch {
      // The group is gone already.
    }
  };
  return {
    closed,
    close: async () => {
      signal("SIGTERM");
      const timer = setTimeout(() => signal("SIGKILL"), graceMs);
      await closed;
      clearTimeout(timer);
      // Helper processes of the browser may outlive it for a moment and would write into the profile again.
      signal("SIGKILL");
      rmSync(profileFolder, { recursive: true, force: true, maxRetries: 5, retryDelay: 50 });
    },
  };
}
