import { createCanvas } from "@napi-rs/canvas";
import { linear, type Glyphs, type Rgb } from "./solids.ts";

/** What people wear: the colours of each kit and the numbers on the shirts. */

export type Kit = "herons" | "lanterns" | "official" | "referee" | "coach" | "spectator";

export type Palette = { shirt: Rgb; trim: Rgb; shorts: Rgb; sock: Rgb; shoe: Rgb; flag: Rgb | null; ink: Rgb };

export const skins = ["#8d5a3b", "#c68a64", "#e0ac86", "#5a3825", "#a9714b", "#d79c74"].map(linear);
export const hairs = ["#1c1512", "#2d1d14", "#523420", "#8a6a3a", "#151515", "#6b3a20"].map(linear);
export const white = linear("#f1f1ec");
export const black = linear("#17181b");
const plainShirts = ["#3f6ea5", "#b9483e", "#e6e1d3", "#5c7d52", "#d8b04a", "#7b5a86", "#2d4a58", "#c97a4a"].map(
  linear,
);

export function paletteOf(kit: Kit, draw: () => number): Palette {
  switch (kit) {
    case "herons":
      return {
        shirt: linear("#0c8c8c"),
        trim: linear("#e9f4f0"),
        shorts: linear("#123a4a"),
        sock: linear("#e9f4f0"),
        shoe: linear("#22262c"),
        flag: linear("#f2e24a"),
        ink: white,
      };
    case "lanterns":
      return {
        shirt: linear("#f0a21e"),
        trim: linear("#ffffff"),
        shorts: linear("#eceae2"),
        sock: linear("#3a3430"),
        shoe: linear("#2b2724"),
        flag: linear("#c5283d"),
        ink: linear("#2d211a"),
      };
    case "official":
    case "referee":
      return {
        shirt: white,
        trim: black,
        shorts: linear("#1b1c20"),
        sock: black,
        shoe: linear("#101114"),
        flag: null,
        ink: black,
      };
    case "coach":
      return {
        shirt: linear("#e8e6df"),
        trim: white,
        shorts: linear("#6d675a"),
        sock: white,
        shoe: linear("#3b3a38"),
        flag: null,
        ink: black,
      };
    case "spectator": {
      const shirt = plainShirts[Math.floor(draw() * plainShirts.length)]!;
      return {
        shirt,
        trim: shirt,
        shorts: linear(draw() < 0.5 ? "#2c3340" : "#5d5a52"),
        sock: black,
        shoe: black,
        flag: null,
        ink: white,
      };
    }
  }
}

const glyphColumns = 22;
const glyphRows = 18;
const glyphCache = new Map<number, Glyphs>();
export function glyphsOf(number: number): Glyphs {
  const known = glyphCache.get(number);
  if (known) return known;
  const canvas = createCanvas(glyphColumns, glyphRows);
  const context = canvas.getContext("2d");
  context.font = "bold 21px 'DejaVu Sans'";
  context.textAlign = "center";
  context.scale(number > 9 ? 0.76 : 1, 1);
  context.fillText(String(number), glyphColumns / 2 / (number > 9 ? 0.76 : 1), 16.5);
  const { data } = context.getImageData(0, 0, glyphColumns, glyphRows);
  const alpha = Uint8Array.from({ length: glyphColumns * glyphRows }, (_, i) => data[4 * i + 3]!);
  const glyphs: Glyphs = { columns: glyphColumns, rows: glyphRows, widthYards: 0.36, heightYards: 0.33, alpha };
  glyphCache.set(number, glyphs);
  return glyphs;
}
