import { readdirSync, rmSync, statSync } from "node:fs";
import { appendFile, mkdir, open, rename } from "node:fs/promises";
import { isAbsolute, join, resolve } from "node:path";
import { Failure } from "#core/contract/errors";
import type { ReportAsset, ReportDocument } from "#core/report/document";
import { fileName } from "#core/report/file-name";
import { writingFile } from "../service/file-failure.ts";

const unfinished = ".crewglass-unfinished-";
/** A folder left behind by a program that was killed is taken for one after this. */
const leftBehindMs = 3_600_000;
const mostNumbered = 1000;
/** No person has more begun at a time: beyond it, the one that was longest left alone is given up. */
const mostUnderWay = 16;
/** Pictures kept in memory for all exports under way: a clinic's page of fifty plays takes some 150 MB. */
const mostKeptBytes = 512 * 1024 * 1024;

export type Written = { readonly folder: string; readonly files: readonly string[] };

/** Writes a report in its two forms: bytes for a file each. */
export type ReportWriters = {
  readonly html: (document: ReportDocument, assets: ReadonlyMap<string, ReportAsset>) => string;
  readonly pdf: (
    document: ReportDocument,
    assets: ReadonlyMap<string, ReportAsset>,
    signal: AbortSignal | undefined,
  ) => Promise<Uint8Array>;
};

type Export = {
  readonly part: string;
  readonly folder: string;
  readonly name: string;
  readonly files: Set<string>;
  readonly assets: Map<string, ReportAsset>;
};

/** The unfinished folders of this program, which go with it. */
const parts = new Set<string>();
process.once("exit", () => {
  for (const part of parts) rmSync(part, { recursive: true, force: true });
});

export type ExportDesk = ReturnType<typeof createExportDesk>;

/**
 * Exports of files: each is a new folder, which has its name only when everything in it is whole and on disk. Until then it lies
 * beside it under a hidden name, and goes when it is cancelled or the program ends.
 */
export function createExportDesk(options: {
  readonly newId: () => string;
  readonly clock: () => Date;
  readonly writers: () => Promise<ReportWriters>;
}) {
  const underWay = new Map<string, Export>();
  const done = new Map<string, Written>();
  const drop = (exportId: string): boolean => {
    const one = underWay.get(exportId);
    if (!one) return false;
    underWay.delete(exportId);
    parts.delete(one.part);
    rmSync(one.part, { recursive: true, force: true });
    return true;
  };
  const exportOf = (exportId: string): Export => {
    const one = underWay.get(exportId);
    if (!one) throw new Failure("NOT_FOUND", "This export is no longer under way: begin it again.");
    underWay.delete(exportId);
    underWay.set(exportId, one);
    return one;
  };
  const pathIn = (one: Export, file: string, isNew: boolean): string => {
    if (fileName(file) !== file) throw new Failure("INVALID", `“${file}” cannot be the name of a file.`);
    if (isNew && one.files.has(file.toLowerCase()))
      throw new Failure("INVALID", `Two files of an export cannot both be “${file}”.`);
    one.files.add(file.toLowerCase());
    return join(one.part, file);
  };
  const whole = async (path: string, bytes: Uint8Array | string): Promise<void> => {
    const file = await open(path, "w");
    try {
      await file.writeFile(bytes);
      await file.sync();
    } finally {
      await file.close();
    }
  };

  return {
    /** Begins an export into a folder, which is made where it is not there. */
    begin: async (folder: string, name: string): Promise<{ exportId: string }> => {
      if (!isAbsolute(folder))
        throw new Failure("INVALID", "Give the folder's whole path, from the root or the drive.", { path: folder });
      const into = resolve(folder);
      const [longestLeft] = underWay.keys();
      if (underWay.size >= mostUnderWay && longestLeft !== undefined) drop(longestLeft);
      const exportId = options.newId();
      const part = join(into, `${unfinished}${exportId}`);
      await writingFile(into, async () => {
        await mkdir(into, { recursive: true });
        sweep(into, parts, options.clock().getTime());
        parts.add(part);
        await mkdir(part);
      });
      underWay.set(exportId, { part, folder: into, name: fileName(name), files: new Set(), assets: new Map() });
      return { exportId };
    },
    /** Writes a piece of a file: the first makes it, each other goes to its end. */
    append: async (exportId: string, file: string, bytes: Uint8Array, isFirst: boolean): Promise<void> => {
      const one = exportOf(exportId);
      const path = pathIn(one, file, isFirst);
      await writingFile(path, () => (isFirst ? whole(path, bytes) : appendFile(path, bytes, { flush: true })));
    },
    /** Keeps a still or moving picture until the export ends, or it is forgotten. */
    keep: (exportId: string, key: string, asset: ReportAsset): void => {
      const { assets } = exportOf(exportId);
      const kept = [...underWay.values()].flatMap((one) => [...one.assets.values()]);
      const sumBytes = kept.reduce((sum, { bytes }) => sum + bytes.length, asset.bytes.length);
      if (sumBytes > mostKeptBytes)
        throw new Failure("INVALID", "These are more pictures than a page can hold: write it in parts.");
      const before = assets.get(key);
      assets.set(key, before ? { ...before, bytes: Buffer.concat([before.bytes, asset.bytes]) } : asset);
    },
    forget: (exportId: string): void => exportOf(exportId).assets.clear(),
    /** Writes a report as `file` with the ending of each form. */
    report: async (
      exportId: string,
      file: string,
      document: ReportDocument,
      forms: readonly ("html" | "pdf")[],
      signal?: AbortSignal,
    ): Promise<void> => {
      const one = exportOf(exportId);
      const write = await options.writers();
      for (const form of forms) {
        const path = pathIn(one, `${file}.${form}`, true);
        const bytes =
          form === "html" ? write.html(document, one.assets) : await write.pdf(document, one.assets, signal);
        signal?.throwIfAborted();
        await writingFile(path, () => whole(path, bytes));
      }
    },
    /** Gives the folder its name, with a number after it where that is taken. */
    finish: async (exportId: string): Promise<Written> => {
      const one = exportOf(exportId);
      for (let number = 1; number <= mostNumbered; number++) {
        const to = join(one.folder, number === 1 ? one.name : `${one.name} (${number})`);
        if (statSync(to, { throwIfNoEntry: false })) continue;
        const files = readdirSync(one.part).toSorted();
        await writingFile(to, () => rename(one.part, to));
        underWay.delete(exportId);
        parts.delete(one.part);
        const written = { folder: to, files };
        done.set(exportId, written);
        return written;
      }
      throw new Failure("INVALID", `There are ${mostNumbered} folders “${one.name}” already: choose another folder.`);
    },
    /** False when it was not under way. */
    cancel: drop,
    /** Where a finished export of this run of the program lies; NOT_FOUND otherwise. */
    written: (exportId: string): Written => {
      const written = done.get(exportId);
      if (!written) throw new Failure("NOT_FOUND", "This export is not of this run of the program.");
      return written;
    },
  };
}

/** Removes what a program that was killed left in a folder. */
function sweep(folder: string, inUse: ReadonlySet<string>, nowMs: number): void {
  for (const name of readdirSync(folder).filter((one) => one.startsWith(unfinished))) {
    const path = join(folder, name);
    const facts = statSync(path, { throwIfNoEntry: false });
    if (!inUse.has(path) && facts?.isDirectory() && nowMs - facts.mtimeMs > leftBehindMs)
      rmSync(path, { recursive: true, force: true });
  }
}
