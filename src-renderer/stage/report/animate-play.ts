import { getFirstEncodableVideoCodec } from "mediabunny";
import type { PlayAnimation } from "#core/report/play-animation";
import { paintedSize } from "../paint-shapes.ts";
import type { AnimateMessage, AnimateRequest, WebMCodec } from "./animation-messages.ts";

/** What a teaching page's moving picture is made with. */
export const animationWidthPx = 1280;
export const animationFramesPerSecond = 25;

/** Longest moving picture: what it holds in memory, the shapes of every frame and the file, has to end somewhere. */
export const mostAnimatedFrames = 3000;

/** Why there is no moving picture; its message is a sentence for the person who asked for one. */
export class AnimationRefused extends Error {
  override readonly name = "AnimationRefused";
  readonly reason: "no-encoder" | "empty" | "too-long" | "failed";
  constructor(reason: AnimationRefused["reason"], message: string) {
    super(message);
    this.reason = reason;
  }
}

/** The best that plays in every window first. */
const codecs: WebMCodec[] = ["vp9", "vp8", "av1"];

/**
 * A play as a WebM file, made in a worker of its own. Rejects with `AnimationRefused`, or with the signal's reason as soon
 * as it says so; nothing is left running either way.
 */
export async function animatePlay(
  animation: PlayAnimation,
  options: {
    readonly signal: AbortSignal;
    readonly onProgress: (done: number, total: number) => void;
    readonly widthPx?: number;
  },
): Promise<Uint8Array<ArrayBuffer>> {
  const { signal, onProgress, widthPx = animationWidthPx } = options;
  const count = animation.frames.length;
  if (count === 0) throw new AnimationRefused("empty", "There is nothing of this play to be shown in motion.");
  if (count > mostAnimatedFrames) {
    const seconds = Math.floor(mostAnimatedFrames / animation.framesPerSecond);
    throw new AnimationRefused(
      "too-long",
      `A moving picture is ${seconds} s long at the most; this play takes ${Math.ceil(count / animation.framesPerSecond)} s from its first moment to its last.`,
    );
  }
  const codec = await encodable(paintedSize({ box: animation.box, widthPx }), animation.framesPerSecond);
  signal.throwIfAborted();
  if (codec === null) {
    throw new AnimationRefused(
      "no-encoder",
      "This browser cannot write a moving picture as WebM. The pictures step by step need nothing of the kind.",
    );
  }
  return run({ animation, widthPx, codec }, signal, onProgress);
}

async function encodable(
  size: { readonly widthPx: number; readonly heightPx: number },
  frameRate: number,
): Promise<WebMCodec | null> {
  const found = await getFirstEncodableVideoCodec(codecs, { width: size.widthPx, height: size.heightPx, frameRate });
  return codecs.find((codec) => codec === found) ?? null;
}

function run(
  request: AnimateRequest,
  signal: AbortSignal,
  onProgress: (done: number, total: number) => void,
): Promise<Uint8Array<ArrayBuffer>> {
  const { promise, resolve, reject } = Promise.withResolvers<Uint8Array<ArrayBuffer>>();
  const worker = new Worker(new URL("./animation-worker.ts", import.meta.url), { type: "module", name: "animation" });
  const end = (): void => {
    signal.removeEventListener("abort", cancel);
    worker.terminate();
  };
  const fail = (message: string): void => {
    end();
    reject(new AnimationRefused("failed", `The moving picture could not be made. (${message})`));
  };
  const cancel = (): void => {
    end();
    reject(signal.reason instanceof Error ? signal.reason : new DOMException("Cancelled.", "AbortError"));
  };
  signal.addEventListener("abort", cancel);
  worker.addEventListener("error", (event) => fail(event.message));
  worker.addEventListener("message", (event: MessageEvent<AnimateMessage>) => {
    const message = event.data;
    // What was under way when it was cancelled is said to nobody.
    if (signal.aborted) return;
    if (message.kind === "progress") return onProgress(message.done, message.total);
    if (message.kind === "failed") return fail(message.message);
    end();
    resolve(message.bytes);
  });
  worker.postMessage(request);
  return promise;
}
