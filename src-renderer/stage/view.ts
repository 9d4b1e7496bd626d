import { type ImagePoint, imagePoint, type ScreenPoint, screenPoint } from "#core/field/units";

/**
 * The one place that converts between the screen and the film's image. A view says where the image's top left corner
 * lies in the pane and how many CSS pixels one image pixel takes.
 */
export type View = { readonly scale: number; readonly xPx: number; readonly yPx: number };

export type Size = { readonly widthPx: number; readonly heightPx: number };

const closest = 24;

/** The whole image, centred in the pane. */
export function fitView(image: Size, pane: Size): View {
  const scale = Math.min(pane.widthPx / image.widthPx, pane.heightPx / image.heightPx) || 1;
  return { scale, xPx: (pane.widthPx - image.widthPx * scale) / 2, yPx: (pane.heightPx - image.heightPx * scale) / 2 };
}

export function toScreen(view: View, point: ImagePoint): ScreenPoint {
  return screenPoint(view.xPx + point.uPx * view.scale, view.yPx + point.vPx * view.scale);
}

export function toImage(view: View, point: ScreenPoint): ImagePoint {
  return imagePoint((point.xPx - view.xPx) / view.scale, (point.yPx - view.yPx) / view.scale);
}

/** Zooms by a factor and keeps the image point under `at` where it is; never further out than the whole image. */
export function zoomAt(view: View, at: ScreenPoint, factor: number, image: Size, pane: Size): View {
  const fit = fitView(image, pane);
  const scale = Math.min(fit.scale * closest, Math.max(fit.scale, view.scale * factor));
  const held = toImage(view, at);
  return keepInside({ scale, xPx: at.xPx - held.uPx * scale, yPx: at.yPx - held.vPx * scale }, image, pane);
}

export function panBy(view: View, dxPx: number, dyPx: number, image: Size, pane: Size): View {
  return keepInside({ ...view, xPx: view.xPx + dxPx, yPx: view.yPx + dyPx }, image, pane);
}

/** An axis on which the image is smaller than the pane is centred; on the other the image covers the pane. */
function keepInside(view: View, image: Size, pane: Size): View {
  const axis = (offset: number, length: number, room: number) =>
    length <= room ? (room - length) / 2 : Math.min(0, Math.max(room - length, offset));
  return {
    scale: view.scale,
    xPx: axis(view.xPx, image.widthPx * view.scale, pane.widthPx),
    yPx: axis(view.yPx, image.heightPx * view.scale, pane.heightPx),
  };
}
