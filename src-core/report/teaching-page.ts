/**
 * A page to teach with: moments and whole plays that a person chose, in their order, with their own words between. It shows a
 * clinic, so officials are positions on it: no name of the crew, no grade and no note comes from the game onto it.
 */
import { clock, phaseNames } from "../game/words.ts";
import type { Play } from "../game/records.ts";
import type { PicturePoint, Shape } from "../picture/shape.ts";
import { type Finding, wholeCrew } from "../scoring/finding.ts";
import { surenessWords } from "../scoring/finding-facts.ts";
import type { MomentOfPlay } from "../scoring/judge-play.ts";
import { beforeAndAfter } from "./before-and-after.ts";
import type { Block, Figure, ReportDocument, StillWanted } from "./document.ts";
import { momentFigures } from "./evidence-figure.ts";
import { cautionOf, type Found, foundIn, namesIn, type Page, type PageInput } from "./page-input.ts";
import { playAnimationBlock, playPictureKey, type PlayPictureOptions } from "./play-animation.ts";
import { playSteps, type TaughtPlay } from "./play-steps.ts";
import { momentName, playName } from "./teaching-choices.ts";
import type { TeachingDraft, TeachingItem } from "./teaching-item.ts";

/** A moving picture that the page holds, to be made by whoever writes the page. */
export type AnimationWanted = {
  readonly key: string;
  readonly playId: string;
  readonly position: string | null;
  /** A name for it as a file, in the order of the page. */
  readonly name: string;
};

/** A picture of the page by the name of a file, in the order of the page. */
export type NamedFigure = { readonly name: string; readonly figure: Figure };

export type TeachingPage = Page & {
  readonly animations: readonly AnimationWanted[];
  readonly pictures: readonly NamedFigure[];
  /** Names of the crew that the person's own words hold. */
  readonly named: readonly string[];
  /** Why the page cannot be written, in a sentence; null where it can. */
  readonly refusal: string | null;
};

/** More steps than this are no longer stepped through: those between the moments lie further apart then. */
const mostSteps = 20;
/** What a line between the window and the service carries in one message is 8 MiB; the rest is room for the message itself. */
const mostPageBytes = 7_500_000;

export function teachingPage(
  input: PageInput,
  title: string,
  items: readonly TeachingItem[],
  options: Pick<TeachingDraft, "withGame"> = { withGame: false },
): TeachingPage {
  const { records, book } = input;
  const { game } = records;
  const making: Making = { input, found: foundIn(input), isUnderHeading: false };
  const parts = items.map((item, index) => {
    const part = partOf(making, item, String(index + 1).padStart(2, "0"));
    if (item.kind === "text" && item.heading.trim() !== "") making.isUnderHeading = true;
    return part;
  });
  const own = [title, ...items.flatMap((item) => (item.kind === "text" ? [item.heading, item.text] : []))];
  const named = [...new Set(own.flatMap((text) => namesIn(text, game.crew)))];
  const kinds = new Set(items.map(({ kind }) => kind));
  const stills = parts.flatMap((part) => part.stills);
  const animations = parts.flatMap((part) => part.animations);
  const document: ReportDocument = {
    title: title.trim() === "" ? "Teaching page" : title.trim().toWellFormed(),
    lines: [
      ...(options.withGame ? [[game.title, game.playedOn, game.level].filter(Boolean).join(" · ")] : []),
      `Mechanics book: ${book.name}, edition ${book.edition}`,
      `Made on ${input.madeOn}`,
    ],
    footer:
      named.length > 0
        ? "For teaching · nobody is graded here"
        : "For teaching · officials by their positions, nobody is named or graded",
    blocks: [
      { kind: "text", tone: "caution", text: cautionOf(book) },
      ...parts.flatMap((part) => part.blocks),
      ...(kinds.has("moment") || kinds.has("play") ? [soft(picturesKey(kinds))] : []),
    ],
  };
  return {
    document,
    stills: stills.filter((still, index) => stills.findIndex(({ key }) => key === still.key) === index),
    animations: animations.filter((one, index) => animations.findIndex(({ key }) => key === one.key) === index),
    pictures: parts.flatMap((part) => part.pictures),
    named,
    refusal: refusalOf(document),
  };
}

