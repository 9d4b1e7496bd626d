/**
 * What is dropped and never taken in does not fill the disk: OWASP ASVS 5.0, 5.2.1 and 5.2.4 (size and number of files)
 * (https://github.com/OWASP/ASVS, "V5 File Handling"); OWASP File Upload Cheat Sheet, "Upload and Download Limits".
 */
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { createPacketInbox } from "../../../src-main/exchange/packet-inbox.ts";
import { temporaryFolder } from "../store/temporary-library.ts";

const limits = { fileBytes: 100, totalBytes: 250, files: 4 };
const bytes = (count: number) => new Uint8Array(count);

test("a file is taken in pieces up to its size, and no piece goes to a file that was never begun", async () => {
  const inbox = createPacketInbox(limits);
  const { id, path } = await inbox.take(null, bytes(60));
  await inbox.take(id, bytes(40));
  expect(readFileSync(path)).toHaveLength(100);
  await expect(inbox.take(id, bytes(1))).rejects.toMatchObject({ code: "INVALID" });
  expect(readFileSync(path)).toHaveLength(100);
  for (const other of ["never", "..", "../../x", "__proto__"])
    await expect(inbox.take(other, bytes(1))).rejects.toMatchObject({ code: "NOT_FOUND" });
});

test("all files together have a limit in bytes and in number, and what is let go of counts no more", async () => {
  const inbox = createPacketInbox(limits);
  const [first] = [await inbox.take(null, bytes(100)), await inbox.take(null, bytes(100))];
  await expect(inbox.take(null, bytes(60))).rejects.toMatchObject({
    code: "INVALID",
    message: expect.stringMatching(/take in what waits/u),
  });
  await inbox.release(first.path);
  expect(existsSync(first.path)).toBe(false);
  await expect(inbox.take(first.id, bytes(1))).rejects.toMatchObject({ code: "NOT_FOUND" });
  for (let number = 0; number < 3; number++) await inbox.take(null, bytes(0));
  await expect(inbox.take(null, bytes(0))).rejects.toMatchObject({ code: "INVALID" });
});

test("only what was dropped is let go of", async () => {
  const inbox = createPacketInbox(limits);
  const { path } = await inbox.take(null, bytes(1));
  const other = join(temporaryFolder(), "own.crewpacket");
  writeFileSync(other, "mine");
  for (const one of [other, `${path}/../x`, ""]) await inbox.release(one);
  expect([existsSync(other), existsSync(path)]).toEqual([true, true]);
});
