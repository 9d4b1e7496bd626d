/**
 * What the packager makes, read back: packaged once for three platforms with stand-ins for Electron's program. The
 * archives are read with Electron's own @electron/asar, the fuses with its @electron/fuses, and the packaged program is
 * run, with nothing beside it that was not packaged.
 */
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { extractAll, extractFile, getRawHeader, listPackage } from "@electron/asar";
import { FuseState, FuseV1Options, getCurrentFuseWire } from "@electron/fuses";
import { createORPCClient } from "@orpc/client";
import { RPCLink } from "@orpc/client/websocket";
import { NtExecutable, NtExecutableResource } from "resedit";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { unpackedFolder } from "../../../src-main/shells/unpacked-folder.ts";
import type { Client } from "../../../src-renderer/app/client.ts";
import { ensureBuilt, launchShell, projectRoot } from "../../helpers/launch.ts";
import { readPdf } from "../../helpers/read-pdf.ts";
import { ask, cookieOf, openSocket } from "../shells/ask.ts";
import { writeStandIns } from "./stand-in-electron.ts";

const targets = [
  { name: "linux-x64", folder: "linux-unpacked", program: "crewglass", resources: "resources", binary: "linux-x64" },
  { name: "win32-x64", folder: "win-unpacked", program: "Crewglass.exe", resources: "resources", binary: "win32-x64" },
  {
    name: "darwin-arm64",
    folder: "mac-arm64",
    program: "Crewglass.app",
    resources: "Crewglass.app/Contents/Resources",
    binary: "darwin-arm64",
  },
] as const;

/** Every file that may be in the program's archive or unpacked beside it, but for the binary of better-sqlite3. */
const allowed = [
  /^package\.json$/u,
  /^out\/main\/(electron|browser-shell|chunks\/[\w-]+)\.js$/u,
  /^out\/preload\/preload\.cjs$/u,
  /^out\/renderer\/(index\.html|assets\/[\w-]+\.(js|css|svg))$/u,
  /^src-main\/demo\/(film\.mp4|clicks\.json)$/u,
  /^src-main\/reports\/fonts\/(DejaVuSans|DejaVuSans-Bold|DejaVuSerif-Bold)\.ttf$/u,
  /^src-main\/reports\/fonts\/LICENSE$/u,
  /^node_modules\/better-sqlite3\/(LICENSE|package\.json)$/u,
  /^node_modules\/better-sqlite3\/lib\/(binding|database|index|sqlite-error|util)\.js$/u,
  /^node_modules\/better-sqlite3\/lib\/methods\/[a-z]+\.js$/u,
];

const film = "src-main/demo/film.mp4";
/** Bytes of what is ours and the packages', without Electron, with room to grow: it takes 27.7 and 8.6 million now. */
const largestBytes = { withFilm: 34_000_000, withoutFilm: 15_000_000 };

let folder = "";

beforeAll(async () => {
  await ensureBuilt();
  folder = mkdtempSync(join(tmpdir(), "crewglass-package-"));
  const { version } = createRequire(import.meta.url)("electron/package.json") as { version: string };
  writeStandIns(folder, version);
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [
      join(projectRoot, "node_modules", "electron-builder", "cli.js"),
      ...["--linux", "dir:x64", "--win", "dir:x64", "--mac", "dir:arm64", "--publish", "never"],
      ...[`-c.electronDist=${folder}`, `-c.directories.output=${folder}`],
    ],
    { cwd: projectRoot, encoding: "utf8", env: { ...process.env, CSC_IDENTITY_AUTO_DISCOVERY: "false" } },
  );
  if (status !== 0) throw new Error(`${stdout}${stderr}`);
}, 240_000);

afterAll(() => rmSync(folder, { recursive: true, force: true }));

const archiveOf = (target: (typeof targets)[number]): string =>
  join(folder, target.folder, target.resources, "app.asar");

function filesBelow(root: string): readonly string[] {
  return readdirSync(root, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) =>
      join(entry.parentPath, entry.name)
        .slice(root.length + 1)
        .replaceAll("\\", "/"),
    )
    .toSorted();
}

/** The files that the archive lists; those unpacked beside it are among them. */
function filesOf(archive: string): readonly string[] {
  const entries = listPackage(archive, { isPack: false }).map((path) => path.replaceAll("\\", "/").slice(1));
  return entries.filter((path) => !entries.some((other) => other.startsWith(`${path}/`))).toSorted();
}

