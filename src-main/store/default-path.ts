import { readFileSync } from "node:fs";
import { posix, win32 } from "node:path";

export type Machine = {
  readonly platform: NodeJS.Platform;
  readonly homeFolder: string;
  readonly environment: { readonly [name: string]: string | undefined };
};

/** Where the library lies unless `--library PATH` says otherwise: `Crewglass/library.crewglass` in the documents folder. */
export function defaultLibraryPath(machine: Machine): string {
  const { join } = machine.platform === "win32" ? win32 : posix;
  return join(documentsFolder(machine), "Crewglass", "library.crewglass");
}

function documentsFolder(machine: Machine): string {
  const { homeFolder, environment, platform } = machine;
  if (platform === "win32") return win32.join(homeFolder, "Documents");
  if (platform !== "darwin") {
    const named = environment["XDG_DOCUMENTS_DIR"] ?? userDirsEntry(homeFolder, environment["XDG_CONFIG_HOME"]);
    const folder = named === null ? null : named.replace(/^\$HOME(?=\/|$)/u, homeFolder);
    // A desktop writes the home folder itself where the person has switched a folder off.
    if (
      folder !== null &&
      posix.isAbsolute(folder) &&
      posix.normalize(`${folder}/`) !== posix.normalize(`${homeFolder}/`)
    ) {
      return folder;
    }
  }
  return posix.join(homeFolder, "Documents");
}

/** The XDG_DOCUMENTS_DIR line of the desktop's own user-dirs.dirs; null when there is none. */
function userDirsEntry(homeFolder: string, configHome: string | undefined): string | null {
  const folder =
    configHome !== undefined && posix.isAbsolute(configHome) ? configHome : posix.join(homeFolder, ".config");
  let text: string;
  try {
    text = readFileSync(posix.join(folder, "user-dirs.dirs"), "utf8");
  } catch {
    return null;
  }
  const line = /^[ \t]*XDG_DOCUMENTS_DIR="((?:[^"\\]|\\.)*)"/mu.exec(text);
  return line?.[1]?.replaceAll(/\\(.)/gu, "$1") ?? null;
}
