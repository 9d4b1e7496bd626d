/**
 * Ten thousand changed packets: whatever was done to a file, it is refused with a sentence and the library is as it was, or it is
 * taken in whole and the library is sound.
 */
import { unzipSync } from "fflate";
import { expect, test } from "vitest";
import { Failure } from "#core/contract/errors";
import { canonicalText } from "#core/exchange/canonical";
import type { Packet } from "#core/exchange/packet";
import { Versions } from "#core/exchange/said-versions";
import { seededRandom } from "#core/field/random";
import { packetBytes, zipped } from "../../../src-main/exchange/packet-file.ts";
import { readPacketBytes } from "../../../src-main/exchange/read-packet.ts";
import type { Library } from "../../../src-main/store/library.ts";
import { aPacket } from "../../core/exchange/build-packet.ts";
import { aSeal, aWholeGame } from "../store/build-game.ts";
import { openTemporary } from "../store/temporary-library.ts";
import { aroundOf, dump, recordsOf } from "./a-packet.ts";
import { repacked } from "./repack.ts";

const game = { ...aWholeGame(), seals: [aSeal("game-1")] };
const sound = Buffer.from(packetBytes(aPacket(game)));
const names = Object.keys(unzipSync(sound));

type Random = (most: number) => number;

/** Bytes changed, cut off, spliced or renamed in the file as it lies. */
function rough(random: Random): Buffer {
  const copy = Buffer.from(sound);
  const at = random(copy.length);
  switch (random(6)) {
    case 0:
      for (let times = 1 + random(4); times > 0; times--) copy[random(copy.length)]! ^= 1 << random(8);
      return copy;
    case 1:
      return copy.subarray(0, at);
    case 2:
      return Buffer.concat([copy.subarray(0, at), copy.subarray(Math.min(copy.length, at + 1 + random(200)))]);
    case 3: {
      const from = random(copy.length);
      return Buffer.concat([copy.subarray(0, at), copy.subarray(from, from + random(400)), copy.subarray(at)]);
    }
    case 4: {
      const [one, other] = [names[random(names.length)]!, names[random(names.length)]!];
      const text = copy.toString("latin1");
      return Buffer.from(text.replaceAll(one, other.padEnd(one.length, "x").slice(0, one.length)), "latin1");
    }
    default:
      copy.writeUInt32LE(random(2) === 0 ? 0xffff_ffff : random(0x7fff_ffff), Math.min(at, copy.length - 4));
      return copy;
  }
}

/** Entries of a sound archive left out, put twice, swapped, renamed. */
function spliced(random: Random): Buffer {
  const entries = Object.entries(unzipSync(sound));
  const one = random(entries.length);
  const other = random(entries.length);
  switch (random(4)) {
    case 0:
      entries.splice(one, 1);
      break;
    case 1:
      [entries[one]![1], entries[other]![1]] = [entries[other]![1], entries[one]![1]];
      break;
    case 2:
      entries[one]![0] = ["../x", "notes.jsonl", "a/b", "grades.jsonl ", `${entries[one]![0]}.bak`][random(5)]!;
      break;
    default:
      entries[one]![1] = Buffer.concat([entries[one]![1], entries[other]![1]]);
  }
  return Buffer.from(zipped(entries));
}

/** A line of JSON changed, with a manifest that agrees. */
function rewritten(random: Random): Buffer {
  return repacked(
    sound,
    (parts) => {
      // A record under the id of another game's here.
      if (random(25) === 0) {
        const marks = parts.get("marks.jsonl")!;
        parts.set("marks.jsonl", marks.replaceAll("game-1-mark-1", "game-2-mark-1"));
        return;
      }
      const filled = [...parts].filter(([, text]) => text !== "");
      const [name, text] = filled[random(filled.length)]!;
      const lines = text.slice(0, -1).split("\n");
      const line = random(lines.length);
      const kind = random(8);
      if (kind === 0) lines.splice(line, 1);
      else if (kind === 1) lines.push(lines[line]!);
      else {
        const record = JSON.parse(lines[line]!) as Record<string, unknown>;
        changeOne(record, random);
        lines[line] = JSON.stringify(record);
      }
      parts.set(name, lines.length === 0 ? "" : `${lines.join("\n")}\n`);
    },
    (manifest) => {
      if (random(10) === 0) changeOne(manifest, random);
    },
  );
}

const oddities = [
  null,
  0,
  -1,
  3,
  2.5,
  1e308,
  "",
  "x",
  "game-1",
  "game-1-play",
  "observer-2",
  "2026-09-21T00:00:00.000Z",
  true,
  [],
  {},
];

