/**
 * Exports that are begun and never finished: OWASP Denial of Service Cheat Sheet
 * (https://cheatsheetseries.owasp.org/cheatsheets/Denial_of_Service_Cheat_Sheet.html), ASVS 5.0, 15.2.2 (functionality that takes
 * up resources).
 */
import { readdirSync } from "node:fs";
import { expect, test } from "vitest";
import { createExportDesk } from "../../../src-main/reports/export-desk.ts";
import { temporaryFolder } from "../store/temporary-library.ts";

let ids = 0;
const desk = () =>
  createExportDesk({
    newId: () => `begun-${++ids}`,
    clock: () => new Date(),
    writers: () => Promise.reject(new Error("nothing is written here")),
  });

test("two hundred that were begun and left alone leave no more than sixteen, those that were used last", async () => {
  const folder = temporaryFolder();
  const exports = desk();
  const { exportId: kept } = await exports.begin(folder, "Used on and on");
  const begun: string[] = [];
  for (let number = 0; number < 200; number++) {
    begun.push((await exports.begin(folder, "Left alone")).exportId);
    await exports.append(kept, "a.csv", new Uint8Array([65]), number === 0);
  }
  expect(readdirSync(folder)).toHaveLength(16);
  await expect(exports.append(begun[0]!, "a.csv", new Uint8Array(1), true)).rejects.toMatchObject({
    code: "NOT_FOUND",
    message: expect.stringContaining("begin it again"),
  });
  expect((await exports.finish(kept)).files).toEqual(["a.csv"]);
  for (const exportId of begun) exports.cancel(exportId);
  expect(readdirSync(folder)).toEqual(["Used on and on"]);
});

test("pictures that are kept have a limit for all exports together, and what is forgotten counts no more", async () => {
  const folder = temporaryFolder();
  const exports = desk();
  const asset = { type: "image/jpeg" as const, bytes: new Uint8Array(64 * 1024 * 1024) };
  const [one, other] = [await exports.begin(folder, "One"), await exports.begin(folder, "Other")];
  for (let number = 0; number < 4; number++) exports.keep(one.exportId, `${number}`, asset);
  for (let number = 0; number < 4; number++) exports.keep(other.exportId, `${number}`, asset);
  for (const { exportId } of [one, other])
    expect(() => exports.keep(exportId, "more", asset)).toThrow(/more pictures than a page can hold/u);
  exports.forget(one.exportId);
  exports.keep(other.exportId, "more", asset);
  for (const { exportId } of [one, other]) exports.cancel(exportId);
});
