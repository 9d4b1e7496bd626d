/** Finds Electron's program by reading files only: importing the package would start a download that blocks. */
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";

const usualPrograms: Readonly<Partial<Record<NodeJS.Platform, string>>> = {
  darwin: "Electron.app/Contents/MacOS/Electron",
  win32: "electron.exe",
};

/** Absolute path of Electron's program of exactly the version that package.json locks, or null. */
export function findElectron(packageFolder: string, env: Readonly<Record<string, string | undefined>>): string | null {
  const override = env["ELECTRON_OVERRIDE_DIST_PATH"];
  try {
    // The installer writes path.txt; a distribution from elsewhere comes without it.
    const named = join(packageFolder, "path.txt");
    const usual = usualPrograms[process.platform] ?? "electron";
    const program = override !== undefined && !existsSync(named) ? usual : readFileSync(named, "utf8").trim();
    const dist = override ?? join(packageFolder, "dist");
    const wanted = (JSON.parse(readFileSync(join(packageFolder, "package.json"), "utf8")) as { version: string })
      .version;
    const found = readFileSync(join(dist, "version"), "utf8").trim().replace(/^v/u, "");
    const path = join(dist, program);
    return found === wanted && existsSync(path) ? path : null;
  } catch {
    return null;
  }
}
