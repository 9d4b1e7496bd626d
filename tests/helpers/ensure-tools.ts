/**
 * Makes sure that a browser and ffmpeg are there before tests need them. On Debian as root it says what it installs and
 * installs it; elsewhere it stops with the one line to run. Runs by itself (`node tests/helpers/ensure-tools.ts`) before
 * `vitest`, and as the global setup of the projects that need either.
 */
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { findChromium, findOnPath } from "./chromium.ts";

type Tool = { readonly name: string; readonly debianPackage: string; readonly find: () => string | null };

const tools: readonly Tool[] = [
  { name: "Chromium, Chrome or Edge", debianPackage: "chromium", find: findChromium },
  { name: "ffmpeg", debianPackage: "ffmpeg", find: () => findOnPath("ffmpeg") },
];

/** What to do about missing tools: nothing, install these Debian packages, or stop with a sentence. */
export type ToolPlan =
  | { readonly kind: "ready" }
  | { readonly kind: "install"; readonly packages: readonly string[] }
  | { readonly kind: "stop"; readonly sentence: string };

export function planTools(
  missing: readonly { readonly name: string; readonly debianPackage: string }[],
  machine: { readonly platform: string; readonly isDebian: boolean; readonly isRoot: boolean },
): ToolPlan {
  if (missing.length === 0) return { kind: "ready" };
  const packages = missing.map((tool) => tool.debianPackage);
  if (machine.isDebian && machine.isRoot) return { kind: "install", packages };
  const names = missing.map((tool) => tool.name).join(" and ");
  return { kind: "stop", sentence: `The tests need ${names}. Run: ${installLine(packages, machine)}` };
}

function installLine(packages: readonly string[], machine: { platform: string; isDebian: boolean }): string {
  if (machine.platform === "darwin") {
    return packages
      .map((name) => (name === "ffmpeg" ? "brew install ffmpeg" : "brew install --cask chromium"))
      .join(" && ");
  }
  if (machine.platform === "win32") {
    const ids: Record<string, string> = { ffmpeg: "Gyan.FFmpeg", chromium: "Google.Chrome" };
    return packages.map((name) => `winget install ${ids[name]}`).join(" && ");
  }
  if (machine.isDebian) return `sudo apt-get install -y ${packages.join(" ")}`;
  return `your package manager's install of ${packages.join(" ")}`;
}

/**
 * Finds the tools, or only those of these Debian packages, and installs what may be installed. Throws one sentence when
 * a person has to act.
 */
export function ensureTools(packages: readonly string[] = tools.map((tool) => tool.debianPackage)): void {
  const needed = tools.filter((tool) => packages.includes(tool.debianPackage));
  const plan = planTools(
    needed.filter((tool) => tool.find() === null),
    {
      platform: process.platform,
      isDebian: existsSync("/etc/debian_version") && findOnPath("apt-get") !== null,
      isRoot: process.getuid?.() === 0,
    },
  );
  if (plan.kind === "ready") return;
  if (plan.kind === "stop") throw new Error(plan.sentence);
  const list = plan.packages.join(" ");
  console.log(`The tests need ${list}, which this machine lacks: installing with apt-get (Debian, as root).`);
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
  spawnSync("apt-get", ["update", "-q"], { stdio: "inherit", env });
  spawnSync("apt-get", ["install", "-y", "-q", "--no-install-recommends", ...plan.packages], { stdio: "inherit", env });
  const still = needed.filter((tool) => tool.find() === null).map((tool) => tool.name);
  if (still.length > 0)
    throw new Error(`apt-get did not bring ${still.join(" and ")}. Run: apt-get install -y ${list}`);
}

/** Global setup of a vitest project. */
export function setup(): void {
  ensureTools();
}

if (import.meta.main) {
  try {
    ensureTools();
  } catch (error) {
    console.error(error instanceof Error ? error.message : error);
    process.exitCode = 1;
  }
}
