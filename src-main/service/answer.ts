import { ORPCError, ValidationError } from "@orpc/server";
import { Failure } from "#core/contract/errors";
import type { Log } from "../log/log.ts";

/**
 * What crosses the contract for something thrown inside the service. An expected failure keeps its code, sentence and
 * details; a request that does not fit its shape is INVALID and names the field; anything else is our bug, logged whole
 * and answered with nothing of its inside.
 */
export function answerOf(error: unknown, path: readonly string[], log: Log): ORPCError<string, unknown> {
  const operation = path.join(".");
  if (error instanceof Failure) log.note("refused", { operation, code: error.code });
  if (error instanceof Failure) return new ORPCError(error.code, { message: error.message, data: error.details });
  if (error instanceof ORPCError && error.code === "BAD_REQUEST" && error.cause instanceof ValidationError) {
    return new ORPCError("INVALID", { message: requestFault(operation, error.cause), data: {} });
  }
  log.bug("failed", error, { operation });
  return new ORPCError("INTERNAL", {
    status: 500,
    message:
      "Something went wrong inside Crewglass: look at the game before you go on. The program's log says what it was.",
  });
}

function requestFault(operation: string, error: ValidationError): string {
  const issue = error.issues[0];
  const at = issue?.path?.map((part) => String(typeof part === "object" ? part.key : part)).join(".");
  return `${operation} was asked for something that does not fit: ${at === undefined || at === "" ? "request" : at}: ${issue?.message ?? "not as it should be"}.`;
}
