/**
 * What ships is told by the modules of the bundles. The outside truth here is the source maps of a build of its own,
 * which the bundler draws up from the written code, and the files of the packages as they are installed.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Spec, Validation } from "@cyclonedx/cyclonedx-library";
import Database from "better-sqlite3";
import { afterAll, beforeAll, expect, test } from "vitest";
import { licenceFaults, packageFolderOf, type ShippedComponent } from "../../../src-main/release/shipped-components.ts";
import { ensureBuilt, projectRoot } from "../../helpers/launch.ts";

type Component = {
  readonly group?: string;
  readonly name: string;
  readonly version: string;
  readonly "bom-ref": string;
  readonly hashes?: readonly { readonly alg: string; readonly content: string }[];
  readonly properties: readonly { readonly value: string }[];
};
type Bill = {
  readonly components: readonly Component[];
  readonly dependencies: readonly { readonly ref: string; readonly dependsOn: readonly string[] }[];
};

let folder = "";
let billText = "";
let bill: Bill;
let licences = "";
/** Folders of packages, from the project's, that the source maps name. */
let mapped: ReadonlySet<string>;

beforeAll(async () => {
  await ensureBuilt();
  folder = mkdtempSync(join(tmpdir(), "crewglass-shipped-"));
  const tool = join(projectRoot, "node_modules", "electron-vite", "bin", "electron-vite.js");
  const built = spawnSync(process.execPath, [tool, "build", "--logLevel", "error", "--sourcemap", "--outDir", folder], {
    cwd: projectRoot,
    encoding: "utf8",
  });
  if (built.status !== 0) throw new Error(`${built.stdout}${built.stderr}`);
  billText = readFileSync(join(folder, "sbom.cdx.json"), "utf8");
  bill = JSON.parse(billText) as Bill;
  licences = readFileSync(join(folder, "licences.txt"), "utf8");
  mapped = new Set(sourcesOf(folder).flatMap(packageOfSource));
}, 240_000);

afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Every source that any source map in a folder names. */
function sourcesOf(root: string): readonly string[] {
  const maps = readdirSync(root, { recursive: true, encoding: "utf8" }).filter((path) => path.endsWith(".map"));
  return maps.flatMap((path) => (JSON.parse(readFileSync(join(root, path), "utf8")) as { sources: string[] }).sources);
}

function packageOfSource(source: string): readonly string[] {
  // The empty module that Vite puts where a page cannot have one of Node's.
  if (source.endsWith("__vite-browser-external")) return ["node_modules/vite"];
  const found = /(?:node_modules\/(?:@[^/]+\/)?[^/]+\/(?:.*\/)?)*node_modules\/(?:@[^/]+\/)?[^/]+/u.exec(source)?.[0];
  return found === undefined ? [] : [found];
}

const fullName = ({ group, name, version }: Component): string =>
  `${group === undefined ? "" : `${group}/`}${name}@${version}`;

function inBundle(): readonly string[] {
  return bill.components.filter(({ properties }) => properties[0]!.value.startsWith("bundle: ")).map(fullName);
}

const identity = (packageFolder: string): string => {
  const text = readFileSync(join(projectRoot, packageFolder, "package.json"), "utf8");
  const { name, version } = JSON.parse(text) as { name: string; version: string };
  return `${name}@${version}`;
};

test("the bill names the packages of the source maps and no others", () => {
  // Rolldown's own few lines at the head of a bundle are in no source map.
  const rolldown = identity("node_modules/rolldown");
  expect(inBundle()).toContain(rolldown);
  expect(
    inBundle()
      .filter((name) => name !== rolldown)
      .toSorted(),
  ).toEqual([...mapped].map(identity).toSorted());
  expect(mapped.size).toBeGreaterThan(30);
});

test("packages of workers count, which are bundles of their own", () => {
  const where = new Map(bill.components.map((each) => [each.name, each.properties[0]!.value]));
  expect(where.get("mediabunny")).toBe("bundle: main, renderer, worker");
});

test("every licence that a package brings is in the licences, word for word", () => {
  const files = [...mapped, "node_modules/better-sqlite3", "node_modules/electron", "src-main/reports/fonts"].flatMap(
    (each) =>
      readdirSync(join(projectRoot, each))
        .filter((name) => /^licen[cs]e/iu.test(name))
        .map((name) =>
          readFileSync(join(projectRoot, each, name), "utf8")
            .replaceAll("\r\n", "\n")
            .trim(),
        ),
  );
  expect(files.length).toBeGreaterThan(35);
  // Vite's goes on with packages that are in Vite and not in its one empty module.
  const missing = files.filter((text) => !licences.includes(text.split("\n# Licenses of bundled")[0]!.trim()));
  expect(missing.map((text) => text.slice(0, 80))).toEqual([]);
});

