/** Entry of the browser shell: the service on 127.0.0.1 in a window of an installed browser. Never loads Electron. */
import { join } from "node:path";
import { readPages } from "../pages.ts";
import { runBrowserShell } from "./run-browser-shell.ts";

// better-sqlite3 crashes the process, with no message, on a Node whose Node-API is older than its own.
if (Number(process.versions.napi) < 10) {
  console.error(`Crewglass needs Node 24 or newer, and this is ${process.version}. Start it with: npm start`);
  process.exit(1);
}

const { openWorkstation } = await import("../open-workstation.ts");
process.exitCode = await runBrowserShell({
  args: process.argv.slice(2),
  readPages: () => readPages(join(import.meta.dirname, "..", "renderer")),
  openWorkstation,
});
