import type { Followed } from "#core/carry/follow";
import type { FollowMessage, FollowPeopleRequest } from "./follow-messages.ts";

export type FollowPeopleResult =
  | { readonly ok: true; readonly followed: readonly Followed[] }
  | { readonly ok: false; readonly reason: "too-long" | "failed" | "cancelled"; readonly message: string };

/** Most frames between two moments: up to a megabyte is held for each. */
export const mostFollowedFrames = 240;

/** Follows people in a worker of its own. The signal ends it at once, and nothing is left running. */
export function followInFilm(
  request: FollowPeopleRequest,
  options: { readonly signal: AbortSignal; readonly onProgress: (done: number, total: number) => void },
): Promise<FollowPeopleResult> {
  const { signal, onProgress } = options;
  if (request.seeings.length > mostFollowedFrames) {
    const message = `People are followed through ${mostFollowedFrames} frames at the most; these moments lie ${request.seeings.length} apart.`;
    return Promise.resolve({ ok: false, reason: "too-long", message });
  }
  return new Promise((resolve) => {
    const worker = new Worker(new URL("./follow-worker.ts", import.meta.url), { type: "module", name: "follow" });
    const end = (result: FollowPeopleResult): void => {
      signal.removeEventListener("abort", cancel);
      worker.terminate();
      resolve(result);
    };
    const fail = (message: string): void => end({ ok: false, reason: "failed", message });
    const cancel = (): void => end({ ok: false, reason: "cancelled", message: "Cancelled." });
    signal.addEventListener("abort", cancel);
    if (signal.aborted) return cancel();
    worker.addEventListener("error", (event) => fail(`Nobody could be followed. (${event.message})`));
    worker.addEventListener("message", (event: MessageEvent<FollowMessage>) => {
      const message = event.data;
      if (message.kind === "progress") onProgress(message.done, message.total);
      else if (message.kind === "done") end({ ok: true, followed: message.followed });
      else fail(message.message);
    });
    worker.postMessage(request);
  });
}
