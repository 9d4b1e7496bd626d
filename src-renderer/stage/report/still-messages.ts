import type { StillWanted } from "#core/report/document";

export type StillRequest = {
  readonly url: string;
  readonly stills: readonly StillWanted[];
  /** A still is no wider than this, and never wider than what was filmed. */
  readonly mostWidthPx: number;
};

/** What the worker says to the window: each still as it is made, by its key; `failed` where the film cannot be read. */
export type StillMessage =
  | { readonly kind: "made"; readonly key: string; readonly bytes: Uint8Array<ArrayBuffer> }
  | { readonly kind: "missing"; readonly key: string }
  | { readonly kind: "done" }
  | { readonly kind: "failed"; readonly message: string };
