import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { defaultLibraryPath } from "../../../src-main/store/default-path.ts";
import { temporaryFolder } from "./temporary-library.ts";

const ending = "Crewglass/library.crewglass";

// The file's form: freedesktop.org, xdg-user-dirs: `XDG_xxx_DIR="$HOME/yyy"` or `XDG_xxx_DIR="/yyy"`, shell-escaped, and
// a folder that is the home folder itself means that there is none.
test.each([
  ["no user-dirs.dirs", null, "HOME/Documents"],
  [
    "a folder under home",
    '# made by xdg-user-dirs-update\nXDG_DESKTOP_DIR="$HOME/Desk"\nXDG_DOCUMENTS_DIR="$HOME/Dokumente"\n',
    "HOME/Dokumente",
  ],
  ["a folder elsewhere", 'XDG_DOCUMENTS_DIR="/srv/papers"', "/srv/papers"],
  ["an escaped name", 'XDG_DOCUMENTS_DIR="$HOME/My \\"own\\" papers"', 'HOME/My "own" papers'],
  ["documents switched off", 'XDG_DOCUMENTS_DIR="$HOME/"', "HOME/Documents"],
  ["a relative folder, which the form does not allow", 'XDG_DOCUMENTS_DIR="papers"', "HOME/Documents"],
  ["a line that is commented out", '#XDG_DOCUMENTS_DIR="/srv/papers"', "HOME/Documents"],
])("on Linux with %s", (_, text, folder) => {
  const homeFolder = temporaryFolder();
  if (text !== null) {
    mkdirSync(join(homeFolder, ".config"));
    writeFileSync(join(homeFolder, ".config", "user-dirs.dirs"), text);
  }
  const path = defaultLibraryPath({ platform: "linux", homeFolder, environment: {} });
  expect(path).toBe(`${folder.replace("HOME", homeFolder)}/${ending}`);
});

test("the environment comes before the file", () => {
  const environment = { XDG_DOCUMENTS_DIR: "/data/docs" };
  expect(defaultLibraryPath({ platform: "linux", homeFolder: "/home/x", environment })).toBe(`/data/docs/${ending}`);
});

test("the file is looked for in XDG_CONFIG_HOME", () => {
  const config = temporaryFolder();
  writeFileSync(join(config, "user-dirs.dirs"), 'XDG_DOCUMENTS_DIR="$HOME/Papers"');
  const environment = { XDG_CONFIG_HOME: config };
  expect(defaultLibraryPath({ platform: "linux", homeFolder: "/home/x", environment })).toBe(
    `/home/x/Papers/${ending}`,
  );
});

test("on Windows and on a Mac it is the Documents folder", () => {
  expect(defaultLibraryPath({ platform: "win32", homeFolder: "C:\\Users\\x", environment: {} })).toBe(
    "C:\\Users\\x\\Documents\\Crewglass\\library.crewglass",
  );
  expect(defaultLibraryPath({ platform: "darwin", homeFolder: "/Users/x", environment: {} })).toBe(
    `/Users/x/Documents/${ending}`,
  );
});
