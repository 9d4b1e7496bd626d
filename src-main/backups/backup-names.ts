import { basename, dirname, extname, join } from "node:path";

/** A backup by its file. `number` counts the backups of a library from 1; the clock may jump, the number does not. */
export type NamedBackup = { readonly name: string; readonly number: number; readonly madeAt: Date };

const pattern = / backup (\d{4,9}) (\d{4}-\d\d-\d\d) (\d\d)\.(\d\d)\.(\d\d)Z(\.[^.]+)?$/u;

/** The folder of a library's backups: beside it, so that it is found, moved and put away with it. */
export function backupFolderOf(libraryPath: string): string {
  return join(dirname(libraryPath), `${stemOf(libraryPath)} backups`);
}

/** As "library backup 0042 2026-11-26 06.27.33Z.crewglass"; the time is that of Greenwich, whatever the season. */
export function backupName(libraryPath: string, number: number, at: Date): string {
  return `${stemOf(libraryPath)} backup ${String(number).padStart(4, "0")} ${fileTime(at)}${extname(libraryPath)}`;
}

/** Null for a file that is no backup of this library. */
export function readBackupName(libraryPath: string, name: string): NamedBackup | null {
  const stem = stemOf(libraryPath);
  const found = name.startsWith(`${stem} backup `) ? pattern.exec(name.slice(stem.length)) : null;
  if (found === null || (found[6] ?? "") !== extname(libraryPath)) return null;
  const madeAt = new Date(`${found[2]}T${found[3]}:${found[4]}:${found[5]}Z`);
  return Number.isNaN(madeAt.getTime()) ? null : { name, number: Number(found[1]), madeAt };
}

/** A sibling of a library that says what became of it, as "library (damaged 2026-11-26 06.27.33Z).crewglass". */
export function keptName(libraryPath: string, word: "damaged" | "replaced", at: Date): string {
  return join(dirname(libraryPath), `${stemOf(libraryPath)} (${word} ${fileTime(at)})${extname(libraryPath)}`);
}

function stemOf(path: string): string {
  return basename(path, extname(path));
}

/** A time as file names of every system may hold it. */
function fileTime(at: Date): string {
  return at.toISOString().slice(0, 19).replace("T", " ").replaceAll(":", ".").concat("Z");
}
