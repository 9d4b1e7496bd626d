import type { StillWanted } from "#core/report/document";
import type { StillMessage, StillRequest } from "./still-messages.ts";

export type MadeStill = { readonly key: string; readonly bytes: Uint8Array<ArrayBuffer> };

/** As wide as a page of paper shows it well. */
const usualWidthPx = 800;

/**
 * Stills from the films they are of, each handed over as it is made, film by film. What cannot be made (the film is gone, or is
 * another) is left out and counted. Rejects with the signal's reason as soon as it says so.
 */
export async function makeStills(
  stills: readonly StillWanted[],
  options: {
    readonly urlOf: (filmId: string) => string;
    readonly signal: AbortSignal;
    readonly onStill: (still: MadeStill) => void;
    readonly mostWidthPx?: number;
  },
): Promise<{ readonly missing: number }> {
  const { urlOf, signal, onStill, mostWidthPx = usualWidthPx } = options;
  let made = 0;
  for (const filmId of new Set(stills.map((still) => still.filmId))) {
    const ofFilm = stills.filter((still) => still.filmId === filmId);
    await ofOneFilm({ url: urlOf(filmId), stills: ofFilm, mostWidthPx }, signal, (still) => {
      made++;
      onStill(still);
    });
  }
  return { missing: stills.length - made };
}

function ofOneFilm(request: StillRequest, signal: AbortSignal, onStill: (still: MadeStill) => void): Promise<void> {
  signal.throwIfAborted();
  const { promise, resolve, reject } = Promise.withResolvers<void>();
  const worker = new Worker(new URL("./still-worker.ts", import.meta.url), { type: "module", name: "stills" });
  const end = (): void => {
    signal.removeEventListener("abort", cancel);
    worker.terminate();
  };
  const cancel = (): void => {
    end();
    reject(signal.reason instanceof Error ? signal.reason : new DOMException("Cancelled.", "AbortError"));
  };
  signal.addEventListener("abort", cancel);
  // A film that cannot be read leaves its stills blank, and the page says so of each.
  worker.addEventListener("error", () => {
    end();
    resolve();
  });
  worker.addEventListener("message", ({ data }: MessageEvent<StillMessage>) => {
    if (signal.aborted) return;
    if (data.kind === "made") return onStill(data);
    if (data.kind === "missing") return;
    end();
    resolve();
  });
  worker.postMessage(request);
  return promise;
}
