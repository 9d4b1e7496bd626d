import { type ImagePoint } from "#core/field/units";
import type { LineClick } from "#core/game/records";
import { type GreyPatch, snapPatchReachPx } from "#core/snap/grey-patch";
import { settleStake } from "#core/snap/settle-stake";
import type { Fieldbook, StakeTarget } from "./use-fieldbook.ts";

/** A click settled on the paint it means, as it is drawn on the film's canvas; as it was clicked where none says better. */
export function settled(
  { layout, film, judged }: Fieldbook,
  canvas: HTMLCanvasElement | null,
  click: ImagePoint,
  target: StakeTarget,
): LineClick {
  const asClicked = { at: click, raw: null };
  const patch = canvas && film ? patchAround(canvas, click) : null;
  if (!patch || !film) return asClicked;
  const survey = judged.survey.kind === "solved" ? judged.survey.survey : null;
  const at = settleStake(layout, target, click, patch, { survey, image: film });
  return at ? { at, raw: click } : asClicked;
}

function patchAround(canvas: HTMLCanvasElement, { uPx, vPx }: ImagePoint): GreyPatch | null {
  const leftPx = Math.max(0, Math.floor(uPx) - snapPatchReachPx);
  const topPx = Math.max(0, Math.floor(vPx) - snapPatchReachPx);
  const widthPx = Math.min(canvas.width, Math.ceil(uPx) + snapPatchReachPx) - leftPx;
  const heightPx = Math.min(canvas.height, Math.ceil(vPx) + snapPatchReachPx) - topPx;
  const paint = canvas.getContext("2d");
  if (!paint || widthPx < 8 || heightPx < 8) return null;
  const { data: colours } = paint.getImageData(leftPx, topPx, widthPx, heightPx);
  const data = new Uint8Array(widthPx * heightPx);
  for (let i = 0; i < data.length; i++) {
    // Luma of BT.709, which film of this kind is encoded in.
    data[i] = 0.2126 * colours[4 * i]! + 0.7152 * colours[4 * i + 1]! + 0.0722 * colours[4 * i + 2]!;
  }
  return { leftPx, topPx, widthPx, heightPx, data };
}
