import type { Scale } from "../grading/scales.ts";
import type { Eligibility } from "../season/eligibility.ts";
import type { SeasonTotals } from "../season/season-totals.ts";
import {
  figure,
  intervalWords,
  noticeLines,
  percentWords,
  positionsOf,
  rankWords,
  standingRows,
} from "../season/season-words.ts";
import type { Block, Column, ReportDocument } from "./document.ts";
import { chanceFigure, intervalFigure } from "./season-pictures.ts";

export type SeasonPageInput = {
  readonly title: string;
  readonly madeOn: string;
  readonly totals: SeasonTotals;
  readonly scale: Scale;
  readonly topK: number;
  readonly games: number;
  readonly nameOf: (officialId: string) => string;
  readonly observerOf: (observerId: string) => string;
  readonly eligibility: readonly Eligibility[];
  /** Observers' severity is for their own training: left out unless it is asked for. */
  readonly withObservers: boolean;
};

const start = (name: string): Column => ({ name, align: "start" });
const end = (name: string): Column => ({ name, align: "end" });
const soft = (text: string): Block => ({ kind: "text", tone: "soft", text });
const head = (text: string): Block => ({ kind: "heading", level: 2, text });

export const seasonCaution =
  "Totals are evidence for those who must choose, and choose nothing themselves. A value is adjusted for who observed, which games " +
  "were seen and what was graded; its interval says how sure it is with 95 %. Officials whose intervals of difference hold 0 are tied, " +
  "whatever their order on the page. The association’s own rules come first.";

/** The season on paper: position by position, raw beside adjusted, with ties shown as ties. */
export function seasonPage(input: SeasonPageInput): ReportDocument {
  const { totals, scale } = input;
  return {
    title: input.title,
    lines: [
      `${totals.grades} grades of ${totals.officials.length} officials at their positions in ${input.games} games, by ${totals.observers.length} observers`,
      `Scale: ${scale.name} · made on ${input.madeOn}`,
    ],
    footer: `${input.title} · private: for whoever assigns these officials`,
    blocks: [
      { kind: "text", tone: "caution", text: seasonCaution },
      ...noticeLines(totals, input.observerOf).map((text): Block => ({ kind: "text", tone: "plain", text })),
      ...modelBlocks(input),
      ...positionsOf(totals).flatMap((position) => positionBlocks(input, position)),
      ...eligibilityBlocks(input),
      ...(input.withObservers ? observerBlocks(input) : []),
    ],
  };
}

function modelBlocks({ totals }: SeasonPageInput): Block[] {
  if (!totals.model) return [soft("There is too little to estimate anything from: raw means only.")];
  const { components, residualVariance } = totals.model;
  const whole = components.reduce((sum, { variance }) => sum + variance, residualVariance);
  const said = components.map(({ name, variance }) =>
    variance === 0 ? `${name}: none that can be told from chance` : `${name}: ${percentWords(variance / whole)}`,
  );
  return [
    {
      kind: "facts",
      facts: [
        { name: "Grades that count", value: String(totals.grades) },
        { name: "Could not be judged", value: String(totals.cannotJudge) },
        { name: "Where grades differ from", value: said.join(", ") },
        { name: "All else", value: percentWords(residualVariance / whole) },
      ],
    },
  ];
}

function positionBlocks({ totals, scale, topK, nameOf }: SeasonPageInput, position: string): Block[] {
  const rows = standingRows(totals, position, scale);
  const groups = new Set(rows.flatMap(({ group }) => group ?? []));
  const isGrouped = groups.size > 1;
  return [
    head(position),
    { kind: "figures", figures: [intervalFigure(rows, scale, position, nameOf)] },
    { kind: "figures", figures: [chanceFigure(rows, position, topK, nameOf)] },
    {
      kind: "table",
      caption: `${position}: raw beside adjusted${isGrouped ? "; ranks are within a group" : ""}`,
      columns: [
        start("Official"),
        end("Rank"),
        ...(isGrouped ? [start("Group")] : []),
        end("Adjusted"),
        end("95 % interval"),
        end("Raw mean"),
        end("Games"),
        end("Observers"),
        end(`Among ${topK} best`),
      ],
      rows: rows.map(({ total, place, group }) => [
        nameOf(total.officialId),
        place ? rankWords(place) : "–",
        ...(isGrouped ? [group ?? "–"] : []),
        total.adjusted ? figure(total.adjusted.value) : "withheld",
        total.adjusted ? intervalWords(total.adjusted.interval) : "–",
        total.mean === null ? "–" : figure(total.mean),
        String(total.evidence.games),
        String(total.evidence.observers),
        place ? percentWords(place.inTopK) : "–",
      ]),
    },
    {
      kind: "table",
      caption: "What the adjustment did, and what is withheld",
      columns: [start("Official"), start("Why")],
      rows: rows.map(({ total }) => [nameOf(total.officialId), total.adjusted?.sentence ?? total.withheld ?? ""]),
    },
  ];
}

function eligibilityBlocks({ eligibility, nameOf }: SeasonPageInput): Block[] {
  if (eligibility.every(({ ticks }) => ticks.length === 0)) return [];
  return [
    head("Eligible by the rules"),
    {
      kind: "table",
      caption: "Each rule held against each official at a position",
      columns: [start("Official"), start("Position"), start("Eligible"), start("Rules")],
      rows: eligibility.map(({ officialId, position, isEligible, ticks }) => [
        nameOf(officialId),
        position,
        isEligible ? "yes" : "no",
        ticks.map(({ rule, holds, why }) => `${holds ? "✓" : "✕"} ${rule} (${why})`).join("; "),
      ]),
    },
  ];
}

function observerBlocks({ totals, observerOf }: SeasonPageInput): Block[] {
  return [
    head("Observers"),
    soft(
      "For their own training, and private: severity says how many points worse than others somebody grades, and not who is right.",
    ),
    {
      kind: "table",
      caption: "Severity, spread and use of the scale",
      columns: [
        start("Observer"),
        end("Severity"),
        end("95 % interval"),
        end("Spread"),
        end("Share of the scale"),
        end("Games"),
        end("Grades"),
      ],
      rows: totals.observers.map((one) => [
        observerOf(one.observerId),
        one.severity ? figure(one.severity.points) : "–",
        one.severity ? intervalWords(one.severity.interval) : "–",
        one.spread === null ? "–" : figure(one.spread),
        percentWords(one.shareOfScale),
        String(one.games),
        String(one.grades),
      ]),
    },
  ];
}
