/** Everything that others wrote and that ships: packages of the bundles, and what lies beside them. */
import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { allowedLicences, knownLicences, licencesOf } from "./licence-rules.ts";

/** One thing that ships. Equal sources give equal components in the same order. */
export type ShippedComponent = {
  readonly kind: "application" | "framework" | "library";
  readonly name: string;
  readonly version: string;
  /** Its own address by the package URL specification. */
  readonly purl: string;
  /** SPDX expression. */
  readonly licence: string;
  /** Empty only for what is the program's own. */
  readonly licenceText: string;
  /** SHA-512 of the archive it came in, in hexadecimal; null where package-lock.json holds none. */
  readonly sha512: string | null;
  /** Where it is in the program. */
  readonly where: string;
  /** `purl` of each that it needs at run time or holds, of those that ship. */
  readonly needs: readonly string[];
};

export type Shipped = {
  readonly program: ShippedComponent;
  /** By name. */
  readonly components: readonly ShippedComponent[];
};

type Manifest = {
  readonly name?: string;
  readonly version?: string;
  readonly license?: string;
  readonly dependencies?: Readonly<Record<string, string>>;
  readonly devDependencies?: Readonly<Record<string, string>>;
  readonly peerDependencies?: Readonly<Record<string, string>>;
};

type Lock = { readonly packages: Readonly<Record<string, { readonly integrity?: string }>> };

/** Modules that the bundler writes itself, by the beginning of their name. */
const writtenByBundler = [
  { beginning: "rolldown/", name: "rolldown" },
  { beginning: "vite/", name: "vite" },
  { beginning: "__vite-", name: "vite" },
] as const;

/**
 * The folder, below `root` and with forward slashes, of the package that a module of a bundle belongs to; null for the
 * program's own. Throws on a module that is neither.
 */
export function packageFolderOf(moduleId: string, root: string): string | null {
  const path = moduleId.replace(/^\0/u, "").replace(/\?.*$/u, "").replaceAll("\\", "/");
  const inPackages = /^.*\/node_modules\/(?:@[^/]+\/)?[^/]+/u.exec(path)?.[0];
  if (inPackages !== undefined) return relative(root, inPackages).replaceAll("\\", "/");
  const bundler = writtenByBundler.find(({ beginning }) => path.startsWith(beginning));
  if (bundler !== undefined) return `node_modules/${bundler.name}`;
  if (path.startsWith(`${root.replaceAll("\\", "/").replace(/\/$/u, "")}/`)) return null;
  throw new Error(`Whose the module ${JSON.stringify(moduleId)} of the bundle is cannot be told.`);
}

/**
 * `folders` are the packages of the bundles, each with the parts it is in. Throws with every fault at once: a package
 * with no licence text, or with a licence that is not among those allowed.
 */
export function shippedComponents(root: string, folders: ReadonlyMap<string, ReadonlySet<string>>): Shipped {
  const lock = readJson<Lock>(join(root, "package-lock.json"));
  const wheres = new Map<string, string>([
    ...[...folders].map(([folder, parts]) => [folder, `bundle: ${[...parts].toSorted(byCode).join(", ")}`] as const),
    ...besideBundle,
  ]);
  const packages = [...wheres].map(([folder, where]) => packageAt(root, lock, folder, where, wheres));
  const components = withSqlite(withoutTwins(packages), sqliteOf(root))
    .concat(fontsOf(root))
    .toSorted((a, b) => byCode(a.purl, b.purl));
  const faults = [...licenceFaults(components), ...uselessRules(components)];
  if (faults.length > 0) throw new Error(`The program may not ship as it is.\n${faults.join("\n")}`);
  return { program: programItself(root, components), components };
}

/** A sentence for each component that may not ship as it is. */
export function licenceFaults(components: readonly ShippedComponent[]): readonly string[] {
  return components.flatMap(({ name, version, licence, licenceText }) => {
    const refused = licencesOf(licence).filter((id) => !allowedLicences.has(id));
    const faults = refused.map((id) => `${name} ${version}: the licence "${id}" is not among those allowed.`);
    return licenceText.trim() === ""
      ? [...faults, `${name} ${version} comes without the text of its licence.`]
      : faults;
  });
}

function uselessRules(components: readonly ShippedComponent[]): readonly string[] {
  const names = new Set(components.map(({ name }) => name));
  return Object.keys(knownLicences)
    .filter((name) => !names.has(name))
    .map((name) => `licence-rules.ts speaks of ${name}, which does not ship.`);
}

/** Packages that are in no bundle. */
const besideBundle = [
  ["node_modules/better-sqlite3", "beside the bundle"],
  ["node_modules/node-addon-api", "compiled into better-sqlite3"],
  ["node_modules/electron", "the program that the packaged one runs in"],
] as const;

/** One package may be installed in two places in the same version. */
function withoutTwins(packages: readonly ShippedComponent[]): readonly ShippedComponent[] {
  const byPurl = Map.groupBy(packages, ({ purl }) => purl);
  return [...byPurl.values()].flatMap(([first, ...others]) =>
    first === undefined ? [] : [{ ...first, where: [first, ...others].map(({ where }) => where).join("; ") }],
  );
}

/** better-sqlite3's binary holds SQLite whole. */
function withSqlite(packages: readonly ShippedComponent[], sqlite: ShippedComponent): readonly ShippedComponent[] {
  return packages
    .map((each) => (each.name === "better-sqlite3" ? { ...each, needs: [...each.needs, sqlite.purl] } : each))
    .concat(sqlite);
}

