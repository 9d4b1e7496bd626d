import { spawnSync } from "node:child_process";
import { statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { fileFailure } from "../../../src-main/service/file-failure.ts";
import { temporaryFolder } from "../store/temporary-library.ts";

function thrownBy(run: () => unknown): unknown {
  try {
    run();
  } catch (error) {
    return error;
  }
  throw new Error("nothing was thrown");
}

test("what the system says becomes a code and a sentence that names the path", () => {
  const path = join(temporaryFolder(), "file");
  writeFileSync(path, "", { mode: 0o644 });
  expect(
    fileFailure(
      thrownBy(() => statSync(`${path}-gone`)),
      path,
    ),
  ).toMatchObject({ code: "FILE_MISSING", details: { path } });
  expect(
    fileFailure(
      thrownBy(() => statSync(join(path, "inside"))),
      path,
    ),
  ).toMatchObject({ code: "FILE_MISSING" });
  // Running a file without the right to is an EACCES that root meets as well.
  const denied = spawnSync(path).error;
  expect(denied).toMatchObject({ code: "EACCES" });
  const failure = fileFailure(denied, path);
  expect(failure).toMatchObject({ code: "FILE_UNREADABLE" });
  expect(failure?.message).toContain(path);
});

test("what did not come from the system is left alone", () => {
  expect(fileFailure(new TypeError("a bug"), "/x")).toBeNull();
  expect(fileFailure("a text", "/x")).toBeNull();
});
