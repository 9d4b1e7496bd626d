import type { Observations } from "./observations.ts";
import { smallestDirection } from "./small-linear-algebra.ts";

/**
 * The linear start, points and lines together, on normalised coordinates.
 *
 * It is written for the map from image to field, G: a click x on the field line L says Lᵀ G x = 0 and a click on the
 * field point X says X × G x = 0, both linear in G, so one click on a line is one row. (For the map from field to image
 * a line would need its image line fitted first.) The answer is the unit vector that the rows shrink most.
 *
 * Returns the normalised field-to-image map of unit length, or null when the rows give no invertible map.
 */
export function linearStart(observations: Observations): Float64Array | null {
  const { count, isLine, u, v, weight, px, py, qx, qy } = observations;
  const rows = new Float64Array(81);
  const row = new Float64Array(9);
  const add = (): void => {
    for (let i = 0; i < 9; i++) {
      const x = row[i]!;
      if (x === 0) continue;
      for (let j = 0; j <= i; j++) rows[i * 9 + j]! += x * row[j]!;
    }
  };
  const fill = (a: number, b: number, c: number, at: number): void => {
    const w = weight[at]!;
    const x = u[at]! * w;
    const y = v[at]! * w;
    row[0] = a * x;
    row[1] = a * y;
    row[2] = a * w;
    row[3] = b * x;
    row[4] = b * y;
    row[5] = b * w;
    row[6] = c * x;
    row[7] = c * y;
    row[8] = c * w;
    add();
  };
  for (let i = 0; i < count; i++) {
    if (isLine[i] === 0) {
      fill(1, 0, -px[i]!, i);
      fill(0, 1, -py[i]!, i);
    } else {
      const a = py[i]! - qy[i]!;
      const b = qx[i]! - px[i]!;
      const length = Math.sqrt(a * a + b * b);
      fill(a / length, b / length, (px[i]! * qy[i]! - py[i]! * qx[i]!) / length, i);
    }
  }
  const g = smallestDirection(rows, 9);
  return g === null ? null : invertUnit(g);
}

function invertUnit(g: Float64Array): Float64Array | null {
  const [a, b, c, d, e, f, p, q, r] = g as unknown as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const h = Float64Array.of(
    e * r - f * q,
    c * q - b * r,
    b * f - c * e,
    f * p - d * r,
    a * r - c * p,
    c * d - a * f,
    d * q - e * p,
    b * p - a * q,
    a * e - b * d,
  );
  const det = a * h[0]! + b * h[3]! + c * h[6]!;
  if (!(Math.abs(det) > 1e-15)) return null;
  let square = 0;
  for (let i = 0; i < 9; i++) square += h[i]! * h[i]!;
  const scale = Math.sign(det) / Math.sqrt(square);
  for (let i = 0; i < 9; i++) h[i]! *= scale;
  return h;
}