function changeOne(record: Record<string, unknown>, random: Random): void {
  const keys = Object.keys(record);
  const key = keys[random(keys.length)] ?? "x";
  const value = record[key];
  const kind = random(8);
  if (typeof value === "object" && value !== null && !Array.isArray(value) && kind < 6) {
    changeOne(value as Record<string, unknown>, random);
  } else if (kind === 0) delete record[key];
  else if (kind === 1) record[["extra", "path", "constructor", "gameId2"][random(4)]!] = 1;
  else if (kind === 2 && typeof value === "number") record[key] = value + 1;
  else if (kind === 3 && typeof value === "string") record[key] = `${value}x`;
  else record[key] = oddities[random(oddities.length)];
}

function assertSound(library: Library, gameId: string): void {
  const records = recordsOf(library, gameId);
  const all = Versions.of(library.saidVersions(gameId));
  const standing = [...all.bySubject.keys()].flatMap((key) => {
    const version = all.standing(key);
    return version?.record ? [canonicalText(version.record)] : [];
  });
  expect([...records.grades, ...records.rulings].map(canonicalText).toSorted()).toEqual(standing.toSorted());
}

/** Everything that a packet holds is here: what was said among the versions, the rest as a record or as what could be chosen. */
function assertWhole(library: Library, packet: Packet): void {
  const { id } = packet.game;
  const said = new Set(library.saidVersions(id).map(({ record }) => canonicalText(record)));
  for (const record of [...packet.grades, ...packet.rulings]) expect(said.has(canonicalText(record))).toBe(true);
  const records = recordsOf(library, id);
  const texts = library.packets.conflicts().flatMap(({ sides }) => sides.map(({ record }) => record));
  const here = new Set([...records.plays, ...records.moments, ...records.stakes, ...records.marks].map(canonicalText));
  for (const record of [...packet.plays, ...packet.moments, ...packet.stakes, ...packet.marks])
    expect(here.has(canonicalText(record)) || texts.includes(canonicalText(record))).toBe(true);
}

test(
  "ten thousand changed packets are refused with nothing changed, or taken in whole",
  { timeout: 120_000 },
  async () => {
    const start = performance.now();
    const library = await openTemporary();
    /** A game of the library's own that the packet knows as well, so that there is something to spoil, and one it does not know. */
    const begin = () => {
      for (const { id } of library.listGames()) library.removeGame(id);
      library.addGame({ ...aWholeGame(), rulings: [] });
      library.addGame(aWholeGame("game-2"));
      return dump(library);
    };
    let now = begin();
    const random: Random = seededRandom(20261126).below;
    const seen = { damaged: 0, "not-a-packet": 0, newer: 0, "too-large": 0, clashing: 0, taken: 0, same: 0 };
    const faults = new Set<string>();
    let refusedSince = 0;
    for (let number = 0; number < 10_000; number++) {
      const kind = number % 10;
      const bytes = kind < 7 ? rough(random) : kind < 8 ? spliced(random) : rewritten(random);
      const read = await readPacketBytes(bytes);
      if (!read.ok) {
        seen[read.reason]++;
        expect(read.sentence).toMatch(/: .+\.$|right one\.$/u);
        faults.add(read.sentence.replaceAll(/\d+/gu, "0").slice(0, 80));
        refusedSince++;
      } else {
        const gameId = read.packet.game.id;
        // The file was changed where nothing of it lies.
        if (canonicalText(read.packet) === canonicalText(aPacket(game))) seen.same++;
        try {
          library.packets.take(read.packet, read.packetId, aroundOf(library));
          seen.taken++;
          assertSound(library, gameId);
          assertWhole(library, read.packet);
          now = dump(library);
          expect(library.packets.take(read.packet, read.packetId, aroundOf(library)).edited).toBe(null);
          expect(dump(library)).toBe(now);
          if (seen.taken % 20 === 0) now = begin();
        } catch (error) {
          if (!(error instanceof Failure)) throw error;
          seen.clashing++;
          expect(dump(library), error.message).toBe(now);
        }
      }
      if (refusedSince >= 200) {
        refusedSince = 0;
        expect(dump(library)).toBe(now);
      }
    }
    expect(dump(library)).toBe(now);
    const seconds = (performance.now() - start) / 1000;
    console.log(`10,000 changed packets in ${seconds.toFixed(1)} s: ${JSON.stringify(seen)}, ${faults.size} faults`);
    // Each kind was met, and not by one fault alone.
    expect(seen.damaged).toBeGreaterThan(7000);
    expect(seen.taken).toBeGreaterThan(200);
    expect(seen.clashing).toBeGreaterThan(50);
    expect(faults.size).toBeGreaterThan(60);
  },
);
