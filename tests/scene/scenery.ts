import type { SKRSContext2D } from "@napi-rs/canvas";
import { hills, marsh, woods } from "./countryside.ts";
import { stand } from "./grandstand.ts";
import { between, seededDraw } from "./seeded.ts";
import { type OnPlane, plank, sign } from "./upright-plane.ts";

/**
 * What stands behind the field, painted on upright planes parallel to the sidelines: hills, marsh, trees, the stand,
 * boards and fence. The backdrop lives on such a plane too, so each layer is a plain scale and shift of yards.
 * Every name on a sign is invented.
 */

export function paintScenery(onPlane: OnPlane): void {
  hills(onPlane);
  marsh(onPlane);
  woods(onPlane);
  onPlane(66, scoreboard);
  onPlane(67, shed);
  stand(onPlane);
  reeds(onPlane);
  onPlane(52.6, fence);
  onPlane(52.3, boards);
}

function scoreboard(context: SKRSContext2D): void {
  const x = 79;
  for (const leg of [x - 3, x + 3]) plank(context, leg - 0.15, 1.8, 0.3, 3, "rgb(92,88,80)");
  plank(context, x - 4.4, 4, 8.8, 3.6, "rgb(226,218,198)");
  plank(context, x - 4.25, 4.15, 8.5, 3.3, "rgb(28,42,44)");
  sign(context, "KILN STREET", x - 2.1, 6.95, 0.62, "rgb(126,214,206)", "bold 84px 'DejaVu Sans'", 3.7);
  sign(context, "PORT ANSEL", x + 2.1, 6.95, 0.62, "rgb(248,190,92)", "bold 84px 'DejaVu Sans'", 3.7);
  sign(context, "13", x - 2.1, 5.45, 1.7, "rgb(250,232,180)", "bold 100px 'DejaVu Sans Mono'", 3);
  sign(context, "12", x + 2.1, 5.45, 1.7, "rgb(250,232,180)", "bold 100px 'DejaVu Sans Mono'", 3);
}

function shed(context: SKRSContext2D): void {
  const x = 18;
  plank(context, x - 3.2, 2, 6.4, 2.6, "rgb(214,202,176)");
  for (let z = 2; z < 4.6; z += 0.22) plank(context, x - 3.2, z, 6.4, 0.035, "rgba(120,108,88,0.55)");
  plank(context, x - 3.2, 2, 1.3, 2.6, "rgba(90,80,70,0.28)");
  context.fillStyle = "rgb(128,70,52)";
  context.beginPath();
  context.moveTo(x - 3.8, 4.5);
  context.lineTo(x - 2.6, 5.9);
  context.lineTo(x + 2.6, 5.9);
  context.lineTo(x + 3.8, 4.5);
  context.fill();
  plank(context, x - 0.6, 2, 1.2, 1.9, "rgb(36,84,88)");
  plank(context, x + 1.3, 2.9, 1.1, 0.9, "rgb(70,92,102)");
}

function reeds(onPlane: OnPlane): void {
  const draw = seededDraw(88);
  for (const y of [60.4, 59.2, 57.5]) {
    onPlane(y, (context) => {
      const base = ((y - 53.5) / 7.5) * 2.3 - 0.1;
      for (let i = 0; i < 950; i++) {
        const x = between(draw, -120, 230);
        if (Math.sin(x / 9 + y) + Math.sin(x / 3.1 + 2 * y) < 0.35) continue;
        const tall = between(draw, 0.25, 0.75);
        const light = draw();
        context.strokeStyle = `rgba(${112 + 70 * light},${118 + 48 * light},${66 + 20 * light},0.8)`;
        context.lineWidth = between(draw, 0.03, 0.07);
        context.beginPath();
        context.moveTo(x, base);
        context.lineTo(x + between(draw, -0.14, 0.2), base + tall);
        context.stroke();
      }
    });
  }
}

function fence(context: SKRSContext2D): void {
  for (let x = -120; x < 230; x += 2.5) {
    plank(context, x - 0.07, 0, 0.14, 1.12, "rgb(226,224,214)");
    plank(context, x - 0.07, 0, 0.05, 1.12, "rgb(168,168,160)");
  }
  for (const z of [0.42, 0.92]) {
    plank(context, -120, z, 350, 0.12, "rgb(232,230,221)");
    plank(context, -120, z, 350, 0.03, "rgb(166,166,158)");
  }
}

function boards(context: SKRSContext2D): void {
  const board = (x: number, wide: number, back: string, ink: string, text: string, font: string) => {
    plank(context, x - wide / 2 - 0.06, 0.1, wide + 0.12, 1.04, "rgba(40,46,40,0.55)");
    plank(context, x - wide / 2, 0.14, wide, 1, back);
    plank(context, x - wide / 2, 1.09, wide, 0.05, "rgba(255,255,255,0.5)");
    sign(context, text, x, 0.62, 0.74, ink, font, wide - 0.7);
  };
  board(24, 11, "rgb(12,112,114)", "rgb(240,248,244)", "KILN STREET HERONS", "bold 88px 'DejaVu Sans'");
  board(
    50,
    15,
    "rgb(238,230,208)",
    "rgb(38,62,60)",
    "saltmarsh valley · every flag counts",
    "italic 84px 'DejaVu Serif'",
  );
  board(76, 11.5, "rgb(226,146,24)", "rgb(44,30,18)", "PORT ANSEL LANTERNS", "bold 88px 'DejaVu Sans'");
  board(104, 9, "rgb(58,74,92)", "rgb(232,234,230)", "mudlark ferry co.", "italic 84px 'DejaVu Serif'");
  board(-4, 9, "rgb(120,58,52)", "rgb(244,232,214)", "Tolley's bakehouse", "italic 84px 'DejaVu Serif'");
}
