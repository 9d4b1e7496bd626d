import { Failure } from "#core/contract/errors";

/** The failure that a call throws; a call that succeeds, or throws anything else, fails the test. */
export function failureOf(run: () => unknown): Failure {
  try {
    run();
  } catch (error) {
    if (error instanceof Failure) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}
