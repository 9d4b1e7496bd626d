import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import react from "@vitejs/plugin-react";
import { playwright } from "@vitest/browser-playwright";
import { defineConfig } from "vitest/config";
import { chromiumFlags, findChromium } from "./tests/helpers/chromium.ts";
import { clipPath } from "./tests/helpers/clips.ts";
import { filmRoute } from "./tests/helpers/film-route.ts";
import { cutFilmShort, lendFilm, lentFilmId, lentPath, putOtherFilm, takeFilmAway } from "./tests/helpers/lent-film.ts";
import { reportVariable, SecondTries } from "./tests/helpers/second-tries.ts";
import { demoCamera } from "./tests/helpers/demo-camera.ts";

const reportPath = process.env[reportVariable];
const executablePath = findChromium();
const noElectron = fileURLToPath(new URL("./tests/helpers/no-electron.ts", import.meta.url));

/** Three projects: `node` (core and main), `renderer` (inside a real browser), `e2e` (drives the running program). */
export default defineConfig({
  test: {
    reporters: [
      "default",
      new SecondTries(),
      ...(reportPath === undefined ? [] : [["json", { outputFile: reportPath }] as const]),
    ],
    projects: [
      {
        resolve: { alias: { electron: noElectron } },
        test: {
          name: "node",
          environment: "node",
          include: ["tests/{core,main,scene,layers,load}/**/*.test.{ts,tsx}"],
          // What a test starts keeps its log here, and not among the person's.
          env: { XDG_STATE_HOME: join(tmpdir(), "crewglass-test-state") },
          // Both cores: by itself vitest leaves one of two idle.
          maxWorkers: 2,
          // Some start the program, which takes its time on a busy machine.
          testTimeout: 30_000,
        },
      },
      {
        plugins: [react(), filmRoute((filmId) => (filmId === lentFilmId ? lentPath : clipPath(filmId)))],
        optimizeDeps: {
          include: [
            "react",
            "react-dom",
            "react-dom/client",
            "react/jsx-runtime",
            "react/jsx-dev-runtime",
            "konva",
            "react-konva",
            "mediabunny",
            "vitest-browser-react",
          ],
        },
        test: {
          name: "renderer",
          include: ["tests/renderer/**/*.test.{ts,tsx}"],
          globalSetup: ["tests/helpers/ensure-tools.ts", "tests/helpers/provide-clips.ts"],
          // Two cores are the floor the tests run on: parallel pages would decode film against each other.
          fileParallelism: false,
          browser: {
            enabled: true,
            headless: true,
            screenshotFailures: false,
            commands: { lendFilm, takeFilmAway, putOtherFilm, cutFilmShort, demoCamera },
            provider: playwright({
              launchOptions: { ...(executablePath === null ? {} : { executablePath }), args: chromiumFlags() },
            }),
            instances: [{ browser: "chromium", viewport: { width: 1280, height: 800 } }],
          },
        },
      },
      {
        test: {
          name: "e2e",
          environment: "node",
          include: ["tests/e2e/**/*.test.ts"],
          globalSetup: ["tests/helpers/ensure-tools.ts"],
          // Each waits for the program more than it works: two windows at a time fill both cores.
          maxWorkers: 2,
          // A person's hand is slower than a script's: what only a script meets is tried once more, and named (helpers/second-tries.ts).
          retry: 1,
          // A busy machine answers late, and is not wrong for it.
          expect: { poll: { timeout: 10_000 } },
          testTimeout: 120_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
});
