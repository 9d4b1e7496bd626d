/**
 * Stand-ins for Electron's program as it is published, a zip for each platform: the files that a packager looks for or
 * changes, with as little in them as it takes. The program's fuses are real: the sentinel and wire that Electron keeps
 * in its binary (electronjs.org/docs/latest/tutorial/fuses), set as a published Electron has them.
 */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { strToU8, type Zippable, zipSync } from "fflate";
import { NtExecutable, NtExecutableResource, Resource } from "resedit";

/** Files of `electron-vVERSION-PLATFORM-ARCH.zip` in a folder, which the packager takes Electron from when told so. */
export function writeStandIns(folder: string, version: string): void {
  const save = (target: string, files: Zippable): void =>
    writeFileSync(join(folder, `electron-v${version}-${target}.zip`), zipSync(files, { level: 0 }));
  const beside: Zippable = {
    LICENSE: strToU8("Electron's licence"),
    "LICENSES.chromium.html": strToU8("<p>Chromium's licences</p>"),
    version: strToU8(version),
  };
  const locales: Zippable = { "en-GB.pak": strToU8("en"), "en-US.pak": strToU8("en"), "de.pak": strToU8("de") };
  save("linux-x64", { ...beside, electron: [fuseWire(), { attrs: 0o755 << 16, os: 3 }], locales });
  save("win32-x64", { ...beside, "electron.exe": windowsProgram(), locales });
  save("darwin-arm64", { ...beside, "Electron.app": { Contents: macContents() } });
}

const sentinel = "dL7pKGdnNz796PbbjQWNKmHXBZaB9tsX";

/** Version 1, eight fuses: "1" is on, "0" off. */
function fuseWire(): Uint8Array {
  return strToU8(`stand-in\0${sentinel}\x01\x0810110001\0`);
}

/** A program with no code, but with the resources that a packager reads and writes. */
function windowsProgram(): Uint8Array {
  const program = NtExecutable.createEmpty(false, false);
  const resources = NtExecutableResource.from(program);
  const version = Resource.VersionInfo.createEmpty();
  version.setStringValues({ lang: 1033, codepage: 1200 }, { ProductName: "Electron" });
  version.outputToResourceEntries(resources.entries);
  const wire = fuseWire();
  resources.entries.push({ type: 10, id: 1, lang: 1033, codepage: 1200, bin: new Uint8Array(wire).buffer });
  resources.outputResource(program);
  return new Uint8Array(program.generate());
}

function macContents(): Zippable {
  const plist = (name: string): Uint8Array =>
    strToU8(
      `<?xml version="1.0" encoding="UTF-8"?><plist version="1.0"><dict><key>CFBundleExecutable</key><string>${name}</string></dict></plist>`,
    );
  const helper = (name: string): Zippable => ({
    Contents: { "Info.plist": plist(name), MacOS: { [name]: strToU8("stand-in") } },
  });
  const names = ["", " (GPU)", " (Plugin)", " (Renderer)"].map((suffix) => `Electron Helper${suffix}`);
  return {
    "Info.plist": plist("Electron"),
    MacOS: { Electron: strToU8("stand-in") },
    Resources: { "electron.icns": strToU8(""), "en.lproj": { "locale.pak": strToU8("en") } },
    Frameworks: {
      // In the real one, what stands here leads to Versions/A by a link.
      "Electron Framework.framework": {
        "Electron Framework": fuseWire(),
        Versions: {
          A: {
            Resources: { "en.lproj": { "locale.pak": strToU8("en") }, "de.lproj": { "locale.pak": strToU8("de") } },
          },
        },
      },
      ...Object.fromEntries(names.map((name) => [`${name}.app`, helper(name)])),
    },
  };
}