function sqliteOf(root: string): ShippedComponent {
  const header = readFileSync(join(root, "node_modules", "better-sqlite3", "deps", "sqlite3", "sqlite3.h"), "utf8");
  const version = /#define SQLITE_VERSION\s+"([\d.]+)"/u.exec(header)?.[1];
  const blessing = /The author disclaims[\s\S]*?taking more than you give\./u.exec(header)?.[0];
  if (version === undefined || blessing === undefined) throw new Error("sqlite3.h says no version or no licence.");
  return {
    kind: "library",
    name: "sqlite",
    version,
    purl: `pkg:generic/sqlite@${version}`,
    licence: "blessing",
    licenceText: blessing.replaceAll(/^\*\* ?/gmu, ""),
    sha512: null,
    where: "compiled into better-sqlite3",
    needs: [],
  };
}

/** The version is the one that the fonts' own README.md names. */
function fontsOf(root: string): ShippedComponent {
  const folder = join(root, "src-main", "reports", "fonts");
  const version = /DejaVu [^.]*? (\d+\.\d+)/u.exec(readFileSync(join(folder, "README.md"), "utf8"))?.[1];
  if (version === undefined) throw new Error("README.md of the fonts says no version.");
  return {
    kind: "library",
    name: "dejavu-fonts",
    version,
    purl: `pkg:generic/dejavu-fonts@${version}`,
    licence: "Bitstream-Vera",
    licenceText: readFileSync(join(folder, "LICENSE"), "utf8"),
    sha512: null,
    where: "beside the bundle, cut down: src-main/reports/fonts",
    needs: [],
  };
}

function programItself(root: string, components: readonly ShippedComponent[]): ShippedComponent {
  const manifest = readJson<Required<Manifest>>(join(root, "package.json"));
  const { name, version, license } = manifest;
  const named = { ...manifest.dependencies, ...manifest.devDependencies };
  const needed = new Set(components.flatMap(({ needs }) => needs));
  return {
    kind: "application",
    name,
    version,
    purl: `pkg:generic/${name}@${version}`,
    licence: license,
    licenceText: "",
    sha512: null,
    where: "",
    needs: components.filter((each) => each.name in named || !needed.has(each.purl)).map(({ purl }) => purl),
  };
}

function packageAt(
  root: string,
  lock: Lock,
  folder: string,
  where: string,
  shipped: ReadonlyMap<string, string>,
): ShippedComponent {
  const manifest = readJson<Manifest>(join(root, folder, "package.json"));
  const { name, version } = identityOf(folder, manifest);
  const integrity = lock.packages[folder]?.integrity;
  const digest = integrity?.startsWith("sha512-") === true ? integrity.slice("sha512-".length) : null;
  const needed = Object.keys({ ...manifest.dependencies, ...manifest.peerDependencies })
    .map((each) => foundFrom(folder, each, shipped))
    .filter((each) => each !== null)
    .map((each) => purlOf(identityOf(each, readJson<Manifest>(join(root, each, "package.json")))));
  return {
    // Electron is what the program runs in, not what it is made of.
    kind: name === "electron" ? "framework" : "library",
    name,
    version,
    purl: purlOf({ name, version }),
    licence: knownLicences[name]?.licence ?? manifest.license ?? "(none said)",
    licenceText: textOf(root, folder, name),
    sha512: digest === null ? null : Buffer.from(digest, "base64").toString("hex"),
    where,
    needs: needed.toSorted(byCode),
  };
}

/** The folder that a package in `folder` gets `name` from, as Node looks for it; null when that one does not ship. */
function foundFrom(folder: string, name: string, shipped: ReadonlyMap<string, string>): string | null {
  for (let from = folder; ; from = from.slice(0, from.lastIndexOf("/node_modules/"))) {
    if (shipped.has(`${from}/node_modules/${name}`)) return `${from}/node_modules/${name}`;
    if (!from.includes("/node_modules/")) break;
  }
  return shipped.has(`node_modules/${name}`) ? `node_modules/${name}` : null;
}

type Identity = { readonly name: string; readonly version: string };

function identityOf(folder: string, { name, version }: Manifest): Identity {
  if (name === undefined || version === undefined) throw new Error(`${folder} holds no package.`);
  return { name, version };
}

function purlOf({ name, version }: Identity): string {
  return `pkg:npm/${name.replace("@", "%40")}@${version}`;
}

/** Every licence and notice at the top of the package, or the text kept here for it. */
function textOf(root: string, folder: string, name: string): string {
  const known = knownLicences[name];
  const kept = known?.textFile;
  const paths = readdirSync(join(root, folder))
    .filter((file) => /(^|-)(licen[cs]e|copying|notice|unlicense)(\.(md|txt|mit))?$/iu.test(file))
    .toSorted(byCode)
    .map((file) => join(root, folder, file));
  if (kept !== undefined) {
    if (paths.length > 0) throw new Error(`${name} brings its licence now: ${kept} is of no use any more.`);
    paths.push(join(root, "src-main", "release", "licence-texts", kept));
  }
  const text = paths.map((path) => readFileSync(path, "utf8").replaceAll("\r\n", "\n").trim()).join("\n\n");
  if (known?.textEndsBefore === undefined) return text;
  const end = text.indexOf(known.textEndsBefore);
  if (end < 0) throw new Error(`The licence of ${name} has no line ${JSON.stringify(known.textEndsBefore)} any more.`);
  return text.slice(0, end).trim();
}

function byCode(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function readJson<T>(path: string): T {
  return JSON.parse(readFileSync(path, "utf8")) as T;
}
