import type { PlayAnimation } from "#core/report/play-animation";

export type WebMCodec = "vp9" | "vp8" | "av1";

export type AnimateRequest = {
  readonly animation: PlayAnimation;
  readonly widthPx: number;
  readonly codec: WebMCodec;
};

/** What the worker says to the window. */
export type AnimateMessage =
  | { readonly kind: "progress"; readonly done: number; readonly total: number }
  | { readonly kind: "done"; readonly bytes: Uint8Array<ArrayBuffer> }
  | { readonly kind: "failed"; readonly message: string };
