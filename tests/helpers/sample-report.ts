/** A report with a block of every kind. `text` makes each of its texts, from what the text is of. */
import { createCanvas } from "@napi-rs/canvas";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Figure, ReportAsset, ReportAssets, ReportDocument, ReportPicture } from "#core/report/document";

export function sampleReport(text: (of: string) => string = (of) => of): ReportDocument {
  const picture = (surface: "film" | "paper", stillKey: string | null): ReportPicture => ({
    surface,
    box: { x: 0, y: 0, width: 64, height: 36 },
    inkUnit: 0.2,
    shapes: [
      {
        kind: "path",
        ink: "field-line",
        points: [
          [2, 2],
          [60, 30],
        ],
        closed: false,
      },
      {
        kind: "path",
        ink: "target-missed",
        points: [
          [5, 5],
          [20, 5],
          [20, 20],
          [5, 20],
        ],
        closed: true,
      },
      { kind: "cross", ink: "stake", at: [30, 20] },
      { kind: "ring", ink: "ghost", at: [40, 20] },
      { kind: "arrow", ink: "step", from: [10, 30], to: [20, 30] },
      { kind: "label", ink: "official", at: [32, 18], text: text("LJ"), place: "below" },
      { kind: "label", ink: "offence", at: [20, 12], text: text("O"), place: "on", turned: true },
      { kind: "label", ink: "ball", at: [12, 12], text: "●", place: "on" },
    ],
    stillKey,
  });
  const figure = (name: string, surface: "film" | "paper", stillKey: string | null): Figure => ({
    picture: picture(surface, stillKey),
    alt: text(`alt of ${name}`),
    caption: text(`caption of ${name}`),
  });
  return {
    title: text("Herons at Lanterns"),
    lines: [text("Saltmarsh Valley Flag League"), text("For Ilse Þorláksdóttir Ναυσικά Щербакова")],
    footer: text("About the line judge; private"),
    blocks: [
      { kind: "text", tone: "caution", text: text("Evidence for a person, not a verdict on one") },
      { kind: "heading", level: 2, text: text("In short") },
      { kind: "text", tone: "plain", text: text("It is ≈ 1.2 yd, ≤ 2 and ≠ −3; 4′ · 5° – and so on…") },
      { kind: "text", tone: "soft", text: text("An interval of 95 %") },
      {
        kind: "facts",
        facts: [
          { name: text("Depth"), value: text("6.3 yd (5.9–6.6)") },
          { name: text("Book"), value: text("edition 3") },
        ],
      },
      { kind: "heading", level: 3, text: text("Findings") },
      {
        kind: "card",
        heading: text("Play 4: ST-LJ-PRE"),
        verdict: "missed",
        sentences: [text("Stood 1.4 yd short"), text("Book: on the line")],
        figures: [figure("the still", "film", "still"), figure("the plan", "paper", null)],
        facts: [{ name: text("Stood at"), value: text("12.75 yd") }],
      },
      { kind: "card", heading: text("Play 5"), verdict: "met", sentences: [], figures: [], facts: [] },
      { kind: "card", heading: text("Play 6"), verdict: "cannot tell", sentences: [], figures: [], facts: [] },
      { kind: "card", heading: text("Play 7"), verdict: null, sentences: [], figures: [], facts: [] },
      { kind: "heading", level: 2, text: text("Pictures") },
      { kind: "figures", figures: [figure("one that is lost", "film", "lost still")] },
      {
        kind: "steps",
        name: text("Play 9 by instants"),
        steps: [
          { label: text("snap"), figure: figure("the snap", "paper", null) },
          { label: text("catch"), figure: figure("the catch", "paper", null) },
        ],
      },
      { kind: "animation", key: "moving", alt: text("alt of the moving one"), caption: text("Play 9 moving") },
      {
        kind: "table",
        caption: text("Stations"),
        columns: [
          { name: text("Play"), align: "start" },
          { name: text("Yards"), align: "end" },
        ],
        rows: [
          [text("Play 21"), text("6.25")],
          [text("Play 22"), text("7.75")],
        ],
      },
    ],
  };
}

export function sampleStill(): ReportAsset {
  const canvas = createCanvas(64, 36);
  const context = canvas.getContext("2d");
  context.fillStyle = "#3c8a3a";
  context.fillRect(0, 0, 64, 36);
  return { type: "image/jpeg", bytes: new Uint8Array(canvas.toBuffer("image/jpeg")) };
}

export function sampleAssets(): ReportAssets {
  const moving = readFileSync(join(import.meta.dirname, "..", "fixtures", "grey.webm"));
  return new Map<string, ReportAsset>([
    ["still", sampleStill()],
    ["moving", { type: "video/webm", bytes: new Uint8Array(moving) }],
  ]);
}

/** Every text of a report, wherever it stands, but for names of kinds and keys. */
export function textsOf(document: ReportDocument): string[] {
  const texts: string[] = [];
  gather(document, texts);
  return texts;
}

const notTexts = new Set(["kind", "tone", "align", "ink", "surface", "stillKey", "key", "place", "verdict"]);

function gather(value: unknown, texts: string[]): void {
  if (typeof value === "string") texts.push(value);
  else if (Array.isArray(value)) for (const one of value) gather(one, texts);
  else if (value !== null && typeof value === "object") {
    for (const [key, one] of Object.entries(value)) if (!notTexts.has(key)) gather(one, texts);
  }
}
