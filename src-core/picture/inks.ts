import type { Ink } from "./shape.ts";

/** How an ink looks on a surface. Lengths are pixels of the window, or ink points of a report's picture. */
export type Stroke = {
  /** `#rrggbb`, or `#rrggbbaa`. */
  readonly colour: string;
  /** 0 where only the inside is painted. */
  readonly widthPx: number;
  readonly dash?: readonly number[];
  readonly fill?: string;
  /** Lines across the inside, by which areas are told apart in grey too. */
  readonly hatch?: Hatch;
  /** A cross that stands as an x. */
  readonly slanted?: boolean;
};

export type Hatch = {
  readonly angles: readonly number[];
  readonly spacingPx: number;
  readonly widthPx: number;
};

export type Surface = "film" | "paper";

const rising = 45;
const falling = 135;

const seen = "#8ed4ff";
const amiss = "#ff7a5c";
const chalk = "#fdf8ea";
const sand = "#ffd978";

/** Film is the same by day and by night, so these do not follow the sheet. */
export const filmInks: Record<Ink, Stroke> = {
  "field-line": { colour: seen, widthPx: 1.2 },
  "field-edge": { colour: seen, widthPx: 1.8 },
  "field-mark": { colour: seen, widthPx: 1.2 },
  "field-digit": { colour: seen, widthPx: 1 },
  "no-running": { colour: seen, widthPx: 1 },
  goal: { colour: seen, widthPx: 2 },
  "tackle-line": { colour: seen, widthPx: 1 },
  "bench-line": { colour: seen, widthPx: 1 },
  grass: { colour: seen, widthPx: 1 },
  stake: { colour: sand, widthPx: 1.6 },
  "stake-off": { colour: amiss, widthPx: 2.2, slanted: true },
  official: { colour: chalk, widthPx: 1.6 },
  offence: { colour: chalk, widthPx: 1.4 },
  defence: { colour: chalk, widthPx: 1.4 },
  ball: { colour: sand, widthPx: 1.4 },
  measured: { colour: seen, widthPx: 1.4, fill: "#8ed4ff38" },
  target: { colour: chalk, widthPx: 1.6, dash: [6, 4] },
  "target-met": { colour: seen, widthPx: 1.6, dash: [7, 4], fill: "#8ed4ff1f" },
  "target-missed": {
    colour: amiss,
    widthPx: 2.2,
    fill: "#ff7a5c2e",
    hatch: { angles: [rising], spacingPx: 7, widthPx: 0.9 },
  },
  "target-unsure": { colour: sand, widthPx: 1.8, dash: [2, 4], fill: "#ffd9781f" },
  scrimmage: { colour: "#1b2426", widthPx: 2, dash: [10, 5] },
  "line-to-gain": { colour: sand, widthPx: 2, dash: [12, 4, 2, 4] },
  "error-half": { colour: seen, widthPx: 0, fill: "#8ed4ff2e" },
  "error-one": {
    colour: sand,
    widthPx: 0,
    fill: "#ffd97840",
    hatch: { angles: [rising], spacingPx: 14, widthPx: 0.7 },
  },
  "error-two": {
    colour: amiss,
    widthPx: 0,
    fill: "#ff9a5c52",
    hatch: { angles: [rising], spacingPx: 7, widthPx: 0.8 },
  },
  "error-over": {
    colour: amiss,
    widthPx: 0,
    fill: "#e0402a80",
    hatch: { angles: [rising, falling], spacingPx: 7, widthPx: 0.8 },
  },
  "sight-seen": { colour: seen, widthPx: 1.8 },
  "sight-hidden": { colour: amiss, widthPx: 1.8, dash: [8, 6] },
  "sight-straight": { colour: amiss, widthPx: 0.9 },
  step: { colour: sand, widthPx: 2 },
  trail: { colour: "#fdf8ea80", widthPx: 1.6 },
  zone: { colour: seen, widthPx: 0, fill: "#8ed4ff2e", hatch: { angles: [rising], spacingPx: 9, widthPx: 0.8 } },
  "zone-hatch": { colour: "#8ed4ff99", widthPx: 0.9 },
  "key-line": { colour: sand, widthPx: 1.6 },
  ghost: { colour: "#fdf8ea99", widthPx: 1.3, dash: [3, 3] },
  "ghost-next": { colour: "#f0a24a", widthPx: 2, dash: [3, 3] },
  note: { colour: chalk, widthPx: 1 },
};