/** The page without its moving pictures, as it is handed out on paper: the steps show the same. */
export function handout(document: ReportDocument): ReportDocument {
  return { ...document, blocks: document.blocks.filter(({ kind }) => kind !== "animation") };
}

/** The page with a sentence in the place of each moving picture that could not be made, by its key. */
export function withoutAnimations(document: ReportDocument, why: ReadonlyMap<string, string>): ReportDocument {
  return {
    ...document,
    blocks: document.blocks.map((block) => {
      const sentence = block.kind === "animation" ? why.get(block.key) : undefined;
      return sentence === undefined ? block : soft(`There is no moving picture here. ${sentence}`);
    }),
  };
}

type Making = { readonly input: PageInput; readonly found: readonly Found[]; isUnderHeading: boolean };

type Part = {
  readonly blocks: readonly Block[];
  readonly stills: readonly StillWanted[];
  readonly animations: readonly AnimationWanted[];
  readonly pictures: readonly NamedFigure[];
};
const nothing = { stills: [], animations: [], pictures: [] } as const;

const plain = (text: string): Block => ({ kind: "text", tone: "plain", text });
const soft = (text: string): Block => ({ kind: "text", tone: "soft", text });

function partOf(making: Making, item: TeachingItem, number: string): Part {
  switch (item.kind) {
    case "text":
      return { ...nothing, blocks: textBlocks(item) };
    case "moment":
      return momentPart(making, item, number);
    case "play":
      return playPart(making, item, number);
  }
}

function textBlocks({ heading, text }: Extract<TeachingItem, { kind: "text" }>): Block[] {
  const paragraphs = text.toWellFormed().split(/\n\s*\n/u);
  return [
    ...(heading.trim() === ""
      ? []
      : [{ kind: "heading" as const, level: 2 as const, text: heading.trim().toWellFormed() }]),
    ...paragraphs.flatMap((paragraph) => (paragraph.trim() === "" ? [] : [plain(paragraph.trim())])),
  ];
}

/** What a person headed a part of the page with stands above the plays and moments that follow it. */
function headingOf({ isUnderHeading }: Making, text: string): Block {
  return { kind: "heading", level: isUnderHeading ? 3 : 2, text };
}

/** A position that the book has no longer is nobody's: then it is about all of them. */
function positionOf({ input: { book } }: Making, { position }: { readonly position: string | null }): string | null {
  return book.positions.some(({ id }) => id === position) ? position : null;
}

const isOf = (position: string | null) => (one: Found) => position === null || one.finding.position === position;

function momentPart(making: Making, item: Extract<TeachingItem, { kind: "moment" }>, number: string): Part {
  const { input, found } = making;
  const position = positionOf(making, item);
  const there = momentOf(input, item.momentId);
  if (!there) return { ...nothing, blocks: [] };
  const { play, at } = there;
  const here = found
    .filter((one) => one.at?.moment.id === item.momentId && one.finding.verdict !== "not applicable")
    .filter(isOf(position));
  const findings = here.map(({ finding }) => finding);
  const whose = position === null ? "" : `, ${position}`;
  const sentences = momentSentences(findings, position);
  const { figures, stills } = momentFigures(
    input,
    { play, at, findings },
    { position, alt: sentences.join(" "), isWhole: position === null },
  );
  const ways = item.withBefore ? waysOf(input, play, at, findings) : [];
  const shown = [...figures, ...ways].map(thinFigure);
  const name = `${number} play ${play.number}, ${phaseNames[at.moment.phase].toLowerCase()}${whose}`;
  const called = ["as filmed", "as measured"];
  return {
    blocks: [
      headingOf(making, `${playName(play)}, ${momentName(at)}${whose}`),
      ...sentences.map(plain),
      ...asksOf(findings).map(soft),
      ...(figures.length === 0 ? [soft("This moment is not surveyed, so there is no picture of it.")] : []),
      ...(shown.length === 0 ? [] : [{ kind: "figures" as const, figures: shown.slice(0, figures.length) }]),
      ...(ways.length === 0 ? [] : [{ kind: "figures" as const, figures: shown.slice(figures.length) }]),
    ].filter((block) => block.kind !== "figures" || block.figures.length > 0),
    stills,
    animations: [],
    pictures: shown.map((figure, index) => ({
      name: `${name}, ${called[index] ?? `before and after${ways.length > 1 ? ` ${index - called.length + 1}` : ""}`}`,
      figure,
    })),
  };
}

