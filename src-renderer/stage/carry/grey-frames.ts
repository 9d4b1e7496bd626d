import type { VideoSample } from "mediabunny";
import type { WorkingScale } from "#core/carry/anchor-picture";
import { type GreyImage, shrink, workingFactor } from "#core/carry/grey-image";

/**
 * Decoded frames as working greys: the luma plane straight from the decoder, shrunk at once. A canvas would cost several
 * times as much.
 */
export type GreyReader = {
  readonly read: (sample: VideoSample) => Promise<GreyImage>;
  /** Of the pictures read so far; throws before the first. */
  readonly scale: () => WorkingScale;
};

const planar: ReadonlySet<string> = new Set(["I420", "I420A", "I422", "I444", "NV12"]);

export function createGreyReader(): GreyReader {
  let bytes = new Uint8Array(0);
  let scale: WorkingScale | null = null;
  return {
    async read(sample) {
      const { format, codedWidth, codedHeight, displayWidth, displayHeight, rotation } = sample;
      const size = sample.allocationSize();
      if (bytes.length < size) bytes = new Uint8Array(size);
      const [luma] = await sample.copyTo(bytes);
      if (!luma || format === null) throw new Error("This film's pictures cannot be read as greys here.");
      const plane = bytes.subarray(luma.offset);
      const isPlanar = planar.has(format);
      const grey = isPlanar ? plane : greyOfColours(plane, luma.stride, codedWidth, codedHeight, format);
      const stride = isPlanar ? luma.stride : codedWidth;
      const factor = workingFactor(codedWidth);
      const upright = turned(shrink(grey, stride, codedWidth, codedHeight, factor), rotation);
      const isTurned = rotation % 180 !== 0;
      // Pixels at the right and the bottom that fill no square are left out, so the scale is that of the whole ones.
      const [across, down] = isTurned ? [codedHeight, codedWidth] : [codedWidth, codedHeight];
      scale = {
        film: { widthPx: displayWidth, heightPx: displayHeight },
        filmPerWorkingU: (factor * displayWidth) / across,
        filmPerWorkingV: (factor * displayHeight) / down,
      };
      return upright;
    },
    scale() {
      if (!scale) throw new Error("no picture has been read");
      return scale;
    },
  };
}

/** Luma of BT.709 from four bytes a pixel. */
function greyOfColours(plane: Uint8Array, stride: number, width: number, height: number, format: string): Uint8Array {
  const isBlueFirst = format.startsWith("BGR");
  const grey = new Uint8Array(width * height);
  for (let row = 0; row < height; row++) {
    for (let column = 0, from = row * stride; column < width; column++, from += 4) {
      const [first, green, third] = [plane[from]!, plane[from + 1]!, plane[from + 2]!];
      const [red, blue] = isBlueFirst ? [third, first] : [first, third];
      grey[row * width + column] = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
    }
  }
  return grey;
}

/** A picture as it is shown: turned clockwise by quarter turns. */
export function turned(image: GreyImage, degrees: number): GreyImage {
  const turns = ((degrees / 90) % 4) as 0 | 1 | 2 | 3;
  if (turns === 0) return image;
  const { widthPx: width, heightPx: height, data } = image;
  const out = new Uint8Array(data.length);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const level = data[row * width + column]!;
      if (turns === 2) out[(height - 1 - row) * width + width - 1 - column] = level;
      else if (turns === 1) out[column * height + height - 1 - row] = level;
      else out[(width - 1 - column) * height + row] = level;
    }
  }
  return turns === 2
    ? { widthPx: width, heightPx: height, data: out }
    : { widthPx: height, heightPx: width, data: out };
}
