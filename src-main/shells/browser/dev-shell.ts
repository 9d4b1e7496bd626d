#!/usr/bin/env node
/**
 * The browser shell over sources that are served as they change: electron-vite starts this in Electron's place. Run as
 * it is, never built, so that nothing of it is in the product.
 */
import { join } from "node:path";
import { openWorkstation } from "../open-workstation.ts";
import type { Pages } from "../pages.ts";
import { contentSecurityPolicy } from "../policy.ts";
import { runBrowserShell } from "./run-browser-shell.ts";

const root = join(import.meta.dirname, "..", "..", "..");
const sources = process.env["ELECTRON_RENDERER_URL"];
if (sources === undefined) throw new Error("ELECTRON_RENDERER_URL is not set: start this with npm run dev.");

/** Pages of the server of sources, given on as the shell's own: the window then has one origin, as in the product. */
const pages: Pages = {
  get: async (path, query) => {
    const reply = await fetch(`${sources}${path}${query === "" ? "" : `?${query}`}`);
    const type = reply.headers.get("content-type");
    if (!reply.ok || type === null) return undefined;
    return { type, body: new Uint8Array(await reply.arrayBuffer()) };
  },
};

/** Reloading adds inline scripts and styles, and a socket to the server of sources. */
function policy(socketOrigin: string): string {
  return contentSecurityPolicy(`${socketOrigin} ${String(sources).replace(/^http/u, "ws")}`)
    .replace("script-src 'self'", "script-src 'self' 'unsafe-inline'")
    .replace("style-src 'self'", "style-src 'self' 'unsafe-inline'");
}

// electron-vite names the program's folder first.
process.exitCode = await runBrowserShell({
  args: process.argv.slice(3),
  readPages: () => pages,
  openWorkstation: (options) => openWorkstation(root, { ...options, printsErrorsWhole: true }),
  policy,
});
