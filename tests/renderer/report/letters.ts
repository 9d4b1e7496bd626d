/** Finds drawn letters in a picture by what they look like alone: the normalised correlation with letters drawn here. */

export type Grey = { readonly widthPx: number; readonly heightPx: number; readonly data: Float32Array };
export type Found = { readonly xPx: number; readonly yPx: number; readonly likeness: number };

export function greyOf({ width, height, data }: ImageData): Grey {
  const grey = new Float32Array(width * height);
  for (let i = 0; i < grey.length; i++)
    grey[i] = 0.299 * data[4 * i]! + 0.587 * data[4 * i + 1]! + 0.114 * data[4 * i + 2]!;
  return { widthPx: width, heightPx: height, data: grey };
}

/** Bold letters in the middle of a little picture: their width centred, and their capitals' height. */
export function lettersOf(text: string, sizePx: number): Grey {
  const font = `700 ${sizePx}px "Segoe UI", "Helvetica Neue", "Noto Sans", "DejaVu Sans", Arial, sans-serif`;
  const measuring = new OffscreenCanvas(1, 1).getContext("2d")!;
  measuring.font = font;
  const wide = measuring.measureText(text);
  const width = 2 * Math.ceil(wide.width / 2 + 2) + 1;
  const height = 2 * Math.ceil(sizePx * 0.45) + 1;
  const context = new OffscreenCanvas(width, height).getContext("2d")!;
  context.fillStyle = "#eef2e2";
  context.fillRect(0, 0, width, height);
  context.font = font;
  context.fillStyle = "#14598f";
  const capital = measuring.measureText("H");
  context.fillText(text, width / 2 - wide.width / 2, height / 2 + capital.actualBoundingBoxAscent / 2);
  return greyOf(context.getImageData(0, 0, width, height));
}

/**
 * Every second pixel over the whole picture by a third of the letters, and then every pixel about each of the likeliest; to
 * a part of one by the peak's parabola.
 */
export function findLetters(picture: Grey, letters: Grey): Found {
  const whole = { x0: 0, y0: 0, x1: picture.widthPx, y1: picture.heightPx };
  const rough = places(picture, letters, whole, 2, 3).toSorted((a, b) => b.likeness - a.likeness);
  const { x, y, likeness } = rough
    .slice(0, candidates)
    .flatMap((one) => places(picture, letters, { x0: one.x - 2, y0: one.y - 2, x1: one.x + 3, y1: one.y + 3 }, 1, 1))
    .reduce((one, other) => (other.likeness > one.likeness ? other : one), { x: 0, y: 0, likeness: 0 });
  const at = (dx: number, dy: number) => likenessAt(picture, letters, x + dx, y + dy, 1);
  const peak = (before: number, after: number) => (before - after) / (2 * (before - 2 * likeness + after) || 1);
  return {
    xPx: x + letters.widthPx / 2 + peak(at(-1, 0), at(1, 0)),
    yPx: y + letters.heightPx / 2 + peak(at(0, -1), at(0, 1)),
    likeness,
  };
}

const candidates = 60;
/** Less than this and it is not looked at again. */
const leastLikeness = 0.4;

type Range = { readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number };
type Place = { readonly x: number; readonly y: number; readonly likeness: number };

function places(picture: Grey, letters: Grey, range: Range, step: number, thin: number): Place[] {
  const found: Place[] = [];
  for (let y = Math.max(0, range.y0); y < Math.min(range.y1, picture.heightPx - letters.heightPx); y += step) {
    for (let x = Math.max(0, range.x0); x < Math.min(range.x1, picture.widthPx - letters.widthPx); x += step) {
      const likeness = likenessAt(picture, letters, x, y, thin);
      if (likeness > leastLikeness) found.push({ x, y, likeness });
    }
  }
  return found;
}

function likenessAt(picture: Grey, letters: Grey, x: number, y: number, thin: number): number {
  let [n, a, b, aa, bb, ab] = [0, 0, 0, 0, 0, 0];
  for (let v = 0; v < letters.heightPx; v += thin) {
    const row = (y + v) * picture.widthPx + x;
    for (let u = 0; u < letters.widthPx; u += thin) {
      const one = picture.data[row + u]!;
      const other = letters.data[v * letters.widthPx + u]!;
      n++;
      a += one;
      b += other;
      aa += one * one;
      bb += other * other;
      ab += one * other;
    }
  }
  const spread = Math.sqrt((aa - (a * a) / n) * (bb - (b * b) / n));
  return spread > 1 ? (ab - (a * b) / n) / spread : 0;
}
