import { homedir } from "node:os";
import { join } from "node:path";

/** The browser shell's own folder, for what can be thrown away: window profiles. */
export function dataFolder(): string {
  const home = homedir();
  if (process.platform === "win32")
    return join(process.env["LOCALAPPDATA"] ?? join(home, "AppData", "Local"), "Crewglass");
  if (process.platform === "darwin") return join(home, "Library", "Application Support", "Crewglass");
  return join(process.env["XDG_STATE_HOME"] ?? join(home, ".local", "state"), "crewglass");
}
