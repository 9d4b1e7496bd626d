/**
 * `npm run dev`: sources served and rebuilt as they change. Electron's place is taken by the browser shell, so that no
 * Electron is needed: electron-vite starts whatever ELECTRON_EXEC_PATH names and gives it the address of its server.
 * Everything after `--` goes to the shell.
 */
import { spawn } from "node:child_process";
import { join } from "node:path";
import { onEnding } from "./ending.ts";

const root = join(import.meta.dirname, "..", "..");
const tool = join(root, "node_modules", "electron-vite", "bin", "electron-vite.js");
const child = spawn(process.execPath, [tool, "dev", "--watch", "--", ...process.argv.slice(2)], {
  cwd: root,
  stdio: "inherit",
  env: { ...process.env, ELECTRON_EXEC_PATH: join(import.meta.dirname, "browser", "dev-shell.ts") },
});
onEnding((signal) => child.kill(signal));
child.once("exit", (code) => (process.exitCode = code ?? 1));