function momentOf({ records, judged }: PageInput, momentId: string): { play: Play; at: MomentOfPlay } | null {
  for (const play of records.plays) {
    const at = judged.get(play.id)?.moments.find(({ moment }) => moment.id === momentId);
    if (at) return { play, at };
  }
  return null;
}

/** The way of each missed station from where they stood to where the book puts them. */
function waysOf({ layout }: PageInput, play: Play, { judged }: MomentOfPlay, findings: readonly Finding[]): Figure[] {
  return findings.flatMap((finding) => {
    if (finding.verdict !== "missed") return [];
    return beforeAndAfter({ finding, placed: judged.placed, layout, situation: play.situation }) ?? [];
  });
}

/** What was missed, each with how sure that is; what was met in words of one official, of the crew as a count. */
function momentSentences(findings: readonly Finding[], position: string | null): string[] {
  const of = (verdict: Finding["verdict"]) => findings.filter((finding) => finding.verdict === verdict);
  const [missed, met, untold] = [of("missed"), of("met"), of("cannot tell")];
  const shown = position === null ? missed : [...missed, ...met];
  return [
    ...shown.map(saidWith),
    ...(missed.length === 0 && (position === null || met.length === 0)
      ? ["Nothing that was measured here was missed."]
      : []),
    ...(position === null && met.length > 0
      ? [`${missed.length > 0 ? "Besides, " : ""}${counted(met.length)} met as the book asks.`]
      : []),
    ...untoldWords(untold.length),
  ].map((sentence) => `${sentence.slice(0, 1).toUpperCase()}${sentence.slice(1)}`);
}

const counted = (count: number) => (count === 1 ? "one thing was" : `${count} things were`);

function untoldWords(count: number): string[] {
  return count === 0 ? [] : [`${counted(count)} too near to call: the measuring error reaches across the limit.`];
}

function saidWith(finding: Finding): string {
  const sure = surenessWords(finding);
  return sure === "" ? finding.sentence : `${finding.sentence} (${sure})`;
}

/** What the book asks where it was missed, each rule once. */
function asksOf(findings: readonly Finding[]): string[] {
  const rules = new Map(findings.filter(({ verdict }) => verdict === "missed").map((one) => [one.ruleId, one]));
  return [...rules.values()].map(({ ruleId, position, asks }) => {
    const whom = position === wholeCrew ? "" : ` of ${position}`;
    return `The book asks${whom} (${ruleId}): ${asks}.`;
  });
}

function playPart(making: Making, item: Extract<TeachingItem, { kind: "play" }>, number: string): Part {
  const { input, found } = making;
  const { records, judged, layout, book } = input;
  const play = records.plays.find(({ id }) => id === item.playId);
  if (!play) return { ...nothing, blocks: [] };
  const position = positionOf(making, item);
  const whole = judged.get(play.id) ?? { course: null, moments: [] };
  const { course } = whole;
  const whose = position === null ? "" : `, ${position}`;
  const key = `animation-${play.id}-${making.input.book.positions.findIndex(({ id }) => id === position) + 1}`;
  const steps = shortSteps({ play, judged: whole, layout, book }, { onlyPosition: position });
  const name = `${number} play ${play.number}${whose}`;
  return {
    blocks: [
      headingOf(making, `${playName(play)}${whose}`),
      ...(steps.block === null || course === null
        ? [soft(steps.why ?? "")]
        : [
            playAnimationBlock(key, play.number, course, { onlyPosition: position }),
            {
              ...steps.block,
              steps: steps.block.steps.map(({ label, figure }) => ({ label, figure: thinFigure(figure) })),
            },
          ]),
      {
        kind: "card",
        heading: "What happened",
        verdict: null,
        sentences: playSentences(
          found.filter((one) => one.play.id === play.id).filter(isOf(position)),
          play,
          course?.snapAtSec ?? play.snapSec,
        ),
        figures: [],
        facts: [],
      },
    ],
    stills: [],
    animations: course === null ? [] : [{ key, playId: play.id, position, name }],
    pictures: [],
  };
}

