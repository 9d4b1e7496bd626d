/**
 * The failures a person can meet, each with a stable code. Only code, message and details cross the contract; the
 * message is a sentence that says what to do.
 */
export const errorCodes = [
  "NOT_FOUND",
  "INVALID",
  "STALE",
  "READ_ONLY",
  "DISK_FULL",
  "LIBRARY_FAILED",
  "FILE_MISSING",
  "FILE_UNREADABLE",
  "FILM_CODEC",
  "FILM_DIFFERS",
  "NOT_HERE",
] as const;
export type ErrorCode = (typeof errorCodes)[number];

export type FailureDetails = {
  /** A command the person can run to put it right, where there is one. */
  readonly command?: string | undefined;
  readonly codec?: string | undefined;
  readonly path?: string | undefined;
};

/** An expected failure, thrown inside the service and carried over the contract as {code, message, details}. */
export class Failure extends Error {
  readonly code: ErrorCode;
  readonly details: FailureDetails;
  constructor(code: ErrorCode, message: string, details: FailureDetails = {}) {
    super(message);
    this.name = "Failure";
    this.code = code;
    this.details = details;
  }
}
