/** Entry of the browser shell: the service on 127.0.0.1 in a window of an installed browser. Never loads Electron. */
import { join } from "node:path";
import { openWorkstation } from "../open-workstation.ts";
import { readPages } from "../pages.ts";
import { runBrowserShell } from "./run-browser-shell.ts";

process.exitCode = await runBrowserShell({
  args: process.argv.slice(2),
  readPages: () => readPages(join(import.meta.dirname, "..", "renderer")),
  openWorkstation: (options) => openWorkstation(join(import.meta.dirname, "..", ".."), options),
});
