import { performance } from "node:perf_hooks";
import { implement } from "@orpc/server";
import { contract } from "#core/contract/contract";
import type { Log } from "../log/log.ts";
import { answerOf } from "./answer.ts";

const slowMs = 1000;

/** What the contract is implemented with: failures become answers, those of a stream too, and what took long is in the log. */
export function createImplementer(log: Log) {
  return implement(contract).use(async ({ next, path }) => {
    const begunMs = performance.now();
    const failed = (error: unknown): never => {
      // Given up by the window: nobody waits for an answer.
      if (error instanceof Error && error.name === "AbortError") throw error;
      throw answerOf(error, path, log);
    };
    try {
      const result = await next();
      return isStream(result.output) ? { ...result, output: answered(result.output, failed) } : result;
    } catch (error) {
      return failed(error);
    } finally {
      const tookMs = performance.now() - begunMs;
      if (tookMs > slowMs) log.note("slow", { operation: path.join("."), ms: Math.round(tookMs) });
    }
  });
}

export type Implementer = ReturnType<typeof createImplementer>;

type Stream = AsyncIteratorObject<unknown, unknown, void>;

function isStream(output: unknown): output is Stream {
  return typeof output === "object" && output !== null && "next" in output && Symbol.asyncIterator in output;
}

/** The same stream, with what it throws turned into an answer. Not a generator: one that is never read must still be ended. */
function answered(stream: Stream, failed: (error: unknown) => never): Stream {
  const same: Stream = {
    next: () => stream.next().catch(failed),
    return: async (value) => (await stream.return?.(value)) ?? { done: true, value: undefined },
    throw: async (error) => {
      await stream.return?.(undefined);
      throw error;
    },
    [Symbol.asyncIterator]: () => same,
    [Symbol.asyncDispose]: async () => void (await stream.return?.(undefined)),
  };
  return same;
}
