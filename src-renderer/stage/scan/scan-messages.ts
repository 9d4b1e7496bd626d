import type { PlayProposal } from "#core/carry/play-proposals";

/** What the window asks of the worker that looks a film through. */
export type ScanRequest =
  /** Absolute address of the film. */
  { readonly kind: "open"; readonly url: string } | { readonly kind: "pause"; readonly paused: boolean };

/** What the worker says to the window. */
export type ScanMessage =
  /** Frames. */
  | { readonly kind: "progress"; readonly done: number; readonly total: number }
  | { readonly kind: "done"; readonly proposals: readonly PlayProposal[] }
  | { readonly kind: "failed"; readonly message: string };
