import type { CarriedTrack, CarryMessage, CarryPlayRequest } from "./carry-messages.ts";

export type CarryPlayResult =
  | { readonly ok: true; readonly tracks: readonly CarriedTrack[] }
  | { readonly ok: false; readonly reason: "too-long" | "failed" | "cancelled"; readonly message: string };

/** Longest play that is carried at once: what it holds in memory, a quarter of a megabyte a frame, has to end somewhere. */
export const mostCarriedFrames = 1200;

/** Carries surveys through a play in a worker of its own. The signal ends it at once, and nothing is left running. */
export function carryPlay(
  request: CarryPlayRequest,
  options: { readonly signal: AbortSignal; readonly onProgress: (done: number, total: number) => void },
): Promise<CarryPlayResult> {
  const { signal, onProgress } = options;
  const count = request.lastIndex - request.firstIndex + 1;
  if (count > mostCarriedFrames) {
    return Promise.resolve({
      ok: false,
      reason: "too-long",
      message:
        `A survey is carried through ${mostCarriedFrames} frames at the most; this play has ${count}. Set where the ` +
        "play starts and ends, on the Play page.",
    });
  }
  return new Promise((resolve) => {
    const worker = new Worker(new URL("./carry-worker.ts", import.meta.url), { type: "module", name: "carry" });
    const end = (result: CarryPlayResult): void => {
      signal.removeEventListener("abort", cancel);
      worker.terminate();
      resolve(result);
    };
    const fail = (message: string): void => end({ ok: false, reason: "failed", message });
    const cancel = (): void => end({ ok: false, reason: "cancelled", message: "Cancelled." });
    signal.addEventListener("abort", cancel);
    if (signal.aborted) return cancel();
    worker.addEventListener("error", (event) => fail(`The survey could not be carried. (${event.message})`));
    worker.addEventListener("message", (event: MessageEvent<CarryMessage>) => {
      const message = event.data;
      if (message.kind === "progress") onProgress(message.done, message.total);
      else if (message.kind === "done") end({ ok: true, tracks: message.tracks });
      else fail(message.message);
    });
    worker.postMessage(request);
  });
}
