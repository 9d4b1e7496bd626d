import { copyFileSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { expect, onTestFinished, test, vi } from "vitest";
import { openWorkstation } from "../../../src-main/shells/open-workstation.ts";
import { unpackedFolder } from "../../../src-main/shells/unpacked-folder.ts";
import { projectRoot } from "../../helpers/launch.ts";
import { temporaryFolder, tryLibrary } from "../store/temporary-library.ts";

test("a packaged program's library knows the demo's film by a path that is on the disk", async () => {
  // As Electron shows an archive to the program: a folder, and beside it what was left unpacked.
  const programFolder = join(temporaryFolder(), "app.asar");
  const put = (folder: string, path: string): void => {
    mkdirSync(join(folder, path, ".."), { recursive: true });
    copyFileSync(join(projectRoot, path), join(folder, path));
  };
  put(programFolder, "package.json");
  put(programFolder, "src-main/demo/clicks.json");
  put(`${programFolder}.unpacked`, "src-main/demo/film.mp4");

  const libraryPath = join(temporaryFolder(), "library.crewglass");
  vi.stubEnv("XDG_STATE_HOME", temporaryFolder());
  onTestFinished(() => void vi.unstubAllEnvs());
  const workstation = await openWorkstation(programFolder, { libraryPath, pickFilm: null, showFolder: null });
  expect(workstation.opening()).toEqual({ state: "open" });
  const answer = await workstation.serveFilm(
    new Request("app://crewglass/film/demo-film", { headers: { range: "bytes=4-7" } }),
  );
  // ISO/IEC 14496-12: a file begins with a box of type "ftyp", written after its four bytes of size.
  expect([answer.status, await answer.text()]).toEqual([206, "ftyp"]);
  await workstation.close();

  const again = await tryLibrary(libraryPath);
  if (!again.ok) throw new Error(again.failure.sentence);
  expect(again.library.openGame("demo-game").films[0]!.path).toBe(
    join(`${programFolder}.unpacked`, "src-main", "demo", "film.mp4"),
  );
  again.library.close();
});

test("a program that is not packaged keeps its files in its own folder", () => {
  expect(unpackedFolder("/programs/crewglass")).toBe("/programs/crewglass");
  expect(unpackedFolder("/programs/resources/app.asar")).toBe("/programs/resources/app.asar.unpacked");
});
