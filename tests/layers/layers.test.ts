/**
 * Every rule of the layers refuses a file that breaks it. The files under bad/ are laid out as the sources are; the
 * first line of each names what must refuse it, and a file without such a line is one that must be let through.
 */
import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, realpathSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";

const root = fileURLToPath(new URL("../..", import.meta.url));
const bad = fileURLToPath(new URL("bad", import.meta.url));
const layers = ["src-core", "src-main", "src-renderer"] as const;

const files = readdirSync(bad, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.isFile())
  .map((entry) => relative(bad, join(entry.parentPath, entry.name)).replaceAll("\\", "/"))
  .toSorted();

function refusedBy(file: string): readonly string[] {
  const named = /^\/\/ refused: (.+)$/mu.exec(readFileSync(join(bad, file), "utf8"))?.[1];
  return named === undefined ? [] : named.split(" ").toSorted();
}

/** A house of its own with this one's rules: the rules go by folder. */
let house: string;
const found = new Map<string, Set<string>>();

function note(file: string, by: string): void {
  const path = relative(house, join(house, file)).replaceAll("\\", "/");
  found.set(path, (found.get(path) ?? new Set()).add(by));
}

function run(tool: readonly string[], args: readonly string[]): string {
  const done = spawnSync(process.execPath, [join(root, "node_modules", ...tool), ...args], {
    cwd: house,
    encoding: "utf8",
  });
  return `${done.stdout}${done.stderr}`;
}

beforeAll(() => {
  house = realpathSync(mkdtempSync(join(tmpdir(), "crewglass-layers-")));
  cpSync(bad, house, { recursive: true });
  for (const file of [
    ".oxlintrc.json",
    "package.json",
    "tsconfig.base.json",
    ...layers.map((layer) => `${layer}/tsconfig.json`),
  ]) {
    cpSync(join(root, file), join(house, file));
  }
  // All but .cache, in which the compiler would find this house's own output and take it for the other's.
  mkdirSync(join(house, "node_modules"));
  for (const name of readdirSync(join(root, "node_modules")).filter((entry) => !entry.startsWith("."))) {
    symlinkSync(join(root, "node_modules", name), join(house, "node_modules", name), "junction");
  }

  const linted = run(["oxlint", "bin", "oxlint"], ["--type-aware", "-f", "json"]);
  const { diagnostics } = JSON.parse(linted) as { diagnostics: { code: string; filename: string }[] };
  for (const { code, filename } of diagnostics) note(filename, code);

  for (const layer of layers) {
    const compiled = run(["typescript", "bin", "tsc"], ["-p", layer, "--noEmit", "--pretty", "false"]);
    for (const [, file = "", code = ""] of compiled.matchAll(/^(\S+?)\(\d+,\d+\): error (TS\d+):/gmu)) {
      // A layer that reaches into another is told of the other's files too, which are not its own.
      if (file.startsWith(layer)) note(file, code);
    }
  }
}, 60_000);

afterAll(() => rmSync(house, { recursive: true, force: true }));

describe("the layers", () => {
  test("have a bad file for every folder that a rule is written for", () => {
    const { overrides } = JSON.parse(readFileSync(join(root, ".oxlintrc.json"), "utf8")) as {
      overrides: { files: string[] }[];
    };
    const folders = overrides
      .flatMap((override) => override.files)
      .filter((glob) => glob.startsWith("src-"))
      .flatMap((glob) => expandBraces(glob.replace(/\*\*$/u, "")));
    const uncovered = folders.filter((folder) => !files.some((file) => file.startsWith(folder)));
    expect(uncovered).toEqual([]);
  });

  test.each(files.filter((file) => refusedBy(file).length > 0))("refuse %s", (file) => {
    expect([...(found.get(file) ?? [])]).toEqual(expect.arrayContaining([...refusedBy(file)]));
  });

  test.each(files.filter((file) => refusedBy(file).length === 0))("let %s through", (file) => {
    expect([...(found.get(file) ?? [])].filter((by) => !by.startsWith("TS63"))).toEqual([]);
  });
});

function expandBraces(glob: string): readonly string[] {
  const match = /^(.*)\{([^}]+)\}(.*)$/u.exec(glob);
  if (match === null) return [glob];
  const [, before = "", names = "", after = ""] = match;
  return names.split(",").map((name) => `${before}${name}${after}`);
}
