import { Failure } from "#core/contract/errors";

/** The failure behind an error of the file system; null when the error is something else. */
export function fileFailure(error: unknown, path: string): Failure | null {
  if (!(error instanceof Error) || !("code" in error) || !("syscall" in error)) return null;
  const code = String(error.code);
  switch (code) {
    case "ENOENT":
    case "ENOTDIR":
      return new Failure(
        "FILE_MISSING",
        `There is nothing at ${path}: look whether it was moved or its disk is disconnected.`,
        { path },
      );
    case "EACCES":
    case "EPERM":
      return new Failure(
        "FILE_UNREADABLE",
        `${path} may not be read by you: change its permissions or choose another.`,
        { path },
      );
    default:
      return new Failure("FILE_UNREADABLE", `${path} could not be read (${code}): look at its disk and try again.`, {
        path,
      });
  }
}

/** Runs something that reads a file or folder, and turns what the file system throws into a failure with a sentence. */
export async function readingFile<T>(path: string, run: () => Promise<T>): Promise<T> {
  try {
    return await run();
  } catch (error) {
    throw fileFailure(error, path) ?? error;
  }
}
