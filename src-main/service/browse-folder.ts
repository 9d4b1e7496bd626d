import { readdir, stat } from "node:fs/promises";
import { dirname, isAbsolute, join, resolve } from "node:path";
import { Failure } from "#core/contract/errors";
import { readingFile } from "./file-failure.ts";

export type FolderEntry = {
  readonly name: string;
  readonly path: string;
  readonly kind: "folder" | "film" | "packet";
  readonly sizeBytes: number | null;
};
export type FolderListing = {
  readonly folder: string;
  readonly parent: string | null;
  readonly entries: FolderEntry[];
};

/**
 * The folders of a folder and its files of a kind, folders first, by name; hidden ones left out. Throws INVALID (not an absolute
 * path), FILE_MISSING, FILE_UNREADABLE.
 */
export async function browseFolder(
  folder: string,
  kind: "film" | "packet",
  isOfKind: (name: string) => boolean,
): Promise<FolderListing> {
  if (!isAbsolute(folder))
    throw new Failure("INVALID", "Give the folder's whole path, from the root or the drive.", { path: folder });
  const here = resolve(folder);
  const found = await readingFile(here, () => readdir(here, { withFileTypes: true }));
  const entries: FolderEntry[] = [];
  for (const { name } of found.filter((entry) => !entry.name.startsWith("."))) {
    const path = join(here, name);
    // A link counts as what it leads to; one that leads nowhere is left out.
    const facts = await stat(path).catch(() => null);
    if (facts?.isDirectory()) entries.push({ name, path, kind: "folder", sizeBytes: null });
    else if (facts?.isFile() && isOfKind(name)) entries.push({ name, path, kind, sizeBytes: facts.size });
  }
  const order = new Intl.Collator("en", { numeric: true, sensitivity: "base" });
  entries.sort((a, b) => (a.kind === b.kind ? order.compare(a.name, b.name) : a.kind === "folder" ? -1 : 1));
  const parent = dirname(here);
  return { folder: here, parent: parent === here ? null : parent, entries };
}
