/** Files that are no packets, or packets no longer: each is refused with what to do. */
import { mkdirSync, symlinkSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { unzipSync, zipSync } from "fflate";
import { describe, expect, test } from "vitest";
import { packetBytes, sha256Of, zipped } from "../../../src-main/exchange/packet-file.ts";
import { packetLimits } from "../../../src-main/exchange/packet-limits.ts";
import { type Reading, readPacket, readPacketBytes } from "../../../src-main/exchange/read-packet.ts";
import { inOrder, stamped } from "#core/exchange/said-versions";
import { aPacket, given, sha256, versionsOf } from "../../core/exchange/build-packet.ts";
import { aWholeGame } from "../store/build-game.ts";
import { temporaryFolder } from "../store/temporary-library.ts";
import { editLine, type Parts, repacked } from "./repack.ts";

const sound = Buffer.from(packetBytes(aPacket()));

async function refused(bytes: Buffer, reading: Reading = {}): Promise<string> {
  const read = await readPacketBytes(bytes, reading);
  if (read.ok) throw new Error("it was read");
  return `${read.reason}: ${read.sentence}`;
}

const entriesOf = (bytes: Uint8Array) => Object.entries(unzipSync(bytes));

/** Where the record of an entry lies in the list of files at the end of an archive. */
function directoryOf(bytes: Buffer, name: string): number {
  for (
    let at = bytes.indexOf("PK\u0001\u0002", 0, "latin1");
    at >= 0;
    at = bytes.indexOf("PK\u0001\u0002", at + 4, "latin1")
  )
    if (bytes.subarray(at + 46, at + 46 + bytes.readUInt16LE(at + 28)).toString() === name) return at;
  throw new Error(`no ${name}`);
}

function patched(edit: (bytes: Buffer) => void): Buffer {
  const copy = Buffer.from(sound);
  edit(copy);
  return copy;
}

test("a sound packet is read", async () => {
  expect(await readPacketBytes(sound)).toMatchObject({ ok: true });
  expect(await readPacketBytes(repacked(sound, () => {}))).toMatchObject({ ok: true });
});

describe("names that lead out of an archive", () => {
  for (const name of [
    "../grades.jsonl",
    "a/../../grades.jsonl",
    "/etc/grades.jsonl",
    "C:/grades.jsonl",
    "C:grades.jsonl",
    "..\\grades.jsonl",
    "\\\\host\\share\\grades.jsonl",
    "grades.jsonl/",
    "./grades.jsonl",
    "GRADES.JSONL",
    "grades.jsonl\u0000.exe",
    "notes.jsonl",
  ])
    test(`are refused: ${JSON.stringify(name)}`, async () => {
      const entries = entriesOf(sound).map(([one, content]) => [one === "grades.jsonl" ? name : one, content] as const);
      expect(await refused(Buffer.from(zipped(entries)))).toMatch(/^damaged: .*ask whoever sent it/u);
      const added = [...entriesOf(sound), [name, Buffer.from("{}\n")] as const];
      expect(await refused(Buffer.from(zipped(added)))).toMatch(/^damaged: /u);
    });

  test("are refused where only the file's own header carries them", async () => {
    const bytes = patched((copy) => copy.write("../des.jsonl", copy.indexOf("grades.jsonl"), "latin1"));
    expect(await refused(bytes)).toMatch(/grades\.jsonl has two names/u);
  });

  test("are refused as links, devices and folders by their attributes", async () => {
    for (const kind of [0o120777, 0o040755, 0o020666, 0o140755]) {
      const bytes = patched((copy) => copy.writeUInt32LE((kind << 16) >>> 0, directoryOf(copy, "grades.jsonl") + 38));
      expect(await refused(bytes)).toMatch(/grades\.jsonl is no plain file/u);
    }
  });
});

describe("sizes that lie", () => {
  test("by saying less or more than unpacks", async () => {
    for (const by of [-1, 1, -100]) {
      const bytes = patched((copy) => {
        const at = directoryOf(copy, "grades.jsonl") + 24;
        copy.writeUInt32LE(copy.readUInt32LE(at) + by, at);
      });
      expect(await refused(bytes)).toMatch(/grades\.jsonl (does not unpack|is not as long as it says)/u);
    }
  });

  test("of a large file, which is unpacked piece by piece", async () => {
    const large = repacked(sound, (parts) => parts.set("grades.jsonl", " ".repeat(400_000)));
    expect(await refused(large)).toMatch(/grades\.jsonl, line 1 is cut off/u);
    for (const says of [300_000, 500_000]) {
      const lying = Buffer.from(large);
      lying.writeUInt32LE(says, directoryOf(lying, "grades.jsonl") + 24);
      expect(await refused(lying)).toMatch(/grades\.jsonl does not unpack/u);
    }
  });

  test("by saying more than fits into the file", async () => {
    const bytes = patched((copy) => copy.writeUInt32LE(0x7fff_ffff, directoryOf(copy, "grades.jsonl") + 20));
    expect(await refused(bytes)).toMatch(/^damaged: /u);
    const larger = patched((copy) => copy.writeUInt32LE(0xffff_fffe, directoryOf(copy, "grades.jsonl") + 24));
    expect(await refused(larger)).toMatch(/larger than it may be/u);
  });

  test("in the manifest, with the sum or without", async () => {
    const wrong = (edit: (file: { sizeBytes: number; sha256: string }) => void) =>
      repacked(
        sound,
        () => {},
        (manifest) => edit((manifest["files"] as { sizeBytes: number; sha256: string }[])[8]!),
      );
    expect(await refused(wrong((file) => (file.sizeBytes += 1)))).toMatch(
      /grades\.jsonl is not what the manifest says/u,
    );
    expect(await refused(wrong((file) => (file.sha256 = sha256Of("else"))))).toMatch(/is not what the manifest says/u);
  });
});

describe("what unpacks to more than it may", () => {
  const spaces = (bytes: number) => repacked(sound, (parts) => parts.set("grades.jsonl", " ".repeat(bytes)));

  test("by its ratio", async () => {
    expect(await refused(spaces(3_000_000))).toMatch(/unpacks to more than 200 times its size/u);
  });

  test("by the size of one file, whether it says so or not", async () => {
    const limits = { ...packetLimits, partBytes: 5000 };
    expect(await refused(spaces(6000), { limits })).toMatch(/grades\.jsonl is larger than it may be/u);
    const lying = spaces(6000);
    lying.writeUInt32LE(4000, directoryOf(lying, "grades.jsonl") + 24);
    expect(await refused(lying, { limits })).toMatch(/^damaged: /u);
  });

  test("by all files together", async () => {
    const total = entriesOf(sound).reduce((sum, [, content]) => sum + content.length, 0);
    expect(await refused(sound, { limits: { ...packetLimits, totalBytes: total - 1 } })).toMatch(
      /larger than any packet/u,
    );
    expect(await readPacketBytes(sound, { limits: { ...packetLimits, totalBytes: total } })).toMatchObject({
      ok: true,
    });
  });

  test("by lines that are too long or too many, and by a large manifest", async () => {
    const lineBytes = { ...packetLimits.lineBytes, other: 100 };
    expect(await refused(sound, { limits: { ...packetLimits, lineBytes } })).toMatch(
      /line 1 is longer than it may be/u,
    );
    expect(await refused(sound, { limits: { ...packetLimits, lines: 4 } })).toMatch(/stakes\.jsonl has more lines/u);
    expect(await refused(sound, { limits: { ...packetLimits, manifestBytes: 100 } })).toMatch(
      /manifest\.json is larger/u,
    );
    const long = repacked(
      sound,
      editLine("plays.jsonl", 0, (play) => (play["id"] = "x".repeat(200_000))),
    );
    expect(await refused(long)).toMatch(/longer than it may be/u);
  });
});

describe("archives that are not whole", () => {
  test("cut off anywhere", async () => {
    for (let length = 0; length < sound.length; length += 97)
      expect(await refused(sound.subarray(0, length)), `${length}`).toMatch(/^(damaged|not-a-packet): /u);
  });

  test("with two files of one name", async () => {
    const twice = zipped([...entriesOf(sound), ["gradez.jsonl", Buffer.from("{}\n")]]);
    const bytes = Buffer.from(
      Buffer.from(twice).toString("latin1").replaceAll("gradez.jsonl", "grades.jsonl"),
      "latin1",
    );
    expect(await refused(bytes)).toMatch(/grades\.jsonl is there twice|holds 16 files/u);
    const without = entriesOf(sound).filter(([name]) => name !== "books.jsonl");
    const inPlace = zipped([...without, ["gradez.jsonl", Buffer.from("{}\n")]]);
    const same = Buffer.from(
      Buffer.from(inPlace).toString("latin1").replaceAll("gradez.jsonl", "grades.jsonl"),
      "latin1",
    );
    expect(await refused(same)).toMatch(/grades\.jsonl is there twice/u);
  });

  test("with a file missing, unlisted or in another place", async () => {
    expect(await refused(repacked(sound, (parts) => void parts.delete("marks.jsonl")))).toMatch(/lists other files/u);
    const without = entriesOf(sound).filter(([name]) => name !== "marks.jsonl");
    expect(await refused(Buffer.from(zipped(without)))).toMatch(/marks\.jsonl is missing/u);
    const headless = entriesOf(sound).filter(([name]) => name !== "manifest.json");
    expect(await refused(Buffer.from(zipped(headless)))).toMatch(/manifest\.json is missing/u);
  });

  test("locked with a password, or packed otherwise", async () => {
    const locked = patched((copy) => copy.writeUInt16LE(1, directoryOf(copy, "grades.jsonl") + 8));
    expect(await refused(locked)).toMatch(/locked with a password/u);
    const odd = patched((copy) => copy.writeUInt16LE(12, directoryOf(copy, "grades.jsonl") + 10));
    expect(await refused(odd)).toMatch(/packed in a way that packets are not/u);
  });

  test("whose own sum is not that of what unpacks", async () => {
    const bytes = patched((copy) => copy.writeUInt32LE(7, directoryOf(copy, "manifest.json") + 16));
    expect(await refused(bytes)).toMatch(/manifest\.json is not what it was/u);
  });

  test("that are something else", async () => {
    expect(await refused(Buffer.from("not at all"))).toMatch(/^not-a-packet: .*right one/u);
    expect(await refused(Buffer.alloc(0))).toMatch(/^not-a-packet: /u);
    expect(await refused(Buffer.from(zipSync({ "readme.txt": Buffer.from("hello") })))).toMatch(
      /“readme\.txt” has no place in a packet/u,
    );
  });
});

describe("what the files say", () => {
  test("a newer format is refused by name, whatever else is in it", async () => {
    const newer = repacked(
      sound,
      (parts) => parts.set("grades.jsonl", "another way\n"),
      (manifest) => {
        manifest["formatVersion"] = 2;
        manifest["aNewThing"] = true;
      },
    );
    expect(await refused(newer)).toMatch(/^newer: .*newer Crewglass \(packet format 2\).*up to 1: update the program/u);
  });

  const cases: readonly (readonly [title: string, edit: (parts: Parts) => void, fault: RegExp])[] = [
    [
      "a property that no record has",
      editLine("grades.jsonl", 0, (one) => (one["extra"] = 1)),
      /grades\.jsonl, line 1: .*extra/u,
    ],
    [
      "a film with its path",
      editLine("films.jsonl", 0, (one) => (one["path"] = "/films/a.mp4")),
      /films\.jsonl, line 1: .*path/u,
    ],
    [
      "a prototype",
      (parts) => parts.set("grades.jsonl", parts.get("grades.jsonl")!.replace("{", `{"__proto__":{"points":5},`)),
      /property that no record has/u,
    ],
    [
      "a prototype in escapes",
      (parts) =>
        parts.set("grades.jsonl", parts.get("grades.jsonl")!.replace("{", String.raw`{"\u005f_proto_\u005F":{},`)),
      /property that no record has/u,
    ],
    [
      "a prototype further in",
      (parts) =>
        parts.set("plays.jsonl", parts.get("plays.jsonl")!.replace(`"situation":{`, `"situation":{"__proto__":[],`)),
      /property that no record has/u,
    ],
    [
      "a constructor",
      editLine("game.jsonl", 0, (one) => (one["constructor"] = { prototype: {} })),
      /game\.jsonl, line 1: .*constructor/u,
    ],
    [
      "a number without end",
      (parts) => parts.set("moments.jsonl", parts.get("moments.jsonl")!.replace(`"timeSec":3`, `"timeSec":1e999`)),
      /moments\.jsonl, line 1: timeSec/u,
    ],
    [
      "no number",
      (parts) => parts.set("moments.jsonl", parts.get("moments.jsonl")!.replace(`"timeSec":3`, `"timeSec":NaN`)),
      /is no JSON/u,
    ],
    ["no text", (parts) => parts.set("moments.jsonl", `${parts.get("moments.jsonl")!.slice(0, -2)}\n`), /is no JSON/u],
    ["a line cut off", (parts) => parts.set("moments.jsonl", parts.get("moments.jsonl")!.slice(0, -1)), /is cut off/u],
    ["two games", (parts) => parts.set("game.jsonl", parts.get("game.jsonl")!.repeat(2)), /not of one game/u],
    ["no game", (parts) => parts.set("game.jsonl", ""), /not of one game/u],
    ["a record twice", (parts) => parts.set("marks.jsonl", parts.get("marks.jsonl")!.repeat(2)), /is there twice/u],
    ["another game", editLine("marks.jsonl", 0, (one) => (one["gameId"] = "game-2")), /is of another game/u],
    [
      "a mark without its moment",
      editLine("marks.jsonl", 0, (one) => (one["momentId"] = "none")),
      /without its moment/u,
    ],
    ["a play without its film", editLine("plays.jsonl", 0, (one) => (one["filmId"] = "none")), /without its film/u],
    ["a grade without its play", editLine("grades.jsonl", 0, (one) => (one["playId"] = "none")), /without its play/u],
    [
      "a grade its versions do not know",
      editLine("grades.jsonl", 0, (one) => (one["points"] = 5)),
      /not what its versions say/u,
    ],
    ["a version changed", editLine("versions.jsonl", 0, (one) => (one["reason"] = "else")), /than its id stands for/u],
    [
      "a version without the one before",
      editLine("versions.jsonl", 0, (one) => (one["after"] = ["0".repeat(64)])),
      /than its id/u,
    ],
    ["grades without versions", (parts) => parts.set("versions.jsonl", ""), /not what its versions say/u],
    ["versions without grades", (parts) => parts.set("rulings.jsonl", ""), /some that the versions say are missing/u],
    [
      "a book of another name",
      (parts) => parts.set("books.jsonl", `{"id":"b","file":"{\\"id\\":\\"c\\"}"}\n`),
      /not the book/u,
    ],
  ];
  for (const [title, edit, fault] of cases)
    test(`is refused: ${title}`, async () => {
      expect(await refused(repacked(sound, edit))).toMatch(fault);
    });

  test("a head that does not say what it holds, though another stands", async () => {
    const records = aWholeGame();
    const grade = records.grades[0]!;
    const [first] = versionsOf(records);
    const silent = stamped(
      [{ ...first!, record: null, reason: "?", id: null, after: null, at: "2000-01-01T00:00:00.000Z" }],
      sha256,
    );
    const packet = aPacket(records, {}, [...silent, ...versionsOf(records)]);
    expect(packet.grades).toEqual([grade]);
    expect(await refused(Buffer.from(packetBytes(packet)))).toMatch(/stands and does not say what/u);
  });

  test("a grade off its scale", async () => {
    const off = { ...aWholeGame(), grades: [{ ...aWholeGame().grades[0]!, points: 2.5 }] };
    expect(await refused(Buffer.from(packetBytes(aPacket(off))))).toMatch(/game-1-grade is no point of its scale/u);
  });

  test("a head of a scale that is not there, though another stands", async () => {
    const records = aWholeGame();
    const grade = records.grades[0]!;
    const other = given({ ...grade, scaleId: "gone", gradedAt: "2000-01-01T00:00:00.000Z" });
    const sent = aPacket(records, {}, versionsOf(records));
    const packet = { ...sent, versions: inOrder([...sent.versions, ...stamped([other], sha256)]) };
    expect(await refused(Buffer.from(packetBytes(packet)))).toMatch(/manifest names others than the grades/u);
    const named = { ...packet, head: { ...packet.head, scaleIds: ["five-points", "gone"] } };
    expect(await refused(Buffer.from(packetBytes(named)))).toMatch(/of a scale that is not there \(gone\)/u);
  });

  test("says so in a sentence of some length, whatever the file says", async () => {
    const long = repacked(
      sound,
      editLine("marks.jsonl", 0, (one) => (one["x\u001b".repeat(5000)] = 1)),
    );
    const sentence = await refused(long);
    expect(sentence.length).toBeLessThan(400);
    expect(sentence).not.toContain("\u001b");
  });

  test("what the manifest says was left out is not there", async () => {
    const options = { observerName: true, crewNames: true, measurements: true, carries: true };
    const says = (less: Partial<typeof options>) =>
      repacked(
        sound,
        () => {},
        (manifest) => (manifest["options"] = { ...options, ...less }),
      );
    expect(await refused(says({ measurements: false }))).toMatch(/stakes: the manifest says that they were left out/u);
    expect(await refused(says({ carries: false }))).toMatch(/carries: the manifest says/u);
    expect(await refused(says({ crewNames: false }))).toMatch(/names of the crew: the manifest says/u);
  });

  test("bytes that are no text, though they would pass for JSON", async () => {
    const marked = repacked(sound, (parts) =>
      parts.set("game.jsonl", parts.get("game.jsonl")!.replace("Herons v", "@@@")),
    );
    const files = entriesOf(marked);
    const text = (name: string) => Buffer.from(files.find(([one]) => one === name)![1]).toString("latin1");
    const game = Buffer.from(text("game.jsonl").replace("@@@", "@\u00ff@"), "latin1");
    const manifest = text("manifest.json").replace(sha256Of(Buffer.from(text("game.jsonl"), "latin1")), sha256Of(game));
    const odd = files.map(([name, content]) => {
      if (name === "game.jsonl") return [name, game] as const;
      return [name, name === "manifest.json" ? Buffer.from(manifest, "latin1") : content] as const;
    });
    expect(await refused(Buffer.from(zipped(odd)))).toMatch(/game\.jsonl, line 1 is no JSON/u);
  });
});

test("a path that is no file, no whole path, or too large a file", async () => {
  const folder = temporaryFolder();
  expect(await readPacket("evaluation.crewpacket")).toMatchObject({
    ok: false,
    sentence: expect.stringMatching(/whole path/u),
  });
  expect(await readPacket(folder).catch((error: unknown) => error)).toMatchObject({
    ok: false,
    reason: "not-a-packet",
  });
  await expect(readPacket(join(folder, "none"))).rejects.toMatchObject({ code: "ENOENT" });
  const large = join(folder, "large");
  writeFileSync(large, "PK\u0003\u0004");
  truncateSync(large, packetLimits.fileBytes + 1);
  expect(await readPacket(large)).toMatchObject({ ok: false, reason: "too-large" });
  // A link is followed as any program does: what is at its end is read, and nothing is written.
  mkdirSync(join(folder, "there"));
  writeFileSync(join(folder, "there", "real"), sound);
  symlinkSync(join(folder, "there", "real"), join(folder, "link"));
  expect(await readPacket(join(folder, "link"))).toMatchObject({ ok: true });
});
