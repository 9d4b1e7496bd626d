/** Makes the stills of a report from one film, apart from the window: each the exact frame, cut to its box. */
import type { StillWanted } from "#core/report/document";
import { openFrames } from "../film/film-reader.ts";
import type { DecodedFrame } from "../film/frame-source.ts";
import type { StillMessage, StillRequest } from "./still-messages.ts";

const jpegQuality = 0.85;

const say = (message: StillMessage, transfer: Transferable[] = []): void => self.postMessage(message, { transfer });

self.addEventListener("message", ({ data }: MessageEvent<StillRequest>) => {
  make(data).catch((error: unknown) => {
    say({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
  });
});

async function make({ url, stills, mostWidthPx }: StillRequest): Promise<void> {
  const opened = await openFrames(url);
  if (!opened.ok) return say({ kind: "failed", message: opened.message });
  const { index, source, widthPx, heightPx, dispose } = opened.frames;
  try {
    // Stills of one frame are cut from one decoding of it.
    const byFrame = new Map<number, StillWanted[]>();
    for (const still of stills) {
      const frame = index.frameAt(still.timeSec);
      byFrame.set(frame, [...(byFrame.get(frame) ?? []), still]);
    }
    for (const [frameIndex, wanted] of [...byFrame].toSorted(([a], [b]) => a - b)) {
      const run = source.run(frameIndex);
      const frame = await run.next();
      try {
        for (const still of wanted) {
          const bytes =
            frame?.frameIndex === frameIndex ? await cut(frame, still, { widthPx, heightPx }, mostWidthPx) : null;
          if (bytes) say({ kind: "made", key: still.key, bytes }, [bytes.buffer]);
          else say({ kind: "missing", key: still.key });
        }
      } finally {
        frame?.sample.close();
        run.stop();
      }
    }
    say({ kind: "done" });
  } finally {
    dispose();
  }
}

async function cut(
  { sample }: DecodedFrame,
  { box }: StillWanted,
  size: { readonly widthPx: number; readonly heightPx: number },
  mostWidthPx: number,
): Promise<Uint8Array<ArrayBuffer>> {
  const scale = Math.min(1, mostWidthPx / box.width);
  const canvas = new OffscreenCanvas(Math.round(box.width * scale), Math.round(box.height * scale));
  const context = canvas.getContext("2d", { alpha: false });
  if (context === null) throw new Error("there is no canvas to draw on");
  context.imageSmoothingQuality = "high";
  sample.draw(context, -box.x * scale, -box.y * scale, size.widthPx * scale, size.heightPx * scale);
  const picture = await canvas.convertToBlob({ type: "image/jpeg", quality: jpegQuality });
  return new Uint8Array(await picture.arrayBuffer());
}
