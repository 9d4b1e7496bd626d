import type { Ink } from "./shape.ts";

/** How an ink is drawn. Widths and dashes are in points of ink: what one is in the picture's measure, the picture says. */
export type Stroke = {
  readonly colour: string;
  readonly widthPx: number;
  readonly dash?: readonly number[];
  readonly fill?: string;
};

export const paperSheet = "#fbf8ef";

const ink = "#1f2a30";
const soft = "#55636a";
const rule = "#9fb0aa";
const grass = "#eef2e2";
const measured = "#14598f";
const wrong = "#a5321c";
const unsure = "#6a5a1e";

/** How each ink looks on a plan on paper. Paper is the same by day and by night, so these do not follow the sheet. */
export const paperInks: Record<Ink, Stroke> = {
  "field-line": { colour: rule, widthPx: 1.2 },
  "field-edge": { colour: ink, widthPx: 1.9 },
  "field-mark": { colour: soft, widthPx: 1.1 },
  "field-digit": { colour: "#8b9690", widthPx: 1 },
  "no-running": { colour: rule, widthPx: 1 },
  goal: { colour: ink, widthPx: 5 },
  "tackle-line": { colour: rule, widthPx: 0.9 },
  "bench-line": { colour: rule, widthPx: 0.9, dash: [5.5, 4.4] },
  grass: { colour: ink, widthPx: 1.6, fill: grass },
  stake: { colour: unsure, widthPx: 1.6 },
  "stake-off": { colour: wrong, widthPx: 2.2 },
  official: { colour: measured, widthPx: 1.6 },
  offence: { colour: ink, widthPx: 1.6 },
  defence: { colour: ink, widthPx: 1.6 },
  ball: { colour: unsure, widthPx: 1.4 },
  measured: { colour: measured, widthPx: 1.2, fill: "#14598f1c" },
  target: { colour: soft, widthPx: 1.6, dash: [5, 3.5] },
  "target-met": { colour: measured, widthPx: 1.6, dash: [4, 2.2] },
  "target-missed": { colour: wrong, widthPx: 1.9, fill: "#a5321c18" },
  "target-unsure": { colour: unsure, widthPx: 1.9, dash: [1.6, 2.2], fill: "#8a751f1c" },
  scrimmage: { colour: ink, widthPx: 1.9, dash: [6.6, 3.8] },
  "line-to-gain": { colour: unsure, widthPx: 1.9, dash: [6.6, 3.8] },
  "error-half": { colour: measured, widthPx: 0, fill: "#8ed4ff4d" },
  "error-one": { colour: unsure, widthPx: 0, fill: "#f0c24a59" },
  "error-two": { colour: wrong, widthPx: 0, fill: "#f0803a66" },
  "error-over": { colour: wrong, widthPx: 0, fill: "#d03a2280" },
  "sight-seen": { colour: measured, widthPx: 1.6 },
  "sight-hidden": { colour: wrong, widthPx: 1.6, dash: [5.5, 4.4] },
  "sight-straight": { colour: wrong, widthPx: 0.8 },
  step: { colour: unsure, widthPx: 2.2 },
  trail: { colour: "#14598f66", widthPx: 2.2 },
  zone: { colour: measured, widthPx: 1.2 },
  "zone-hatch": { colour: "#14598f8c", widthPx: 0.8 },
  "key-line": { colour: unsure, widthPx: 1.6 },
  ghost: { colour: "#55636a99", widthPx: 1.3, dash: [3, 3] },
  "ghost-next": { colour: "#c26a12", widthPx: 2, dash: [3, 3] },
  note: { colour: soft, widthPx: 1 },
};
