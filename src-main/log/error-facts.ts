/**
 * What may be written down of an error. Its message may quote anything a person typed, a name or a path, so it is kept only
 * where its form shows that it speaks of code alone.
 */
export type ErrorFacts = {
  readonly name: string;
  readonly code: string | null;
  readonly message: string | null;
  /** Where it was thrown: functions with files of the program, without the folder that the program lies in. */
  readonly frames: readonly string[];
};

/** Messages of the language, of SQLite about its schema, and of the file system's calls: identifiers, and no values. */
const ofCodeAlone: readonly RegExp[] = [
  /^Cannot (?:read|set) properties of (?:undefined|null) \((?:reading|setting) '[\w$#-]+'\)$/u,
  /^[\w$.#()]+ is not (?:a function|defined|iterable|a constructor)$/u,
  /^Cannot access '[\w$]+' before initialization$/u,
  /^Maximum call stack size exceeded$/u,
  /^Invalid (?:array|string|typed array) length$/u,
  /^no such (?:table|column): [\w.]+$/u,
  /^(?:UNIQUE|NOT NULL|CHECK|FOREIGN KEY) constraint failed(?:: [\w., ]+)?$/u,
  /^The database connection is (?:not open|busy executing a query)$/u,
  /^(?:database disk image is malformed|database is locked|disk I\/O error|database or disk is full|attempt to write a readonly database)$/u,
];
const word = /^[\w.:-]{1,64}$/u;
const mostFrames = 12;

export function errorFacts(error: unknown): ErrorFacts {
  if (!(error instanceof Error)) return { name: `thrown ${typeof error}`, code: null, message: null, frames: [] };
  const { code } = error as { readonly code?: unknown };
  return {
    name: word.test(error.name) ? error.name : "Error",
    code: typeof code === "string" && word.test(code) ? code : null,
    message: ofCodeAlone.some((form) => form.test(error.message)) ? error.message : null,
    frames: framesOf(error),
  };
}

/** `stack` begins with the message, which is cut off by its length: it may hold lines that look like frames. */
function framesOf(error: Error): string[] {
  const stack = error.stack ?? "";
  const messageAt = stack.indexOf(error.message);
  const frames = error.message === "" || messageAt < 0 ? stack : stack.slice(messageAt + error.message.length);
  return frames.split("\n").flatMap(frameOf).slice(0, mostFrames);
}

/** One line of a stack, without the folders before the program's own; none for a line that is no frame. */
export function frameOf(line: string): string[] {
  const found =
    /^\s*at (?:async )?(?:([\w$.<>[\] ]{1,80}) \()?(?:file:\/\/|app:\/\/|https?:\/\/)?([^()\s]{1,400}):(\d+):(\d+)\)?$/u.exec(
      line,
    );
  if (found === null) return [];
  const [, name, file = "", row, column] = found;
  const ours = /(?:^|[/\\])((?:src-main|src-core|src-renderer|out|assets|node_modules|tests)[/\\][\w./\\@-]+)$/u.exec(
    file,
  );
  const known = ours?.[1] ?? (/^node:[\w/]+$/u.test(file) ? file : null);
  // A function that is not of a file we know may be no function: the line may be part of a message.
  return known === null ? ["elsewhere"] : [`${name ?? "(nameless)"} ${known.replaceAll("\\", "/")}:${row}:${column}`];
}
