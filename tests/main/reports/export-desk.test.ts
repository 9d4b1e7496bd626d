/** Exports are whole or not there: names, cancelling, a full disk, a program that ends, and what another left behind. */
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readdirSync, readFileSync, utimesSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import type { ReportDocument } from "#core/report/document";
import { createExportDesk } from "../../../src-main/reports/export-desk.ts";
import { reportWriters } from "../../../src-main/reports/report-writers.ts";
import { projectRoot } from "../../helpers/launch.ts";
import { canMount, smallDisk } from "../store/small-disk.ts";
import { temporaryFolder } from "../store/temporary-library.ts";

let ids = 0;
const desk = () =>
  createExportDesk({
    newId: () => `export-${++ids}`,
    clock: () => new Date(),
    writers: () => reportWriters(projectRoot),
  });
const bytes = (text: string) => new TextEncoder().encode(text);
const page: ReportDocument = {
  title: "A page",
  lines: [],
  footer: "private",
  blocks: [{ kind: "text", tone: "plain", text: "LJ stood 1.25 yd outside." }],
};

test("an export is a new folder that is there only when it is finished, and takes the next free name", async () => {
  const folder = join(temporaryFolder(), "made on the way");
  const exports = desk();
  const write = async () => {
    const { exportId } = await exports.begin(folder, "Herons v Lanterns: 1/2");
    await exports.append(exportId, "a.csv", bytes("one,"), true);
    await exports.append(exportId, "a.csv", bytes("two"), false);
    await exports.report(exportId, "LJ", page, ["html", "pdf"]);
    expect(readdirSync(folder).filter((name) => !name.startsWith("."))).toHaveLength(exported);
    exported++;
    return exports.finish(exportId);
  };
  let exported = 0;
  const first = await write();
  const second = await write();
  expect(first).toEqual({ folder: join(folder, "Herons v Lanterns 1 2"), files: ["LJ.html", "LJ.pdf", "a.csv"] });
  expect(second.folder).toBe(join(folder, "Herons v Lanterns 1 2 (2)"));
  expect(readFileSync(join(first.folder, "a.csv"), "utf8")).toBe("one,two");
  expect(readFileSync(join(first.folder, "LJ.html"), "utf8")).toContain("LJ stood 1.25 yd outside.");
  expect(readFileSync(join(first.folder, "LJ.pdf")).subarray(0, 5).toString()).toBe("%PDF-");
  expect(readdirSync(folder)).toHaveLength(2);
});

test("a cancelled export leaves nothing, and nothing more is written to it", async () => {
  const folder = temporaryFolder();
  const exports = desk();
  const { exportId } = await exports.begin(folder, "Pages");
  await exports.append(exportId, "a.csv", bytes("one"), true);
  expect(exports.cancel(exportId)).toBe(true);
  expect(exports.cancel(exportId)).toBe(false);
  expect(readdirSync(folder)).toEqual([]);
  await expect(exports.append(exportId, "b.csv", bytes("two"), true)).rejects.toMatchObject({ code: "NOT_FOUND" });
  await expect(exports.finish(exportId)).rejects.toMatchObject({ code: "NOT_FOUND" });
  const ended = new AbortController();
  const { exportId: next } = await exports.begin(folder, "Pages");
  ended.abort();
  await expect(exports.report(next, "LJ", page, ["html", "pdf"], ended.signal)).rejects.toThrow();
  exports.cancel(next);
  expect(readdirSync(folder)).toEqual([]);
});

test.each(["../a.csv", "a/b.csv", "a\\b.csv", "..", "con", "a.csv "])(
  "a file cannot be named %j, and no two can be the same whatever their capitals",
  async (name) => {
    const folder = temporaryFolder();
    const exports = desk();
    const { exportId } = await exports.begin(folder, "Pages");
    await expect(exports.append(exportId, name, bytes("x"), true)).rejects.toMatchObject({ code: "INVALID" });
    await exports.append(exportId, "LJ.csv", bytes("x"), true);
    await expect(exports.append(exportId, "lj.CSV", bytes("x"), true)).rejects.toMatchObject({ code: "INVALID" });
    exports.cancel(exportId);
  },
);

test("a folder that is no whole path, or is a file, is refused with what to do", async () => {
  const folder = temporaryFolder();
  writeFileSync(join(folder, "file"), "");
  await expect(desk().begin("Exports", "Pages")).rejects.toMatchObject({ code: "INVALID" });
  await expect(desk().begin(join(folder, "file"), "Pages")).rejects.toMatchObject({
    code: "INVALID",
    message: expect.stringContaining("choose another folder"),
  });
});

test.skipIf(!canMount)(
  "a full disk ends an export with its reason, and a folder that cannot be written too",
  async () => {
    const { folder, makeReadOnly } = smallDisk(256 * 1024);
    const exports = desk();
    const { exportId } = await exports.begin(folder, "Pages");
    const large = exports.append(exportId, "large.bin", new Uint8Array(600 * 1024), true);
    await expect(large).rejects.toMatchObject({ code: "DISK_FULL" });
    exports.cancel(exportId);
    expect(readdirSync(folder)).toEqual([]);
    makeReadOnly();
    await expect(exports.begin(folder, "Pages")).rejects.toMatchObject({ code: "READ_ONLY" });
  },
);

test("an export under way goes with the program; what one that was killed left is swept up when it is old", async () => {
  const folder = temporaryFolder();
  const script = `
    const { createExportDesk } = await import(${JSON.stringify(join(projectRoot, "src-main/reports/export-desk.ts"))});
    const desk = createExportDesk({ newId: () => "x", clock: () => new Date(), writers: null });
    const { exportId } = await desk.begin(${JSON.stringify(folder)}, "Pages");
    await desk.append(exportId, "a", new Uint8Array(3), true);
    process.exit(0);`;
  const { status, stderr } = spawnSync(process.execPath, ["--input-type=module", "-e", script], {
    cwd: projectRoot,
    encoding: "utf8",
  });
  expect(stderr).toBe("");
  expect(status).toBe(0);
  expect(readdirSync(folder)).toEqual([]);
  const [old, fresh] = [".crewglass-unfinished-old", ".crewglass-unfinished-fresh"].map((name) => join(folder, name));
  for (const path of [old!, fresh!]) mkdirSync(path);
  const hoursAgo = new Date(Date.now() - 2 * 3_600_000);
  utimesSync(old!, hoursAgo, hoursAgo);
  const exports = desk();
  exports.cancel((await exports.begin(folder, "Pages")).exportId);
  expect([existsSync(old!), existsSync(fresh!)]).toEqual([false, true]);
});
