import type { SeasonAnswer, SeasonMessage, SeasonQuestion } from "./season-messages.ts";

/** The totals of a season from a worker of its own; null where there is nothing to total. Rejects with the signal's reason. */
export function totalSeason(question: SeasonQuestion, signal: AbortSignal): Promise<SeasonAnswer | null> {
  const { promise, resolve, reject } = Promise.withResolvers<SeasonAnswer | null>();
  const worker = new Worker(new URL("./season-worker.ts", import.meta.url), { type: "module", name: "season" });
  const end = (): void => {
    signal.removeEventListener("abort", cancel);
    worker.terminate();
  };
  const cancel = (): void => {
    end();
    reject(signal.reason instanceof Error ? signal.reason : new DOMException("Cancelled.", "AbortError"));
  };
  signal.addEventListener("abort", cancel);
  worker.addEventListener("error", (event) => {
    end();
    reject(new Error(event.message));
  });
  worker.addEventListener("message", ({ data }: MessageEvent<SeasonMessage>) => {
    end();
    if (data.kind === "done") resolve(data.answer);
    else reject(new Error(data.message));
  });
  worker.postMessage(question);
  return promise;
}
