/** Makes the moving picture of a play, apart from the window. Ended from outside; what it holds goes with it. */
import { BufferTarget, CanvasSource, Output, Quality, WebMOutputFormat } from "mediabunny";
import { type PaintView, paintedSize, paintGround, paintShapes } from "../paint-shapes.ts";
import type { AnimateMessage, AnimateRequest } from "./animation-messages.ts";

const say = (message: AnimateMessage, transfer: Transferable[] = []): void => self.postMessage(message, { transfer });

self.addEventListener("message", (event: MessageEvent<AnimateRequest>) => {
  animate(event.data).catch((error: unknown) => {
    say({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
  });
});

async function animate({ animation, widthPx: wantedPx, codec }: AnimateRequest): Promise<void> {
  const { base, frames, framesPerSecond } = animation;
  const view: PaintView = { ...animation, widthPx: wantedPx };
  const { widthPx, heightPx } = paintedSize(view);
  const still = new OffscreenCanvas(widthPx, heightPx);
  const stillContext = contextOf(still);
  paintGround(stillContext, view, null);
  paintShapes(stillContext, view, base);

  const canvas = new OffscreenCanvas(widthPx, heightPx);
  const context = contextOf(canvas);
  const target = new BufferTarget();
  const output = new Output({ format: new WebMOutputFormat(), target });
  const source = new CanvasSource(canvas, { codec, quality: new Quality("high"), keyFrameInterval: 2 });
  output.addVideoTrack(source, { frameRate: framesPerSecond });
  await output.start();
  for (const [index, shapes] of frames.entries()) {
    context.drawImage(still, 0, 0);
    paintShapes(context, view, shapes);
    await source.add(index / framesPerSecond, 1 / framesPerSecond);
    say({ kind: "progress", done: index + 1, total: frames.length });
  }
  source.close();
  await output.finalize();
  if (target.buffer === null) throw new Error("nothing was written");
  say({ kind: "done", bytes: new Uint8Array(target.buffer) }, [target.buffer]);
}

function contextOf(canvas: OffscreenCanvas): OffscreenCanvasRenderingContext2D {
  const context = canvas.getContext("2d", { alpha: false });
  if (context === null) throw new Error("there is no canvas to paint on");
  return context;
}
