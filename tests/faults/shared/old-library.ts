/** A library as an older program left it: written by the released migrations up to a number, with a game and one edit in it. */
import BetterSqlite3 from "better-sqlite3";
import { applicationId } from "../../../src-main/store/upgrade.ts";
import { migrations } from "../../../src-main/store/migrations/list.ts";

export const oldSchemas = migrations.map(({ number }) => number).slice(0, -1);
export const newestSchema = migrations.at(-1)?.number ?? 0;
export const oldTitle = "Herons v Lanterns";
export const oldEdit = "Move a stake";

export function makeOldLibrary(path: string, schema: number): void {
  const db = new BetterSqlite3(path);
  const [first, ...later] = migrations.filter(({ number }) => number <= schema);
  first?.up(db);
  const click = { uPx: 300, vPx: 410.5 };
  const stake = { id: "s", gameId: "g", momentId: "m", landmarkId: "near-sideline/L20", click, sigmaPx: 1.5 };
  const situation = {
    offence: "home",
    direction: "right",
    down: 1,
    scrimmageXYards: 30,
    lineToGainXYards: 50,
    ballYYards: 20,
  };
  db.exec(`
    INSERT INTO game VALUES ('g', '${oldTitle}', NULL, '', 'Herons', 'Lanterns', 7, 'flag-100x40', 'flag-crew-of-four', 'far', '[]');
    INSERT INTO film VALUES ('f', 'g', 'Film', '/nowhere/film.mp4', 1, '${"0".repeat(64)}', 1280, 720, 60, 'H.264');
    INSERT INTO play VALUES ('p', 'g', 'f', 1, 0, 9, NULL, '${JSON.stringify(situation)}');
    INSERT INTO moment VALUES ('m', 'g', 'p', 'f', 'pre-snap', 90, 3);
    INSERT INTO stake VALUES ('s', 'g', 'm', 'near-sideline/L20', '${JSON.stringify(click)}', 1.5);
  `);
  const changes = [
    { family: "stake", id: "s", before: { ...stake, click: { uPx: 301.25, vPx: 410.5 } }, after: stake },
  ];
  db.prepare("INSERT INTO history VALUES ('g', 1, 'edit', ?, ?, NULL, '2026-09-19T18:30:00Z')").run(
    oldEdit,
    JSON.stringify(changes),
  );
  for (const migration of later) migration.up(db);
  db.pragma(`application_id = ${applicationId}`);
  db.pragma(`user_version = ${schema}`);
  db.close();
}
