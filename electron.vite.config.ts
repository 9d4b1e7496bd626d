import { fileURLToPath } from "node:url";
import react from "@vitejs/plugin-react";
import { defineConfig } from "electron-vite";
import { shippedModules } from "./src-main/release/shipped-modules.ts";

const at = (path: string): string => fileURLToPath(new URL(path, import.meta.url));
const shipped = shippedModules(at("."));

/**
 * Two entries of one service: `electron` and `browser-shell`. Only better-sqlite3, which carries machine code, stays
 * outside the bundle. The demo's film and clicks are read from src-main/demo as they are, never copied into out/.
 * What stands in the bundles is written down beside them: licences.txt and sbom.cdx.json.
 */
export default defineConfig({
  main: {
    plugins: [shipped.note("main")],
    build: {
      outDir: at("out/main"),
      externalizeDeps: false,
      minify: true,
      rolldownOptions: {
        input: {
          electron: at("src-main/shells/electron/electron.ts"),
          "browser-shell": at("src-main/shells/browser/browser-shell.ts"),
        },
        // ws looks for two optional native helpers and does without them.
        external: ["better-sqlite3", "bufferutil", "utf-8-validate"],
      },
    },
  },
  preload: {
    plugins: [shipped.note("preload")],
    build: {
      outDir: at("out/preload"),
      externalizeDeps: false,
      minify: true,
      rolldownOptions: {
        input: { preload: at("src-main/shells/electron/preload.ts") },
        // A sandboxed preload is loaded as CommonJS whatever package.json says.
        output: { format: "cjs", entryFileNames: "[name].cjs" },
      },
    },
  },
  renderer: {
    root: at("src-renderer"),
    plugins: [react(), shipped.note("renderer"), shipped.write()],
    worker: { plugins: () => [shipped.note("worker")] },
    build: {
      outDir: at("out/renderer"),
      minify: true,
      rolldownOptions: { input: at("src-renderer/index.html") },
    },
  },
});
