import type { PlayProposal } from "#core/carry/play-proposals";
import type { ScanMessage, ScanRequest } from "./scan-messages.ts";

export type ScanState =
  | { readonly kind: "none" }
  /** Frames; `total` 0 while the film is being opened. */
  | { readonly kind: "running"; readonly done: number; readonly total: number; readonly paused: boolean }
  | { readonly kind: "done"; readonly proposals: readonly PlayProposal[]; readonly refused: readonly PlayProposal[] }
  | { readonly kind: "failed"; readonly message: string };

/** Films looked through for plays. What was found, and what a person refused of it, is kept until the window closes. */
export type FilmScans = {
  subscribe(listener: () => void): () => void;
  stateOf(film: ScannedFilm): ScanState;
  /** Begins; one that runs, or is done, stays as it is. */
  start(film: ScannedFilm): void;
  cancel(film: ScannedFilm): void;
  /** A film that plays needs the machine: nothing is looked through meanwhile. */
  pauseAll(paused: boolean): void;
  refuse(film: ScannedFilm, proposals: readonly PlayProposal[]): void;
};

/** By its content: the same file attached elsewhere is the same film. */
export type ScannedFilm = { readonly id: string; readonly fingerprint: string };

const none: ScanState = { kind: "none" };

export function createFilmScans(urlOf: (film: ScannedFilm) => string): FilmScans {
  const states = new Map<string, ScanState>();
  const workers = new Map<string, Worker>();
  const listeners = new Set<() => void>();
  let paused = false;
  const set = (film: ScannedFilm, state: ScanState): void => {
    states.set(film.fingerprint, state);
    for (const listener of listeners) listener();
  };
  const stateOf = (film: ScannedFilm): ScanState => states.get(film.fingerprint) ?? none;
  const end = (film: ScannedFilm, state: ScanState): void => {
    workers.get(film.fingerprint)?.terminate();
    workers.delete(film.fingerprint);
    set(film, state);
  };
  return {
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    stateOf,
    start(film) {
      const { kind } = stateOf(film);
      if (kind === "running" || kind === "done") return;
      const worker = new Worker(new URL("./scan-worker.ts", import.meta.url), { type: "module", name: "scan" });
      const ask = (request: ScanRequest): void => worker.postMessage(request);
      workers.set(film.fingerprint, worker);
      set(film, { kind: "running", done: 0, total: 0, paused });
      worker.addEventListener("error", (event) =>
        end(film, { kind: "failed", message: `The film could not be looked through. (${event.message})` }),
      );
      worker.addEventListener("message", ({ data }: MessageEvent<ScanMessage>) => {
        if (workers.get(film.fingerprint) !== worker) return;
        switch (data.kind) {
          case "progress":
            return set(film, { kind: "running", done: data.done, total: data.total, paused });
          case "done":
            return end(film, { kind: "done", proposals: data.proposals, refused: [] });
          case "failed":
            return end(film, { kind: "failed", message: data.message });
        }
      });
      ask({ kind: "open", url: urlOf(film) });
      if (paused) ask({ kind: "pause", paused });
    },
    cancel(film) {
      if (stateOf(film).kind === "running") end(film, none);
    },
    pauseAll(next) {
      if (next === paused) return;
      paused = next;
      for (const [fingerprint, worker] of workers) {
        worker.postMessage({ kind: "pause", paused } satisfies ScanRequest);
        const state = states.get(fingerprint);
        if (state?.kind === "running") states.set(fingerprint, { ...state, paused });
      }
      for (const listener of listeners) listener();
    },
    refuse(film, proposals) {
      const state = stateOf(film);
      if (state.kind === "done") set(film, { ...state, refused: [...state.refused, ...proposals] });
    },
  };
}

/** The window's own. */
export const filmScans = createFilmScans(({ id }) => new URL(`/film/${id}`, location.href).href);
