import type { ReportPicture } from "#core/report/document";
import { type PaintStill, type PaintView, paintedSize, paintGround, paintShapes } from "../paint-shapes.ts";

/** Width of a plan written out by itself; a still keeps the film's own pixels. */
const planWidthPx = 1280;

/**
 * A picture as the bytes of a PNG file. The still is the caller's to close, and covers the box unless it says otherwise:
 * the whole frame covers `{ x: 0, y: 0, width: image width, height: image height }`.
 */
export async function picturePng(
  picture: ReportPicture,
  still: PaintStill | null,
  widthPx: number = picture.surface === "film" ? picture.box.width : planWidthPx,
): Promise<Uint8Array<ArrayBuffer>> {
  const view: PaintView = { ...picture, widthPx };
  const size = paintedSize(view);
  const canvas = new OffscreenCanvas(size.widthPx, size.heightPx);
  const context = canvas.getContext("2d", { alpha: false });
  if (context === null) throw new Error("there is no canvas to paint on");
  paintGround(context, view, still);
  paintShapes(context, view, picture.shapes);
  const blob = await canvas.convertToBlob({ type: "image/png" });
  return new Uint8Array(await blob.arrayBuffer());
}