test("the licences say where the source of what is under MPL-2.0 lies", () => {
  // Mozilla Public License 2.0, section 3.2 (a).
  expect(licences).toContain(
    `Source: https://www.npmjs.com/package/mediabunny/v/${identity("node_modules/mediabunny").split("@")[1]}\n` +
      "Its files are in the program unchanged but for bundling",
  );
});

test("the bill is CycloneDX 1.6 by the published schema", async () => {
  const validator = new Validation.JsonStrictValidator(Spec.Version.v1dot6);
  expect(await validator.validate(billText)).toBeNull();
  expect(await validator.validate(billText.replace('"id": "MPL-2.0"', '"id": "MPL-two"'))).not.toBeNull();
});

test("references of the bill are unique, and every dependency leads to one", () => {
  const refs = bill.components.map((each) => each["bom-ref"]);
  expect(new Set(refs).size).toBe(refs.length);
  const reached = new Set(bill.dependencies.flatMap(({ dependsOn }) => dependsOn));
  expect([...reached].toSorted()).toEqual(refs.toSorted());
  expect(bill.dependencies.find(({ ref }) => ref.startsWith("pkg:npm/linebreak@"))?.dependsOn).toContain(
    "pkg:npm/base64-js@0.0.8",
  );
});

test("the version of SQLite is the one that runs", () => {
  const database = new Database(":memory:");
  const { version } = database.prepare("select sqlite_version() as version").get() as { version: string };
  database.close();
  expect(bill.components.find(({ name }) => name === "sqlite")?.version).toBe(version);
});

test("every package has the checksum of its archive", () => {
  const without = bill.components.filter(({ hashes }) => !/^[0-9a-f]{128}$/u.test(hashes?.[0]?.content ?? ""));
  expect(without.map(({ name }) => name)).toEqual(["dejavu-fonts", "sqlite"]);
});

test("the same sources give the same bytes", () => {
  expect(billText).toBe(readFileSync(join(projectRoot, "out", "sbom.cdx.json"), "utf8"));
  expect(licences).toBe(readFileSync(join(projectRoot, "out", "licences.txt"), "utf8"));
});

test("a package with no text, or with a licence that is not allowed, may not ship", () => {
  const fine: ShippedComponent = {
    kind: "library",
    name: "yardstick",
    version: "1.0.0",
    purl: "pkg:npm/yardstick@1.0.0",
    licence: "MIT",
    licenceText: "Permission is hereby granted",
    sha512: null,
    where: "bundle: main",
    needs: [],
  };
  expect(licenceFaults([fine])).toEqual([]);
  expect(licenceFaults([{ ...fine, licenceText: " \n" }])).toEqual([
    "yardstick 1.0.0 comes without the text of its licence.",
  ]);
  expect(licenceFaults([{ ...fine, licence: "GPL-3.0-only" }])).toEqual([
    'yardstick 1.0.0: the licence "GPL-3.0-only" is not among those allowed.',
  ]);
  // A choice is a person's to make, and half a pair is not enough.
  expect(licenceFaults([{ ...fine, licence: "(MIT OR GPL-2.0)" }])).toHaveLength(1);
  expect(licenceFaults([{ ...fine, licence: "MIT AND AGPL-3.0-only" }])).toHaveLength(1);
});

test("whose a module is, is told by its path or by who wrote it", () => {
  const root = "/film/crewglass";
  expect(packageFolderOf(`${root}/src-core/field/units.ts`, root)).toBeNull();
  expect(packageFolderOf(`${root}/node_modules/@orpc/client/dist/a.mjs?commonjs`, root)).toBe(
    "node_modules/@orpc/client",
  );
  expect(packageFolderOf(`\0${root}/node_modules/a/node_modules/b/c.js`, root)).toBe("node_modules/a/node_modules/b");
  expect(packageFolderOf("\0rolldown/runtime.js", root)).toBe("node_modules/rolldown");
  expect(() => packageFolderOf("\0somebody/else.js", root)).toThrow("cannot be told");
});