/** The steps of a play, further apart where there would be too many. */
function shortSteps(taught: TaughtPlay, options: PlayPictureOptions): ReturnType<typeof playSteps> {
  for (let betweenSec = 0.5; ; betweenSec *= 2) {
    const steps = playSteps(taught, { ...options, betweenSec });
    if (steps.block === null || steps.block.steps.length <= mostSteps || betweenSec > 16) return steps;
  }
}

/** The findings that missed in the order they happened, as many as a card holds; then what could not be told. */
function playSentences(found: readonly Found[], play: Play, snapSec: number | null): string[] {
  const missed = found.filter(({ finding }) => finding.verdict === "missed");
  const untold = found.filter(({ finding }) => finding.verdict === "cannot tell").length;
  const secOf = ({ finding: { measure }, at }: Found) =>
    measure?.kind === "watch" && snapSec !== null ? snapSec + measure.fromSec : (at?.moment.timeSec ?? play.startSec);
  const most = 40;
  const sorted = missed.toSorted((a, b) => secOf(a) - secOf(b));
  return [
    ...sorted.slice(0, most).map(({ finding, at }) => {
      // What went on for a while says itself how long; the rest was seen at one moment.
      const seen = finding.measure?.kind === "watch" ? null : at;
      const when = seen ? `${phaseNames[seen.moment.phase]}, ${clock(seen.moment.timeSec)}` : phaseNames[finding.phase];
      return `${when}: ${saidWith(finding)}`;
    }),
    ...(sorted.length > most ? [`${sorted.length - most} more were missed.`] : []),
    ...(missed.length === 0 ? ["Nothing that was measured in this play was missed."] : []),
    ...untoldWords(untold).map((sentence) => `${sentence.slice(0, 1).toUpperCase()}${sentence.slice(1)}`),
  ];
}

function picturesKey(kinds: ReadonlySet<TeachingItem["kind"]>): string {
  return [
    "How to read the pictures:",
    ...(kinds.has("moment")
      ? [
          "a cross or letter is where somebody stood, the small outline round it the reach of the measuring error, and the larger outline where the book puts an official.",
        ]
      : []),
    ...(kinds.has("play") ? [kinds.has("moment") ? `In motion, ${playPictureKey}` : playPictureKey] : []),
  ].join(" ");
}

/** Points to a tenth of a pixel over a still, and to a hundredth of a yard on a plan: what no picture shows any finer. */
function thinFigure(figure: Figure): Figure {
  const by = figure.picture.surface === "film" ? 10 : 100;
  const at = ([x, y]: PicturePoint): PicturePoint => [Math.round(x * by) / by, Math.round(y * by) / by];
  const thin = (shape: Shape): Shape => {
    switch (shape.kind) {
      case "path":
        return { ...shape, points: shape.points.map(at) };
      case "arrow":
        return { ...shape, from: at(shape.from), to: at(shape.to) };
      case "cross":
      case "ring":
      case "label":
        return { ...shape, at: at(shape.at) };
    }
  };
  return { ...figure, picture: { ...figure.picture, shapes: figure.picture.shapes.map(thin) } };
}

function refusalOf(document: ReportDocument): string | null {
  const bytes = byteLength(JSON.stringify(document));
  if (bytes <= mostPageBytes) return null;
  const megabytes = (count: number) => (count / 1e6).toFixed(1);
  return `This page is too large to be written: ${megabytes(bytes)} MB of pictures, where ${megabytes(mostPageBytes)} MB are the most. Make two pages of it, or take whole plays off it.`;
}

/** Of a well-formed text as UTF-8. */
function byteLength(text: string): number {
  let bytes = 0;
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    // Each half of a surrogate pair stands for two of its four bytes.
    bytes += unit < 0x80 ? 1 : unit < 0x800 || (unit >= 0xd800 && unit < 0xe000) ? 2 : 3;
  }
  return bytes;
}
