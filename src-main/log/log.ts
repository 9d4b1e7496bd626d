import { appendFileSync, closeSync, fstatSync, mkdirSync, openSync, readSync, renameSync, statSync } from "node:fs";
import { dirname } from "node:path";
import { errorFacts } from "./error-facts.ts";

/** What a line may hold: numbers, and words of this program's own choosing. Never what a person typed, a name, or a path. */
export type Facts = { readonly [name: string]: number | boolean | string | null };

export type Log = {
  /** Writes that something happened. A fact that is no plain word is left out, so that a mistake writes nothing private. */
  readonly note: (event: string, facts?: Facts) => void;
  /** Writes an error that is our own bug, without what its message may quote. */
  readonly bug: (event: string, error: unknown, facts?: Facts) => void;
  /** The latest lines, the oldest first. */
  readonly tail: (lines: number) => string[];
  /** Where it lies; null when it is kept nowhere. */
  readonly path: string | null;
};

export type LogOptions = {
  readonly path: string;
  readonly clock: () => Date;
  /** Where bugs are also printed, as they are written; the error itself is for a developer's own terminal only. */
  readonly print?: (line: string, error: unknown) => void;
  /** A file of this size gets a `.1` at its end, the one before it a `.2`, and the third goes. */
  readonly mostBytes?: number;
};

const plain = /^[\w .:,/@()[\]<>'$#+-]{1,2000}$/u;

/** A log in a file, a line an event. Several programs may write to it. A line that cannot be written is not worth failing for. */
export function openLog({ path, clock, print, mostBytes = 512 * 1024 }: LogOptions): Log {
  const write = (event: string, facts: Facts): string => {
    const said = Object.entries(facts).flatMap(([name, value]) => {
      if (value === null) return [];
      if (typeof value === "string" && !plain.test(value)) return [`${name}=?`];
      return [`${name}=${typeof value === "string" && /\s/u.test(value) ? `"${value}"` : String(value)}`];
    });
    const line = [clock().toISOString(), String(process.pid), event, ...said].join(" ");
    try {
      mkdirSync(dirname(path), { recursive: true, mode: 0o700 });
      roll(path, mostBytes);
      appendFileSync(path, `${line}\n`, { mode: 0o600 });
    } catch {
      // The disk is full, or the folder cannot be written: the program goes on without.
    }
    return line;
  };
  return {
    path,
    note: (event, facts = {}) => void write(event, facts),
    bug: (event, error, facts = {}) => {
      const { name, code, message, frames } = errorFacts(error);
      const line = write(event, { ...facts, error: name, code, message, at: frames.join(", ") || null });
      print?.(line, error);
    },
    tail: (lines) => tailOf(path, lines),
  };
}

function roll(path: string, mostBytes: number): void {
  if ((statSync(path, { throwIfNoEntry: false })?.size ?? 0) < mostBytes) return;
  for (const [from, to] of [
    [`${path}.1`, `${path}.2`],
    [path, `${path}.1`],
  ] as const) {
    if (statSync(from, { throwIfNoEntry: false }) !== undefined) renameSync(from, to);
  }
}

const tailBytes = 64 * 1024;

function tailOf(path: string, lines: number): string[] {
  try {
    const file = openSync(path, "r");
    try {
      const { size } = fstatSync(file);
      const bytes = Buffer.alloc(Math.min(size, tailBytes));
      readSync(file, bytes, 0, bytes.length, size - bytes.length);
      const whole = bytes
        .toString("utf8")
        .split("\n")
        .filter((line) => line !== "");
      // The first may be cut off.
      return (size > tailBytes ? whole.slice(1) : whole).slice(-lines);
    } finally {
      closeSync(file);
    }
  } catch {
    return [];
  }
}
