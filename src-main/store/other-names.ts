import { existsSync, lstatSync, readdirSync } from "node:fs";
import { dirname, join } from "node:path";

/**
 * Whether the newest edits of a library may lie in a log beside another name of the same file: SQLite finds a log by the name that a
 * file is opened under (https://sqlite.org/howtocorrupt.html, section 2.5), and a killed program leaves one beside the name it had
 * used. So it is where a hard link in the same folder has a log, and where one lies elsewhere and cannot be looked beside.
 */
export function mayHaveLogElsewhere(path: string): boolean {
  const { dev, ino, nlink } = lstatSync(path, { bigint: true });
  if (nlink <= 1n || existsSync(`${path}-wal`)) return false;
  const folder = dirname(path);
  const names = readdirSync(folder)
    .map((name) => join(folder, name))
    .filter((name) => {
      const facts = lstatSync(name, { bigint: true, throwIfNoEntry: false });
      return facts?.ino === ino && facts.dev === dev;
    });
  return BigInt(names.length) < nlink || names.some((name) => existsSync(`${name}-wal`));
}
