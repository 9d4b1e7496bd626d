import type { Ink } from "#core/picture/shape";

/** How each ink looks over film. Film is the same by day and by night, so these do not follow the sheet. */
export type Stroke = {
  readonly colour: string;
  readonly widthPx: number;
  readonly dash?: readonly number[];
  readonly fill?: string;
};

const measured = "#8ed4ff";
const wrong = "#ff7a5c";
const paper = "#fdf8ea";
const sand = "#ffd978";

export const filmInks: Record<Ink, Stroke> = {
  "field-line": { colour: measured, widthPx: 1.2 },
  "field-edge": { colour: measured, widthPx: 1.8 },
  "field-mark": { colour: measured, widthPx: 1.2 },
  "field-digit": { colour: measured, widthPx: 1 },
  "no-running": { colour: measured, widthPx: 1 },
  goal: { colour: measured, widthPx: 2 },
  "tackle-line": { colour: measured, widthPx: 1 },
  "bench-line": { colour: measured, widthPx: 1 },
  grass: { colour: measured, widthPx: 1 },
  stake: { colour: sand, widthPx: 1.6 },
  "stake-off": { colour: wrong, widthPx: 2.2 },
  official: { colour: paper, widthPx: 1.6 },
  offence: { colour: paper, widthPx: 1.4 },
  defence: { colour: paper, widthPx: 1.4 },
  ball: { colour: sand, widthPx: 1.4 },
  measured: { colour: measured, widthPx: 1.4, fill: "#8ed4ff38" },
  target: { colour: paper, widthPx: 1.6, dash: [6, 4] },
  "target-met": { colour: measured, widthPx: 1.6, dash: [7, 4], fill: "#8ed4ff1f" },
  "target-missed": { colour: wrong, widthPx: 2.2, fill: "#ff7a5c2e" },
  "target-unsure": { colour: sand, widthPx: 1.8, dash: [2, 4], fill: "#ffd9781f" },
  scrimmage: { colour: "#1b2426", widthPx: 2, dash: [10, 5] },
  "line-to-gain": { colour: sand, widthPx: 2, dash: [10, 5] },
  "error-half": { colour: measured, widthPx: 0, fill: "#8ed4ff2e" },
  "error-one": { colour: sand, widthPx: 0, fill: "#ffd97840" },
  "error-two": { colour: wrong, widthPx: 0, fill: "#ff9a5c52" },
  "error-over": { colour: wrong, widthPx: 0, fill: "#e0402a80" },
  "sight-seen": { colour: measured, widthPx: 1.8 },
  "sight-hidden": { colour: wrong, widthPx: 1.8, dash: [8, 6] },
  "sight-straight": { colour: wrong, widthPx: 0.9 },
  step: { colour: sand, widthPx: 2 },
  trail: { colour: "#fdf8ea80", widthPx: 1.6 },
  zone: { colour: measured, widthPx: 0, fill: "#8ed4ff2e" },
  "zone-hatch": { colour: "#8ed4ff99", widthPx: 0.9 },
  "key-line": { colour: sand, widthPx: 1.6 },
  ghost: { colour: "#fdf8ea99", widthPx: 1.3, dash: [3, 3] },
  "ghost-next": { colour: "#f0a24a", widthPx: 2, dash: [3, 3] },
  note: { colour: paper, widthPx: 1 },
};
