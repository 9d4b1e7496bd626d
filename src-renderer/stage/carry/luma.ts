import type { VideoSample } from "mediabunny";
import type { WorkingScale } from "#core/carry/anchor-picture";
import { type GreyImage, shrink, workingFactor } from "#core/carry/grey-image";

/**
 * The working picture of a decoded frame as it is shown, and how it lies in the film's picture. The luminance plane is
 * copied out of the frame and shrunk at once; no canvas is in it, and the frame stays the caller's to close.
 */
export async function workingPicture(
  sample: VideoSample,
  factorOf: (filmWidthPx: number) => number = workingFactor,
): Promise<{ picture: GreyImage; scale: WorkingScale }> {
  const { width, height } = sample.visibleRect;
  const plane = await lumaOf(sample);
  const turned = sample.rotation === 90 || sample.rotation === 270;
  const [shownWide, shownHigh] = turned ? [height, width] : [width, height];
  const factor = factorOf(shownWide);
  const shrunk = shrink(plane.bytes, plane.strideBytes, width, height, factor);
  const film = { widthPx: sample.displayWidth, heightPx: sample.displayHeight };
  return {
    picture: upright(shrunk, sample.rotation, sample.flip),
    scale: {
      film,
      filmPerWorkingU: (factor * film.widthPx) / shownWide,
      filmPerWorkingV: (factor * film.heightPx) / shownHigh,
    },
  };
}

type Plane = { readonly bytes: Uint8Array; readonly strideBytes: number };

/** Formats whose first plane is the luminance, a byte a pixel. */
const planar = /^(I420|I422|I444|NV12)A?$/u;
/** The same with 10 or 12 bits in two bytes. */
const planarDeep = /^I4(?:20|22|44)A?P(10|12)$/u;

async function lumaOf(sample: VideoSample): Promise<Plane> {
  const { format } = sample;
  const { width, height } = sample.visibleRect;
  const deep = format === null ? null : planarDeep.exec(format);
  if (format !== null && (planar.test(format) || deep !== null)) {
    const bytes = new Uint8Array(sample.allocationSize());
    const [layout] = await sample.copyTo(bytes);
    if (layout === undefined) throw new Error("a frame without a plane");
    const plane = bytes.subarray(layout.offset);
    if (deep === null) return { bytes: plane, strideBytes: layout.stride };
    const shift = Number(deep[1]) - 8;
    const narrow = new Uint8Array(width * height);
    for (let row = 0; row < height; row++) {
      for (let column = 0; column < width; column++) {
        const at = row * layout.stride + 2 * column;
        narrow[row * width + column] = (plane[at]! | (plane[at + 1]! << 8)) >> shift;
      }
    }
    return { bytes: narrow, strideBytes: width };
  }
  const colours = new Uint8Array(sample.allocationSize({ format: "RGBX" }));
  const [layout] = await sample.copyTo(colours, { format: "RGBX" });
  const { offset, stride } = layout ?? { offset: 0, stride: 4 * width };
  const bytes = new Uint8Array(width * height);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const at = offset + row * stride + 4 * column;
      // ITU-R BT.709 luma.
      bytes[row * width + column] = Math.round(
        0.2126 * colours[at]! + 0.7152 * colours[at + 1]! + 0.0722 * colours[at + 2]!,
      );
    }
  }
  return { bytes, strideBytes: width };
}

/** Turned clockwise by `degrees`, then flipped left to right, as the film says it is to be shown. */
function upright(image: GreyImage, degrees: 0 | 90 | 180 | 270, flip: boolean): GreyImage {
  if (degrees === 0 && !flip) return image;
  const { widthPx, heightPx, data } = image;
  const [wide, high] = degrees === 90 || degrees === 270 ? [heightPx, widthPx] : [widthPx, heightPx];
  const out = new Uint8Array(wide * high);
  for (let row = 0; row < high; row++) {
    for (let column = 0; column < wide; column++) {
      const x = flip ? wide - 1 - column : column;
      let from: number;
      if (degrees === 0) from = row * widthPx + x;
      else if (degrees === 90) from = (heightPx - 1 - x) * widthPx + row;
      else if (degrees === 180) from = (heightPx - 1 - row) * widthPx + (widthPx - 1 - x);
      else from = x * widthPx + (widthPx - 1 - row);
      out[row * wide + column] = data[from]!;
    }
  }
  return { widthPx: wide, heightPx: high, data: out };
}
