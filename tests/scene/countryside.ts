import type { SKRSContext2D } from "@napi-rs/canvas";
import { between, seededDraw, type Draw } from "./seeded.ts";
import type { OnPlane } from "./upright-plane.ts";

/** The far land: hills in haze, tidal marsh, woods and hedges. */

const haze = [205, 216, 219] as const;
function hazed(red: number, green: number, blue: number, share: number): string {
  const channel = (value: number, at: 0 | 1 | 2) => Math.round(value + (haze[at] - value) * share);
  return `rgb(${channel(red, 0)},${channel(green, 1)},${channel(blue, 2)})`;
}

function ridge(context: SKRSContext2D, colour: string, base: number, heightAt: (x: number) => number): void {
  context.fillStyle = colour;
  context.beginPath();
  context.moveTo(-6000, base);
  for (let x = -6000; x <= 6000; x += 12) context.lineTo(x, heightAt(x));
  context.lineTo(6000, base);
  context.fill();
}

export function hills(onPlane: OnPlane): void {
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
export function marsh(onPlane: OnPlane): void {
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

export function woods(onPlane: OnPlane): void {
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
