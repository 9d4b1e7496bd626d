/** The check for what is unused finds each kind of it, in a small house of the same plan. */
import { spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";
import { projectRoot } from "../helpers/launch.ts";

const sources = {
  "src-main/shells/start.ts":
    'import "ajv";\nimport { used } from "../../src-core/field/used.ts";\nconsole.log(used);\n',
  "src-core/field/used.ts": "export const used = 1;\nexport const forgotten = 2;\n",
  "src-core/field/left-over.ts": "export const leftOver = 3;\n",
  "src-renderer/app/main.tsx": 'new Worker(new URL("../stage/scan/scan-worker.ts", import.meta.url));\n',
  "src-renderer/stage/scan/scan-worker.ts": 'import "../speed.ts";\n',
  "src-renderer/stage/speed.ts": "export {};\n",
  "tests/layers/bad/src-core/field/uses-dom.ts": "export const bad = document;\n",
  "package.json": JSON.stringify({
    type: "module",
    scripts: { start: "node src-main/shells/start.ts" },
    dependencies: { zod: "4.6.7" },
  }),
};

type Named = { readonly name: string };
type Issue = Readonly<Record<"files" | "exports" | "dependencies" | "unlisted", readonly Named[]>> & {
  readonly file: string;
};

test("a file, an export and a dependency that nobody uses are found, and a package that is not declared", () => {
  const house = mkdtempSync(join(tmpdir(), "crewglass-unused-"));
  onTestFinished(() => rmSync(house, { recursive: true, force: true }));
  for (const [path, content] of Object.entries(sources)) {
    mkdirSync(join(house, path, ".."), { recursive: true });
    writeFileSync(join(house, path), content);
  }
  copyFileSync(join(projectRoot, ".knip.jsonc"), join(house, ".knip.jsonc"));
  const knip = join(projectRoot, "node_modules", "knip", "bin", "knip.js");
  const { status, stdout, stderr } = spawnSync(process.execPath, [knip, "--reporter", "json", "--no-config-hints"], {
    cwd: house,
    encoding: "utf8",
  });
  expect(stderr).toBe("");
  expect(status).toBe(1);
  const { issues } = JSON.parse(stdout) as { issues: readonly Issue[] };
  const found = issues.flatMap((issue) =>
    (["files", "exports", "dependencies", "unlisted"] as const).flatMap((kind) =>
      issue[kind].map(({ name }) => `${kind}: ${kind === "files" ? issue.file : name}`),
    ),
  );
  expect(found.toSorted()).toEqual([
    "dependencies: zod",
    "exports: forgotten",
    "files: src-core/field/left-over.ts",
    "unlisted: ajv",
  ]);
});
