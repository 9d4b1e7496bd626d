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

/** The same for something that writes. */
export async function writingFile<T>(path: string, run: () => Promise<T>): Promise<T> {
  try {
    return await run();
  } catch (error) {
    throw writeFailure(error, path) ?? error;
  }
}

function writeFailure(error: unknown, path: string): Failure | null {
  if (!(error instanceof Error) || !("code" in error) || !("syscall" in error)) return null;
  const code = String(error.code);
  switch (code) {
    case "ENOSPC":
    case "EDQUOT":
      return new Failure("DISK_FULL", `The disk of ${path} is full: free some space, or choose another folder.`, {
        path,
      });
    case "EACCES":
    case "EPERM":
    case "EROFS":
      return new Failure("READ_ONLY", `${path} may not be written by you: choose another folder.`, { path });
    case "ENOTDIR":
    case "EEXIST":
      return new Failure("INVALID", `A file lies where the folder ${path} would be: choose another folder.`, { path });
    default:
      return new Failure("FILE_UNREADABLE", `${path} could not be written (${code}): look at its disk and try again.`, {
        path,
      });
  }
}
