import type { SKRSContext2D } from "@napi-rs/canvas";
import { between, seededDraw, type Draw } from "./seeded.ts";

/**
 * What stands behind the field, painted on upright planes parallel to the sidelines: hills, marsh, trees, the stand,
 * boards and fence. The backdrop lives on such a plane too, so each layer is a plain scale and shift of yards.
 * Every name on a sign is invented.
 */

/** Draws in yards (x along the field, z up) on the plane at one y. */
export type OnPlane = (yYards: number, paint: (context: SKRSContext2D) => void) => void;

const haze = [205, 216, 219] as const;
function hazed(red: number, green: number, blue: number, share: number): string {
  const channel = (value: number, at: 0 | 1 | 2) => Math.round(value + (haze[at] - value) * share);
  return `rgb(${channel(red, 0)},${channel(green, 1)},${channel(blue, 2)})`;
}

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

function ridge(context: SKRSContext2D, colour: string, base: number, heightAt: (x: number) => number): void {
  context.fillStyle = colour;
  context.beginPath();
  context.moveTo(-6000, base);
  for (let x = -6000; x <= 6000; x += 12) context.lineTo(x, heightAt(x));
  context.lineTo(6000, base);
  context.fill();
}

function hills(onPlane: OnPlane): void {
  onPlane(2600, (context) =>
    ridge(
      context,
      hazed(118, 140, 158, 0.62),
      -20,
      (x) => 95 + 42 * Math.sin(x / 610 + 1.1) + 24 * Math.sin(x / 243) + 5 * Math.sin(x / 61),
    ),
  );
  onPlane(1700, (context) =>
    ridge(
      context,
      hazed(96, 126, 118, 0.5),
      -20,
      (x) => 44 + 26 * Math.sin(x / 390 - 0.6) + 11 * Math.sin(x / 141 + 2) + 2.4 * Math.sin(x / 33),
    ),
  );
  onPlane(950, (context) => {
    ridge(
      context,
      hazed(88, 116, 84, 0.42),
      -20,
      (x) => 17 + 8 * Math.sin(x / 210 + 0.4) + 4.5 * Math.sin(x / 83) + 1.1 * Math.sin(x / 17),
    );
  });
  const draw = seededDraw(311);
  onPlane(640, (context) => {
    for (let x = -900; x < 1000; x += 4.2) {
      const size = between(draw, 4.5, 10) + 3 * Math.sin(x / 90);
      context.fillStyle = hazed(70 + 12 * draw(), 100 + 14 * draw(), 66, 0.36);
      context.beginPath();
      context.ellipse(x + between(draw, -2, 2), 1.5, between(draw, 3.5, 6), Math.max(3, size), 0, 0, 2 * Math.PI);
      context.fill();
    }
  });
}

/** Tidal water and reed beds between the trees, far off. */
function marsh(onPlane: OnPlane): void {
  const draw = seededDraw(57);
  onPlane(420, (context) => {
    context.fillStyle = hazed(164, 158, 104, 0.3);
    context.fillRect(-900, -16, 1900, 14);
    for (let i = 0; i < 26; i++) {
      context.fillStyle = hazed(176, 200, 212, 0.35);
      context.beginPath();
      context.ellipse(
        between(draw, -500, 600),
        between(draw, -9, -4.5),
        between(draw, 30, 110),
        between(draw, 0.25, 0.7),
        0,
        0,
        2 * Math.PI,
      );
      context.fill();
    }
  });
  onPlane(240, (context) => {
    for (let x = -260; x < 380; x += 1.3) {
      context.fillStyle = hazed(132 + 30 * draw(), 134 + 18 * draw(), 78, 0.2);
      context.beginPath();
      context.ellipse(x, -3.2, between(draw, 1.2, 2.6), between(draw, 1.6, 4), 0, 0, 2 * Math.PI);
      context.fill();
    }
  });
}

type Crown = "round" | "poplar" | "pine";

