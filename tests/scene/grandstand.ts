import type { SKRSContext2D } from "@napi-rs/canvas";
import { between, seededDraw, type Draw } from "./seeded.ts";
import { type OnPlane, plank, sign } from "./upright-plane.ts";

const seatRows = 6;
const standLeft = 37;
const standRight = 63;

/** A timber grandstand with a roof: each row is a plane of its own, so it turns rightly with the camera's place. */
export function stand(onPlane: OnPlane): void {
  const draw = seededDraw(4242);
  const middle = (standLeft + standRight) / 2;
  const wide = standRight - standLeft;
  onPlane(68, (context) => {
    plank(context, standLeft, 1.6, wide, 6.6, "rgb(84,92,92)");
    for (let x = standLeft; x < standRight; x += 0.8) plank(context, x, 1.6, 0.1, 6.6, "rgba(52,58,60,0.5)");
    plank(context, standLeft, 6.6, wide, 1.6, "rgba(30,34,38,0.55)");
  });
  for (let row = seatRows - 1; row >= 0; row--) {
    const z = 2 + 0.48 * row;
    onPlane(61.6 + 0.95 * row, (context) => {
      const under = 0.84 - 0.075 * row;
      const lit = (r: number, g: number, b: number) =>
        `rgb(${Math.round(r * under)},${Math.round(g * under)},${Math.round(b * under)})`;
      plank(context, standLeft, z - 0.5, wide, 0.62, lit(142, 132, 116));
      plank(context, standLeft, z + 0.06, wide, 0.1, lit(206, 192, 166));
      for (let x = standLeft + 0.5; x < standRight - 0.4; x += between(draw, 0.62, 0.95)) {
        if (draw() < 0.3 || Math.abs(x - middle) < 0.7) continue;
        seated(context, draw, x, z + 0.12, under);
      }
    });
  }
  onPlane(61, (context) => {
    plank(context, standLeft - 0.2, 1, wide + 0.4, 1.1, "rgb(36,84,88)");
    for (let x = standLeft - 0.2; x < standRight; x += 0.55) plank(context, x, 1, 0.05, 1.1, "rgba(20,50,54,0.7)");
    plank(context, standLeft - 0.3, 2.06, wide + 0.6, 0.12, "rgb(224,214,190)");
    for (const x of [standLeft, standLeft + wide / 4, middle, standRight - wide / 4, standRight])
      plank(context, x - 0.11, 2, 0.22, 5.3, "rgb(214,204,182)");
    context.fillStyle = "rgb(38,86,90)";
    context.beginPath();
    context.moveTo(standLeft - 1.1, 7.1);
    context.lineTo(standLeft + 0.2, 8.7);
    context.lineTo(standRight - 0.2, 8.7);
    context.lineTo(standRight + 1.1, 7.1);
    context.fill();
    for (let x = standLeft - 1; x < standRight + 1; x += 0.7) {
      context.fillStyle = "rgba(18,52,56,0.35)";
      context.fillRect(x, 7.15, 0.07, 1.5);
    }
    plank(context, standLeft - 1.2, 6.55, wide + 2.4, 0.72, "rgb(232,223,202)");
    plank(context, standLeft - 1.2, 6.52, wide + 2.4, 0.08, "rgb(150,142,124)");
    sign(
      context,
      "SALTMARSH VALLEY FLAG LEAGUE",
      middle,
      6.9,
      0.62,
      "rgb(28,68,72)",
      "bold 92px 'DejaVu Serif'",
      wide - 3,
    );
    for (const [x, colour] of [
      [standLeft + 1, "rgb(12,140,140)"],
      [standRight - 1, "rgb(232,152,26)"],
    ] as const) {
      plank(context, x - 0.03, 8.5, 0.06, 2.2, "rgb(210,208,200)");
      context.fillStyle = colour;
      context.beginPath();
      context.moveTo(x + 0.03, 10.7);
      context.quadraticCurveTo(x + 0.9, 10.9, x + 1.7, 10.35);
      context.lineTo(x + 0.03, 9.9);
      context.fill();
    }
  });
}

function seated(context: SKRSContext2D, draw: Draw, x: number, z: number, under: number): void {
  const coats = [
    [12, 140, 140],
    [232, 152, 26],
    [70, 92, 128],
    [168, 72, 62],
    [222, 216, 200],
    [92, 116, 84],
    [58, 62, 70],
    [184, 158, 108],
    [120, 88, 122],
    [236, 232, 224],
  ] as const;
  const faces = [
    [222, 172, 138],
    [198, 142, 106],
    [140, 92, 62],
    [94, 60, 42],
  ] as const;
  const coat = coats[Math.floor(draw() * coats.length)]!;
  const face = faces[Math.floor(draw() * faces.length)]!;
  const paint = (c: readonly number[], light: number) =>
    `rgb(${c.map((value) => Math.min(255, Math.round(value * light * under))).join(",")})`;
  const size = between(draw, 0.86, 1.06);
  const lean = between(draw, -0.05, 0.05);
  context.fillStyle = paint(coat, 0.72);
  context.beginPath();
  context.ellipse(x + lean / 2, z + 0.3 * size, 0.25 * size, 0.38 * size, 0, 0, 2 * Math.PI);
  context.fill();
  context.fillStyle = paint(coat, 1);
  context.beginPath();
  context.ellipse(x + 0.05 + lean / 2, z + 0.34 * size, 0.17 * size, 0.31 * size, 0, 0, 2 * Math.PI);
  context.fill();
  context.fillStyle = paint([52, 56, 66], 1);
  context.fillRect(x - 0.2, z - 0.12, 0.4, 0.16);
  context.fillStyle = paint(face, 0.9);
  context.beginPath();
  context.ellipse(x + lean, z + 0.8 * size, 0.115, 0.14, 0, 0, 2 * Math.PI);
  context.fill();
  context.fillStyle =
    draw() < 0.25 ? paint(coats[Math.floor(draw() * coats.length)]!, 0.9) : paint([46, 34, 26], 0.6 + draw());
  context.beginPath();
  context.ellipse(x + lean - 0.015, z + 0.87 * size, 0.12, 0.09, 0, 0, Math.PI);
  context.fill();
}
