import { VideoSample } from "mediabunny";
import { expect, test } from "vitest";
import { workingPicture } from "../../../src-renderer/stage/carry/luma.ts";

const [widthPx, heightPx] = [64, 32];
/** Luma of the quarters: top left, top right, bottom left, bottom right. */
const quarters = [40, 90, 140, 190];

const quarterAt = (column: number, row: number, wide: number, high: number): number =>
  (row < high / 2 ? 0 : 2) + (column < wide / 2 ? 0 : 1);

function planarBytes(): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(widthPx * heightPx * 1.5).fill(128);
  for (let row = 0; row < heightPx; row++) {
    for (let column = 0; column < widthPx; column++) {
      bytes[row * widthPx + column] = quarters[quarterAt(column, row, widthPx, heightPx)]!;
    }
  }
  return bytes;
}

function colourBytes(): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(widthPx * heightPx * 4).fill(255);
  for (let i = 0; i < widthPx * heightPx; i++) {
    bytes.fill(quarters[quarterAt(i % widthPx, Math.floor(i / widthPx), widthPx, heightPx)]!, 4 * i, 4 * i + 3);
  }
  return bytes;
}

/** The quarters from dark to light as the browser itself draws the frame, which turns it by its own code. */
function drawnOrder(sample: VideoSample): number[] {
  const canvas = new OffscreenCanvas(sample.displayWidth, sample.displayHeight);
  const context = canvas.getContext("2d")!;
  sample.draw(context, 0, 0);
  const [wide, high] = [canvas.width, canvas.height];
  const middles = [
    [0.25, 0.25],
    [0.75, 0.25],
    [0.25, 0.75],
    [0.75, 0.75],
  ] as const;
  return order(
    middles.map(([x, y]) => context.getImageData(Math.floor(x * wide), Math.floor(y * high), 1, 1).data[0]!),
  );
}

const order = (levels: readonly number[]): number[] =>
  levels.map((_, i) => i).toSorted((a, b) => levels[a]! - levels[b]!);

const turns = ([0, 90, 180, 270] as const).flatMap((rotation) => [
  { rotation, format: "I420" as const },
  { rotation, format: "RGBX" as const },
]);

test.each(turns)("a $format frame turned by $rotation is read as it is shown", async ({ rotation, format }) => {
  const data = format === "I420" ? planarBytes() : colourBytes();
  const sample = new VideoSample(data, {
    format,
    codedWidth: widthPx,
    codedHeight: heightPx,
    timestamp: 0,
    rotation,
  });
  const { picture, scale } = await workingPicture(sample);
  const isUpright = rotation === 0 || rotation === 180;
  expect([picture.widthPx, picture.heightPx]).toEqual(isUpright ? [widthPx, heightPx] : [heightPx, widthPx]);
  expect(scale).toEqual({
    film: { widthPx: sample.displayWidth, heightPx: sample.displayHeight },
    filmPerWorkingU: 1,
    filmPerWorkingV: 1,
  });
  const { widthPx: wide, heightPx: high, data: grey } = picture;
  const read = [0, 1, 2, 3].map((i) => {
    const [x, y] = [i % 2 === 0 ? 0.25 : 0.75, i < 2 ? 0.25 : 0.75];
    return grey[Math.floor(y * high) * wide + Math.floor(x * wide)]!;
  });
  expect(order(read)).toEqual(drawnOrder(sample));
  expect(read.toSorted((a, b) => a - b)).toEqual(quarters);
  sample.close();
});