function tree(
  context: SKRSContext2D,
  draw: Draw,
  x: number,
  foot: number,
  tall: number,
  crown: Crown,
  far: number,
): void {
  const wide = crown === "round" ? tall * between(draw, 0.62, 0.86) : crown === "poplar" ? tall * 0.24 : tall * 0.46;
  const start = crown === "round" ? 0.24 : 0.1;
  context.fillStyle = hazed(82, 66, 52, far);
  context.beginPath();
  context.moveTo(x - 0.035 * tall, foot);
  context.lineTo(x - 0.015 * tall, foot + 0.6 * tall);
  context.lineTo(x + 0.015 * tall, foot + 0.6 * tall);
  context.lineTo(x + 0.035 * tall, foot);
  context.fill();
  const warm = between(draw, -8, 16);
  const lobes: { x: number; z: number; r: number }[] = [];
  const lobeCount = crown === "round" ? 9 : 10;
  for (let i = 0; i < lobeCount; i++) {
    const rise = crown === "round" ? between(draw, 0.12, 0.86) : (i + 0.5) / lobeCount;
    const half =
      crown === "round"
        ? 0.5 * Math.sqrt(Math.max(0.05, 1 - (2 * rise - 0.95) ** 2))
        : crown === "poplar"
          ? 0.42 * Math.sin(Math.PI * (0.15 + 0.8 * rise))
          : 0.5 * (1 - rise);
    lobes.push({
      x: x + (crown === "round" ? between(draw, -1, 1) : between(draw, -0.3, 0.3)) * half * wide * 0.72,
      z: foot + tall * (start + (1 - start) * rise * 0.92),
      r: crown === "round" ? wide * between(draw, 0.19, 0.3) : Math.max(0.35, wide * half * 0.95),
    });
  }
  const dabs: { x: number; z: number; r: number; light: number; shift: number }[] = [];
  for (const lobe of lobes) {
    const count = Math.round(60 + 14 * lobe.r * lobe.r);
    for (let i = 0; i < count; i++) {
      const angle = 2 * Math.PI * draw();
      const out = Math.sqrt(draw());
      const dx = Math.cos(angle) * out;
      const dz = Math.sin(angle) * out;
      const height = (lobe.z + dz * lobe.r - foot) / tall;
      const light =
        0.42 * dx + 0.5 * dz + 0.55 * (height - 0.55) + 0.22 * ((lobe.x - x) / wide) + between(draw, -0.3, 0.3);
      dabs.push({
        x: lobe.x + dx * lobe.r,
        z: lobe.z + dz * lobe.r * (crown === "round" ? 0.86 : 1),
        r: between(draw, 0.05, 0.13) * Math.min(2.6, lobe.r + 0.5) + 0.05,
        light,
        shift: between(draw, -6, 6),
      });
    }
  }
  dabs.sort((a, b) => a.light - b.light);
  const pine = crown === "pine" ? 14 : 0;
  for (const dab of dabs) {
    const share = Math.min(1, Math.max(0, 0.5 + 0.62 * dab.light));
    context.fillStyle = hazed(
      40 + 96 * share + warm * share + dab.shift - pine,
      62 + 92 * share + dab.shift - pine * 0.6,
      40 + 34 * share + 0.4 * dab.shift - warm * 0.3,
      far,
    );
    context.beginPath();
    context.ellipse(dab.x, dab.z, dab.r * 1.25, dab.r, dab.shift, 0, 2 * Math.PI);
    context.fill();
  }
}

function woods(onPlane: OnPlane): void {
  const draw = seededDraw(1207);
  const rows: { y: number; pitch: number; far: number; low: number; high: number; foot: number }[] = [
    { y: 170, pitch: 6.4, far: 0.27, low: 8, high: 14.5, foot: -1 },
    { y: 122, pitch: 9.5, far: 0.17, low: 7, high: 13, foot: 0.6 },
    { y: 88, pitch: 17, far: 0.08, low: 5.5, high: 10, foot: 2 },
  ];
  for (const row of rows) {
    onPlane(row.y, (context) => {
      for (let x = -190; x < 290; x += row.pitch * between(draw, 0.45, 1.6)) {
        const kind = draw();
        const crown: Crown = kind < 0.7 ? "round" : kind < 0.88 ? "poplar" : "pine";
        const tall = between(draw, row.low, row.high) * (crown === "poplar" ? 1.22 : 1);
        if (row.y === 88 && x > 28 && x < 74) continue;
        tree(context, draw, x, row.foot, tall, crown, row.far);
      }
    });
    onPlane(row.y - 3, (context) => {
      for (let x = -190; x < 290; x += 0.55) {
        const light = draw();
        context.fillStyle = hazed(58 + 46 * light, 82 + 46 * light, 46 + 14 * light, row.far);
        context.beginPath();
        context.ellipse(
          x,
          row.foot + between(draw, 0, 0.9) + 0.5 * Math.sin(x / 7),
          between(draw, 0.35, 0.9),
          between(draw, 0.3, 0.8),
          0,
          0,
          2 * Math.PI,
        );
        context.fill();
      }
    });
  }
}

function plank(context: SKRSContext2D, x: number, z: number, wide: number, tall: number, colour: string): void {
  context.fillStyle = colour;
  context.fillRect(x, z, wide, tall);
}

/** Text upright on a plane whose z points up. */
function sign(
  context: SKRSContext2D,
  text: string,
  x: number,
  z: number,
  tall: number,
  colour: string,
  font: string,
  maxWide: number,
): void {
  context.save();
  context.translate(x, z);
  context.scale(tall / 100, -tall / 100);
  context.fillStyle = colour;
  context.font = font;
  context.textAlign = "center";
  context.textBaseline = "middle";
  const width = context.measureText(text).width;
  const limit = (maxWide * 100) / tall;
  if (width > limit) context.scale(limit / width, 1);
  context.fillText(text, 0, 0);
  context.restore();
}

const seatRows = 6;
const standLeft = 37;
const standRight = 63;

/** A timber grandstand with a roof: each row is a plane of its own, so it turns rightly with the camera's place. */
function stand(onPlane: OnPlane): void {
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