const ink = "#1f2a30";
const soft = "#55636a";
const rule = "#9fb0aa";
const measured = "#14598f";
const wrong = "#a5321c";
const unsure = "#6a5a1e";

/** The sheet and the grass on it, by day: paper stays paper. */
export const paperSheet = "#fbf8ef";
export const paperGrass = "#eef2e2";

/** The day sheet's inks. A report is read in print as often as on a screen, so these do not follow the sheet either. */
export const paperInks: Record<Ink, Stroke> = {
  "field-line": { colour: rule, widthPx: 1.6 },
  "field-edge": { colour: ink, widthPx: 2.4 },
  "field-mark": { colour: soft, widthPx: 1.4 },
  "field-digit": { colour: "#7d8985", widthPx: 1 },
  "no-running": { colour: rule, widthPx: 0, hatch: { angles: [falling], spacingPx: 12, widthPx: 1.2 } },
  goal: { colour: ink, widthPx: 5 },
  "tackle-line": { colour: rule, widthPx: 1.2 },
  "bench-line": { colour: rule, widthPx: 1.2, dash: [7, 6] },
  grass: { colour: ink, widthPx: 2, fill: paperGrass },
  stake: { colour: ink, widthPx: 1.6 },
  "stake-off": { colour: wrong, widthPx: 2.2, slanted: true },
  official: { colour: measured, widthPx: 2 },
  offence: { colour: ink, widthPx: 2 },
  defence: { colour: ink, widthPx: 2 },
  ball: { colour: unsure, widthPx: 2 },
  measured: { colour: measured, widthPx: 1.5, fill: "#14598f1c" },
  target: { colour: soft, widthPx: 1.6, dash: [6, 3] },
  "target-met": { colour: measured, widthPx: 2.2, dash: [6, 3] },
  "target-missed": {
    colour: wrong,
    widthPx: 2.6,
    hatch: { angles: [rising], spacingPx: 8, widthPx: 1.6 },
  },
  "target-unsure": { colour: unsure, widthPx: 2.6, dash: [2.5, 3], fill: "#8a751f1c" },
  scrimmage: { colour: ink, widthPx: 2.6, dash: [9, 5] },
  "line-to-gain": { colour: unsure, widthPx: 2.6, dash: [12, 4, 2, 4] },
  "error-half": { colour: measured, widthPx: 0, fill: "#14598f1c" },
  "error-one": {
    colour: unsure,
    widthPx: 0,
    fill: "#8a751f1c",
    hatch: { angles: [rising], spacingPx: 16, widthPx: 1 },
  },
  "error-two": {
    colour: wrong,
    widthPx: 0,
    fill: "#a5321c18",
    hatch: { angles: [rising], spacingPx: 9, widthPx: 1.1 },
  },
  "error-over": {
    colour: wrong,
    widthPx: 0,
    fill: "#a5321c38",
    hatch: { angles: [rising, falling], spacingPx: 9, widthPx: 1.1 },
  },
  "sight-seen": { colour: measured, widthPx: 2.2 },
  "sight-hidden": { colour: wrong, widthPx: 2.2, dash: [8, 6] },
  "sight-straight": { colour: wrong, widthPx: 1 },
  step: { colour: unsure, widthPx: 3 },
  trail: { colour: "#14598f66", widthPx: 2.2 },
  zone: { colour: measured, widthPx: 0, hatch: { angles: [rising], spacingPx: 9, widthPx: 1.6 } },
  "zone-hatch": { colour: "#14598f8c", widthPx: 1.1 },
  "key-line": { colour: unsure, widthPx: 2.2 },
  ghost: { colour: soft, widthPx: 1.5, dash: [3, 3] },
  "ghost-next": { colour: "#9a4f08", widthPx: 2.4, dash: [3, 3] },
  note: { colour: soft, widthPx: 1.2, dash: [3, 4] },
};

export const inksOn: Record<Surface, Record<Ink, Stroke>> = { film: filmInks, paper: paperInks };
