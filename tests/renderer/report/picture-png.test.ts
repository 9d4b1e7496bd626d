/** Pictures of a report as PNG files, read back from their pixels. */
import { describe, expect, test } from "vitest";
import type { Ink, Shape } from "#core/picture/shape";
import type { ReportPicture } from "#core/report/document";
import { paintedSize } from "../../../src-renderer/stage/paint-shapes.ts";
import { picturePng } from "../../../src-renderer/stage/report/picture-png.ts";

type Pixel = readonly [number, number, number];

async function read(bytes: Uint8Array<ArrayBuffer>) {
  const bitmap = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
  const { width, height } = bitmap;
  const context = new OffscreenCanvas(width, height).getContext("2d")!;
  context.drawImage(bitmap, 0, 0);
  bitmap.close();
  const { data } = context.getImageData(0, 0, width, height);
  const at = (x: number, y: number): Pixel => {
    const i = 4 * (Math.floor(y) * width + Math.floor(x));
    return [data[i]!, data[i + 1]!, data[i + 2]!];
  };
  return { at, size: [width, height] };
}

/** A frame of 400 × 200 in four colours, the borders at 200 and 100. */
async function frame(): Promise<ImageBitmap> {
  const context = new OffscreenCanvas(400, 200).getContext("2d")!;
  for (const [x, y, colour] of [
    [0, 0, "#ff0000"],
    [200, 0, "#00ff00"],
    [0, 100, "#0000ff"],
    [200, 100, "#ffff00"],
  ] as const) {
    context.fillStyle = colour;
    context.fillRect(x, y, 200, 100);
  }
  return createImageBitmap(context.canvas);
}

const film = (shapes: readonly Shape[], box: ReportPicture["box"]): ReportPicture => ({
  surface: "film",
  box,
  inkUnit: 1,
  shapes,
  stillKey: "still",
});
const paper = (shapes: readonly Shape[]): ReportPicture => ({
  surface: "paper",
  box: { x: 10, y: 20, width: 40, height: 20 },
  inkUnit: 0.1,
  shapes,
  stillKey: null,
});
const sheet: Pixel = [0xfb, 0xf8, 0xef];
const square = (ink: Ink): Shape => ({
  kind: "path",
  ink,
  points: [
    [15, 25],
    [25, 25],
    [25, 35],
    [15, 35],
  ],
  closed: true,
});
const isDark = (pixel: Pixel) => Math.max(...pixel) < 170;

describe("a picture over a still", () => {
  test("is cut from the whole frame to its box, in the film's own pixels", async () => {
    const image = await frame();
    const covers = { x: 0, y: 0, width: 400, height: 200 };
    const box = { x: 150, y: 60, width: 120, height: 80 };
    const { at, size } = await read(await picturePng(film([], box), { image, covers }));
    image.close();
    expect(size).toEqual([120, 80]);
    // The borders lie 50 px from the left of the box and 40 px from its top.
    expect([at(47, 37), at(53, 37), at(47, 43), at(53, 43)]).toEqual([
      [255, 0, 0],
      [0, 255, 0],
      [0, 0, 255],
      [255, 255, 0],
    ]);
  });

  test("fills the box with a still that is cut already, and leaves one that is missing blank", async () => {
    const image = await frame();
    const box = { x: 150, y: 60, width: 400, height: 200 };
    const whole = await read(await picturePng(film([], box), { image, covers: box }));
    image.close();
    expect([whole.at(197, 97), whole.at(203, 103)]).toEqual([
      [255, 0, 0],
      [255, 255, 0],
    ]);
    const blank = await read(await picturePng(film([], box), null));
    expect(blank.at(197, 97)).toEqual(sheet);
  });

  test("has its shapes where the frame has their places", async () => {
    const box = { x: 100, y: 50, width: 200, height: 100 };
    const shapes: Shape[] = [
      { kind: "cross", ink: "stake", at: [140, 80] },
      { kind: "arrow", ink: "step", from: [180, 120], to: [260, 120] },
      { kind: "label", ink: "official", at: [250, 75], text: "LJ", place: "on" },
    ];
    const { at } = await read(await picturePng(film(shapes, box), null, 400));
    const sand: Pixel = [0xff, 0xd9, 0x78];
    // Twice as large: a cross 12 px either way about (80, 60).
    for (const [x, y] of [
      [80, 60],
      [71, 60],
      [89, 60],
      [80, 51],
      [80, 69],
    ] as const)
      expect(at(x, y)).toEqual(sand);
    expect(at(71, 51)).toEqual(sheet);
    // The arrow is thin where it comes from and wide at its head, which ends at (320, 140).
    expect([at(200, 140), at(200, 146), at(309, 142)]).toEqual([sand, sheet, sand]);
    expect([at(327, 140), at(150, 140)]).toEqual([sheet, sheet]);
    // An official's letters have a dark tag under them.
    expect(isDark(at(300 - 20, 50))).toBe(true);
    expect(at(300 - 40, 50)).toEqual(sheet);
  });
});

