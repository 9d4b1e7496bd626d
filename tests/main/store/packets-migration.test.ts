/** Schema 70: versions whole, from a library that kept them in words only. */
import { join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import { expect, test } from "vitest";
import { Versions } from "#core/exchange/said-versions";
import { put } from "#core/game/changes";
import { migrations } from "../../../src-main/store/migrations/list.ts";
import { dump, packetOf, recordsOf, reread, take } from "../exchange/a-packet.ts";
import { mustOpen, openTemporary, temporaryFolder } from "./temporary-library.ts";

function schema60(path: string): void {
  const db = new BetterSqlite3(path);
  for (const migration of migrations.filter(({ number }) => number <= 60)) migration.up(db);
  db.pragma(`application_id = ${0x43_72_67_6c}`);
  db.pragma("user_version = 60");
  const situation = `{"offence":"home","direction":"right","down":1,"scrimmageXYards":30,"lineToGainXYards":50,"ballYYards":20}`;
  const choices = `{"hashSet":null,"numbers":null,"goalWidth":null,"custom":null}`;
  db.exec(`
    INSERT INTO game (id, title, played_on, level, home_name, away_name, players_per_side, template_id, field_choices_json, book_id, line_judge_side, crew_json)
      VALUES ('g', 'Herons v Lanterns', NULL, '', 'Herons', 'Lanterns', 7, 'flag-100x40', '${choices}', 'flag-crew-of-four', 'far', '[{"position":"R","name":"Tamsin Orrelby"}]');
    INSERT INTO film (id, game_id, order_number, label, path, size_bytes, fingerprint, width_px, height_px, duration_sec, codec)
      VALUES ('f', 'g', 1, 'Film', '/f.mp4', 1, '${"0".repeat(64)}', 1280, 720, 60, 'H.264');
    INSERT INTO play (id, game_id, film_id, number, start_sec, end_sec, situation_json) VALUES ('p', 'g', 'f', 1, 0, 9, '${situation}');
    INSERT INTO grade VALUES ('r', 'g', 'p', 'LJ', 'station', 'five-points', 4, 4, '', '', '["m"]', 'observer-1', '2026-09-20T18:00:00.000Z');
    UPDATE grade SET points = 3, suggested = 0.30000000000000004, reason = 'seen again', graded_at = '2026-09-20T19:00:00.000Z';
    INSERT INTO grade VALUES ('gone', 'g', NULL, 'R', 'look', 'five-points', NULL, NULL, '', '', '[]', 'observer-1', '2026-09-20T18:30:00.000Z');
    DELETE FROM grade WHERE id = 'gone';
    INSERT INTO ruling VALUES ('c', 'g', 'p', 'flag', 'marginal', 'Flag guarding', 'LJ', '["LJ","R"]', NULL, 41.123456789012345, 'close', 'observer-1', '2026-09-20T18:05:00.000Z');
  `);
  db.close();
}

test("versions of schema 60 keep their order and words, those that stand are whole, and the library can send and take packets", async () => {
  const path = join(temporaryFolder(), "library.crewglass");
  schema60(path);
  const library = await mustOpen(path);
  expect(library.schemaVersion).toBe(70);
  expect(library.versions("g")).toMatchObject([
    { recordId: "r", act: "given", said: "4.0", reason: "" },
    { recordId: "r", act: "changed", said: "3.0", reason: "seen again", at: "2026-09-20T19:00:00.000Z" },
    { recordId: "gone", act: "given", said: "cannot judge" },
    { recordId: "gone", act: "taken back" },
    { recordId: "c", act: "given", said: "marginal flag: Flag guarding", reason: "close" },
  ]);
  const whole = library.saidVersions("g");
  const { grades, rulings } = recordsOf(library, "g");
  expect(whole.map(({ record }) => record)).toEqual([null, grades[0], null, null, rulings[0]]);
  expect(whole.map(({ subject }) => subject)).toEqual([
    "p/LJ/station/observer-1",
    "p/LJ/station/observer-1",
    "gone",
    "gone",
    "c",
  ]);
  expect(whole[1]!.after).toEqual([whole[0]!.id]);
  const standing = Versions.of(whole).standing("grade/p/LJ/station/observer-1");
  expect(standing?.record).toEqual(grades[0]);

  const packet = await reread(packetOf(library, "g"));
  const receiver = await openTemporary();
  take(receiver, packet);
  expect(recordsOf(receiver, "g")).toMatchObject({ grades, rulings });
  // What is said from here on follows, whole.
  library.commit("g", "Grade", [put("grade", grades[0]!, { ...grades[0]!, points: 2 })]);
  take(receiver, await reread(packetOf(library, "g")));
  expect(recordsOf(receiver, "g").grades).toMatchObject([{ points: 2, suggested: 0.30000000000000004 }]);
  expect(receiver.packets.conflicts()).toEqual([]);
});

test("two copies of one library of schema 60, upgraded apart, know each other's versions as the same", async () => {
  const folder = temporaryFolder();
  const paths = ["one", "two"].map((name) => join(folder, `${name}.crewglass`));
  for (const path of paths) schema60(path);
  const [one, two] = [await mustOpen(paths[0]!), await mustOpen(paths[1]!)];
  const ids = (library: typeof one) => library.saidVersions("g").map(({ act, id }) => (act === "taken back" ? "" : id));
  expect(ids(two)).toEqual(ids(one));
  expect(new Set(ids(one)).size).toBe(5);
  // Each has a key of its own for who is known by name.
  expect(one.note("people-key")).toMatch(/^[0-9a-f]{64}$/u);
  expect(one.note("people-key")).not.toBe(two.note("people-key"));
  const grades = recordsOf(one, "g").grades;
  take(one, packetOf(two, "g"));
  expect(one.packets.conflicts()).toEqual([]);
  expect(recordsOf(one, "g").grades).toEqual(grades);
});

test("a removed game leaves nothing of its packets behind", async () => {
  const sender = await openTemporary();
  const path = join(temporaryFolder(), "library.crewglass");
  schema60(path);
  const library = await mustOpen(path);
  const empty = dump(sender);
  take(sender, packetOf(library, "g"));
  expect(sender.removeGame("g")).toBe(true);
  expect(dump(sender)).toBe(empty);
  sender.close();
  const db = new BetterSqlite3(sender.path);
  const rows = (table: string) => db.prepare(`SELECT count(*) AS rows FROM ${table}`).pluck().get();
  expect(["version", "conflict", "brought", "alternative"].map(rows)).toEqual([0, 0, 0, 0]);
  db.close();
});