const sha256 = (content: string | Uint8Array): string => createHash("sha256").update(content).digest("hex");

describe.each(targets)("$name", (target) => {
  test("holds what it needs, and no source, test, tool or foreign binary", () => {
    const archive = archiveOf(target);
    const binary = `node_modules/better-sqlite3/prebuilds/${target.binary}.node`;
    const files = filesOf(archive);
    expect(files.filter((path) => path !== binary && !allowed.some((pattern) => pattern.test(path)))).toEqual([]);
    expect(allowed.filter((pattern) => !files.some((path) => pattern.test(path)))).toEqual([]);
    expect(filesBelow(unpackedFolder(archive))).toEqual([binary, film]);
    expect(filesBelow(join(projectRoot, "out")).filter((path) => /^(main|preload|renderer)\//u.test(path))).toEqual(
      files.filter((path) => path.startsWith("out/")).map((path) => path.slice("out/".length)),
    );
  });

  test("holds files as they were built", () => {
    const archive = archiveOf(target);
    const changed = filesOf(archive)
      .filter((path) => !path.endsWith("package.json"))
      .filter((path) => !extractFile(archive, path).equals(readFileSync(join(projectRoot, path))));
    expect(changed).toEqual([]);
  });

  test("is no larger than it was meant to be", () => {
    const archive = archiveOf(target);
    const sizes = [archive, ...filesBelow(unpackedFolder(archive)).map((path) => join(unpackedFolder(archive), path))];
    const bytes = sizes.reduce((sum, path) => sum + statSync(path).size, 0);
    const filmBytes = statSync(join(unpackedFolder(archive), film)).size;
    console.log(`${target.name}: ${bytes} bytes, ${bytes - filmBytes} of them without the film`);
    expect(bytes).toBeLessThan(largestBytes.withFilm);
    expect(bytes - filmBytes).toBeLessThan(largestBytes.withoutFilm);
  });

  test("says in its package.json nothing of how it is made", () => {
    const manifest = JSON.parse(extractFile(archiveOf(target), "package.json").toString("utf8")) as object;
    expect(manifest).toMatchObject({ name: "crewglass", main: "out/main/electron.js", type: "module" });
    for (const name of ["scripts", "devDependencies", "build"]) expect(manifest).not.toHaveProperty(name);
  });

  test("brings the licences and the bill of materials, and Electron's own licences", () => {
    const resources = join(folder, target.folder, target.resources);
    const read = (path: string): string => readFileSync(path, "utf8");
    expect(read(join(resources, "licences.txt"))).toBe(read(join(projectRoot, "out", "licences.txt")));
    expect(read(join(resources, "sbom.cdx.json"))).toBe(read(join(projectRoot, "out", "sbom.cdx.json")));
    expect(read(join(resources, "LICENSE.crewglass.txt"))).toBe(read(join(projectRoot, "LICENSE")));
    const electrons = join(folder, target.folder, target.name.startsWith("darwin") ? target.resources : "");
    expect(read(join(electrons, "LICENSE.electron.txt"))).toBe("Electron's licence");
    expect(read(join(electrons, "LICENSES.chromium.html"))).toBe("<p>Chromium's licences</p>");
  });

  test("has its fuses set", async () => {
    const wire = await getCurrentFuseWire(join(folder, target.folder, target.program));
    const state = (fuse: FuseV1Options): string => FuseState[wire[fuse] ?? FuseState.REMOVED];
    // Electron's security checklist, item 19, and its documentation of each fuse.
    expect(state(FuseV1Options.RunAsNode)).toBe("DISABLE");
    expect(state(FuseV1Options.EnableNodeOptionsEnvironmentVariable)).toBe("DISABLE");
    expect(state(FuseV1Options.EnableNodeCliInspectArguments)).toBe("DISABLE");
    expect(state(FuseV1Options.EnableEmbeddedAsarIntegrityValidation)).toBe("ENABLE");
    expect(state(FuseV1Options.OnlyLoadAppFromAsar)).toBe("ENABLE");
    expect(state(FuseV1Options.LoadBrowserProcessSpecificV8Snapshot)).toBe("DISABLE");
    expect(state(FuseV1Options.GrantFileProtocolExtraPrivileges)).toBe("DISABLE");
    // The window keeps no cookie, and a Mac would ask for its keychain.
    expect(state(FuseV1Options.EnableCookieEncryption)).toBe("DISABLE");
  });

  test("has a checksum of every file in its archive's header", () => {
    const archive = archiveOf(target);
    type Entry = { readonly files?: Record<string, Entry>; readonly integrity?: { algorithm: string; hash: string } };
    const { header } = getRawHeader(archive);
    const found = (path: string): Entry | undefined =>
      path.split("/").reduce<Entry | undefined>((entry, part) => entry?.files?.[part], header as Entry);
    for (const path of filesOf(archive)) {
      const hash = sha256(extractFile(archive, path));
      expect(found(path)?.integrity, path).toMatchObject({ algorithm: "SHA256", hash });
    }
  });

  test("speaks English alone", () => {
    const names = filesBelow(join(folder, target.folder)).filter((path) => /\.(pak|lproj)/u.test(path));
    expect(names.length).toBeGreaterThan(0);
    expect(names.filter((path) => !/(^|\/)en[-\w]*\.(pak|lproj)/u.test(path))).toEqual([]);
  });
});

describe("the archive's header is signed for by the program", () => {
  const headerHash = (target: (typeof targets)[number]): string => sha256(getRawHeader(archiveOf(target)).headerString);

  test("in Info.plist on a Mac", () => {
    const plist = readFileSync(join(folder, "mac-arm64", "Crewglass.app", "Contents", "Info.plist"), "utf8");
    const said = /<key>Resources\/app\.asar<\/key>\s*<dict>[\s\S]*?<key>hash<\/key>\s*<string>(\w+)<\/string>/u;
    expect(said.exec(plist)?.[1]).toBe(headerHash(targets[2]));
  });

  test("in a resource of the program on Windows", () => {
    const program = NtExecutable.from(readFileSync(join(folder, "win-unpacked", "Crewglass.exe")));
    const entry = NtExecutableResource.from(program).entries.find(({ id }) => id === "ELECTRONASAR");
    expect(JSON.parse(Buffer.from(entry?.bin ?? new ArrayBuffer()).toString("utf8"))).toEqual([
      { file: "resources\\app.asar", alg: "SHA256", value: headerHash(targets[1]) },
    ]);
  });
});

const here = targets.find(({ name }) => name === `${process.platform}-${process.arch}`);

test.skipIf(here === undefined)(
  "what was packaged runs, with nothing else beside it",
  { timeout: 90_000 },
  async () => {
    const programFolder = mkdtempSync(join(tmpdir(), "crewglass-packaged-"));
    extractAll(archiveOf(here!), programFolder);
    const shell = await launchShell({ programFolder });
    try {
      const cookie = await cookieOf(shell.address);
      const page = await ask(shell.origin, "/", { headers: { cookie } });
      expect(page.body.toString("utf8")).toContain('<div id="root">');
      const opened = await openSocket(shell.origin, { cookie, origin: shell.origin });
      if (!("socket" in opened)) throw new Error(`refused with ${opened.status}`);
      const client: Client = createORPCClient(
        new RPCLink({ websocket: opened.socket as unknown as globalThis.WebSocket }),
      );

      const [demo] = await client.games.list();
      const { films, filmStates } = await client.games.open({ gameId: demo!.id });
      expect(films[0]!.path).toBe(join(programFolder, film));
      expect(filmStates).toMatchObject([{ state: "present" }]);
      const part = await ask(shell.origin, `/film/${films[0]!.id}`, {
        headers: { cookie, range: "bytes=1000000-1000999" },
      });
      expect(part.status).toBe(206);
      expect(part.body.equals(readFileSync(join(projectRoot, film)).subarray(1_000_000, 1_001_000))).toBe(true);

      const out = join(programFolder, "written");
      const { exportId } = await client.exports.begin({ folder: out, name: "Herons" });
      const document = { title: "Herons", lines: [], footer: "Private", blocks: [] };
      await client.exports.report({ exportId, file: "page", document, forms: ["pdf"] });
      const written = await client.exports.finish({ exportId });
      const { pages } = await readPdf(new Uint8Array(readFileSync(join(written.folder, "page.pdf"))));
      expect(pages[0]!.text).toBe("Herons Private page 1 of 1");
      opened.socket.close();
    } finally {
      expect(await shell.stop()).toBe(0);
      rmSync(programFolder, { recursive: true, force: true });
    }
  },
);