describe("a picture on paper", () => {
  test("is sized by its box, in even pixels", async () => {
    const { size } = await read(await picturePng(paper([]), null));
    expect(size).toEqual([1280, 640]);
    expect(paintedSize({ box: { x: 0, y: 0, width: 110, height: 55.1 }, widthPx: 1281 })).toEqual({
      widthPx: 1282,
      heightPx: 642,
    });
  });

  test("hatches a zone, and washes what is only washed", async () => {
    // 32 px a yard: the square from (160, 160) to (480, 480); a hatch every 9 points of 3.2 px at a
    // slant, so that a row is crossed every 40.7 px.
    const zone = await read(await picturePng(paper([square("zone")]), null));
    const row = Array.from({ length: 300 }, (_, i) => isDark(zone.at(170 + i, 320)));
    const strokes = row.filter((dark, i) => dark && row[i - 1] !== true).length;
    expect(strokes).toBeGreaterThanOrEqual(7);
    expect(strokes).toBeLessThanOrEqual(8);
    expect(row.filter((dark) => !dark).length).toBeGreaterThan(150);
    const outside = Array.from({ length: 100 }, (_, i) => zone.at(500 + i, 320));
    expect(outside.every((pixel) => pixel.join() === sheet.join())).toBe(true);

    const washed = await read(await picturePng(paper([square("measured")]), null));
    expect(new Set(Array.from({ length: 280 }, (_, i) => washed.at(180 + i, 320).join())).size).toBe(1);
    expect(washed.at(320, 320)).not.toEqual(sheet);
  });

  test("dashes a target's edge and draws a line to scale whole", async () => {
    const along = (picture: Awaited<ReturnType<typeof read>>) =>
      Array.from({ length: 300 }, (_, i) => isDark(picture.at(170 + i, 160)));
    const target = along(await read(await picturePng(paper([square("target")]), null)));
    expect(target.some((dark) => !dark)).toBe(true);
    expect(target.filter(Boolean).length).toBeGreaterThan(100);
    const grass = along(await read(await picturePng(paper([square("grass")]), null)));
    expect(grass.every(Boolean)).toBe(true);
  });

  test("turns digits that are read from the far side", async () => {
    const seven = async (turned: boolean) => {
      const label: Shape = { kind: "label", ink: "field-digit", at: [30, 30], text: "7", place: "on", turned };
      const { at } = await read(await picturePng(paper([label]), null));
      // The bar of a seven is at its top, and of a turned one at its foot: inked pixels of either half.
      const inked = (from: number, to: number) => {
        let count = 0;
        for (let y = from; y < to; y++) for (let x = 600; x < 680; x++) if (at(x, y)[0] < 200) count++;
        return count;
      };
      return { upper: inked(270, 320), lower: inked(320, 370) };
    };
    const [upright, turned] = [await seven(false), await seven(true)];
    expect(upright.upper).toBeGreaterThan(upright.lower * 1.3);
    expect(turned.lower).toBeGreaterThan(turned.upper * 1.3);
  });

  test("keeps the head of a short arrow between its ends", async () => {
    const arrow: Shape = { kind: "arrow", ink: "step", from: [20, 30], to: [20.5, 30] };
    const { at } = await read(await picturePng(paper([arrow]), null));
    // From 320 to 336 px.
    const inked = Array.from({ length: 60 }, (_, i) => 300 + i).filter((x) =>
      Array.from({ length: 40 }, (_, k) => at(x, 300 + k)).some((pixel) => pixel[0] < 200),
    );
    expect(inked[0]).toBeGreaterThanOrEqual(316);
    expect(inked.at(-1)).toBeLessThanOrEqual(337);
    expect(inked.length).toBeGreaterThan(10);
  });
});
