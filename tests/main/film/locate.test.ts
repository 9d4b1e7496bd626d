import type * as files from "node:fs/promises";
import { mkdirSync, mkdtempSync, renameSync, rmSync, symlinkSync, utimesSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { createFilmTools } from "../../../src-main/film/film-tools.ts";
import { filmState, findFilm } from "../../../src-main/film/locate.ts";
import { fingerprintFilm } from "../../../src-main/film/fingerprint.ts";

// Permissions do not hold the superuser, as whom tests run in containers: a folder named "locked" stands in.
vi.mock("node:fs/promises", async (importOriginal) => {
  const original = await importOriginal<typeof files>();
  const readdir = (path: string, options: { readonly withFileTypes: true }) =>
    basename(path) === "locked"
      ? Promise.reject(Object.assign(new Error("EACCES: permission denied"), { code: "EACCES", syscall: "scandir" }))
      : original.readdir(path, options);
  return { ...original, readdir };
});

let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "crewglass-locate-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** Films of one size and of different content, as the recordings of one camera in equal parts are. */
function filmAt(path: string, content = 7): string {
  mkdirSync(join(path, ".."), { recursive: true });
  writeFileSync(path, Buffer.alloc(100_000, content));
  return path;
}

describe("where a film stands", () => {
  test("present, whatever its date; changed in content, changed in size, missing", async () => {
    const path = filmAt(join(folder, "game.mp4"));
    const film = { path, ...(await fingerprintFilm(path)) };
    expect(await filmState(film)).toBe("present");
    utimesSync(path, 1_000, 1_000);
    expect(await filmState(film)).toBe("present");
    filmAt(path, 8);
    expect(await filmState(film)).toBe("changed");
    writeFileSync(path, Buffer.alloc(99_999, 7));
    expect(await filmState(film)).toBe("changed");
    rmSync(path);
    expect(await filmState(film)).toBe("missing");
  });

  test("a folder in its place is no film", async () => {
    const film = await fingerprintFilm(filmAt(join(folder, "game.mp4")));
    expect(await filmState({ ...film, path: folder })).toBe("missing");
  });
});

describe("a film that moved", () => {
  test("is found by its content among others of its size, under another name, folders down", async () => {
    const path = filmAt(join(folder, "game.mp4"));
    const film = await fingerprintFilm(path);
    const moved = join(folder, "season", "week 3", "first half, wide (1).MP4");
    mkdirSync(join(moved, ".."), { recursive: true });
    renameSync(path, moved);
    filmAt(path, 8);
    filmAt(join(folder, "season", "game.mp4"), 9);
    expect(await findFilm(film, folder)).toBe(moved);
    expect(await findFilm(film, join(folder, "season", "week 3"))).toBe(moved);
    const tools = createFilmTools();
    const facts = {
      id: "a",
      gameId: "b",
      order: 1,
      label: "c",
      widthPx: 1,
      heightPx: 1,
      durationSec: 1,
      codec: "d",
      lens: null,
    };
    expect(await tools.find({ ...facts, ...film, path }, folder)).toBe(moved);
    rmSync(moved);
    expect(await findFilm(film, folder)).toBeNull();
  });

  test("of two copies the nearer one is taken", async () => {
    const near = filmAt(join(folder, "z", "copy.mp4"));
    filmAt(join(folder, "a", "b", "copy.mp4"));
    expect(await findFilm(await fingerprintFilm(near), folder)).toBe(near);
  });

  test("is found through a link to its file; a link to a folder may lead in a circle and is not followed", async () => {
    const elsewhere = mkdtempSync(join(tmpdir(), "crewglass-disk-"));
    const film = await fingerprintFilm(filmAt(join(elsewhere, "game.mp4")));
    symlinkSync(elsewhere, join(folder, "disk"));
    symlinkSync(folder, join(folder, "circle"));
    symlinkSync(join(folder, "nowhere"), join(folder, "broken.mp4"));
    expect(await findFilm(film, folder)).toBeNull();
    symlinkSync(join(elsewhere, "game.mp4"), join(folder, "link.mp4"));
    expect(await findFilm(film, folder)).toBe(join(folder, "link.mp4"));
    rmSync(elsewhere, { recursive: true });
  });

  test("a named folder that is not there rejects with the file system's error", async () => {
    const film = await fingerprintFilm(filmAt(join(folder, "game.mp4")));
    await expect(findFilm(film, join(folder, "gone"))).rejects.toMatchObject({ code: "ENOENT", syscall: "scandir" });
  });

  test("folders on the way that may not be read are passed over", async () => {
    const path = filmAt(join(folder, "open", "game.mp4"));
    mkdirSync(join(folder, "locked"));
    expect(await findFilm(await fingerprintFilm(path), folder)).toBe(path);
    await expect(findFilm(await fingerprintFilm(path), join(folder, "locked"))).rejects.toMatchObject({
      code: "EACCES",
    });
  });
});
