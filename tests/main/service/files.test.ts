import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { openTemporary, temporaryFolder } from "../store/temporary-library.ts";
import { aService, answerTo } from "./a-service.ts";

describe("files", () => {
  test("lists folders first, then films, by name; hidden files, other files and dead links left out", async () => {
    const folder = temporaryFolder();
    for (const name of ["week 10", "week 9", ".hidden", "Åland"]) mkdirSync(join(folder, name));
    for (const name of ["b.MP4", "a2.mkv", "a10.mov", "notes.txt", ".c.mp4"])
      writeFileSync(join(folder, name), "12345");
    symlinkSync(join(folder, "b.MP4"), join(folder, "link.mp4"));
    symlinkSync(join(folder, "gone"), join(folder, "dead.mp4"));
    symlinkSync(join(folder, "week 9"), join(folder, "z-link"));
    const { client } = aService(await openTemporary());
    const listing = await client.files.browse({ folder });
    expect(listing.entries.map((entry) => `${entry.kind} ${entry.name} ${entry.sizeBytes}`)).toEqual([
      "folder Åland null",
      "folder week 9 null",
      "folder week 10 null",
      "folder z-link null",
      "film a2.mkv 5",
      "film a10.mov 5",
      "film b.MP4 5",
      "film link.mp4 5",
    ]);
    expect(listing.folder).toBe(folder);
    expect((await client.files.browse({ folder: join(folder, "week 9") })).parent).toBe(folder);
    expect((await client.files.browse({ folder: "/" })).parent).toBeNull();
  });

  test("null is the person's own folder", async () => {
    const homeFolder = temporaryFolder();
    const { client } = aService(await openTemporary(), { shell: { pickFilm: null, showFolder: null, homeFolder } });
    expect((await client.files.browse({ folder: null })).folder).toBe(homeFolder);
  });

  test("what cannot be listed is refused with a sentence", async () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, "file"), "");
    const { client } = aService(await openTemporary());
    expect(await answerTo(client.files.browse({ folder: "relative" }))).toMatchObject({ code: "INVALID", known: true });
    expect(await answerTo(client.files.browse({ folder: join(folder, "gone") }))).toMatchObject({
      code: "FILE_MISSING",
      known: true,
    });
    expect(await answerTo(client.files.browse({ folder: join(folder, "file") }))).toMatchObject({
      code: "FILE_MISSING",
      known: true,
    });
  });

  // A link that leads to itself cannot be read by anybody; a mode of 0 would not stop root.
  test("a folder that cannot be read is FILE_UNREADABLE", async () => {
    const folder = join(temporaryFolder(), "loop");
    symlinkSync(folder, folder);
    const { client } = aService(await openTemporary());
    expect(await answerTo(client.files.browse({ folder }))).toMatchObject({
      code: "FILE_UNREADABLE",
      known: true,
      details: { path: folder },
    });
  });

  test("the system's dialog is used where there is one", async () => {
    const library = await openTemporary();
    expect(await answerTo(aService(library).client.files.pickFilm())).toMatchObject({ code: "NOT_HERE", known: true });
    const { client } = aService(library, {
      shell: { pickFilm: async () => "/films/a.mp4", showFolder: null, homeFolder: "/" },
    });
    expect(await client.files.pickFilm()).toBe("/films/a.mp4");
    expect((await client.library.info()).systemDialog).toBe(true);
  });
});
