import { textOfCue } from "./cue-text.ts";

/**
 * WebVTT by the W3C recommendation (https://www.w3.org/TR/webvtt1/): what a cut list needs of it. Reading follows the
 * parser of its section 6.1, with its blocks, and 6.3, with its timings: comments, styles, regions and settings are passed
 * over, and a cue whose times cannot be read is left out, and named.
 */
export type Cue = {
  readonly id: string;
  readonly startSec: number;
  readonly endSec: number;
  /** As it stands in the file, tags and references and all. */
  readonly payload: string;
  /** What a person reads of it. */
  readonly text: string;
  /** The line of the file that holds its times, counted from 1. */
  readonly line: number;
};

/** What is left out of a file, by its line, and why. */
export type LeftOut = { readonly line: number; readonly reason: string };

export type ReadCues =
  | { readonly ok: true; readonly cues: readonly Cue[]; readonly leftOut: readonly LeftOut[] }
  | { readonly ok: false; readonly line: number; readonly reason: string };

export function readWebVtt(file: string): ReadCues {
  const lines = file
    .replace(/^\uFEFF/u, "")
    .replaceAll("\0", "\uFFFD")
    .replaceAll(/\r\n?/gu, "\n")
    .split("\n");
  if (!/^WEBVTT(?:[ \t]|$)/u.test(lines[0] ?? ""))
    return { ok: false, line: 1, reason: "A WebVTT file begins with the word WEBVTT on a line of its own." };
  const cues: Cue[] = [];
  const leftOut: LeftOut[] = [];
  let at = 1;
  // The header ends at an empty line, or where a cue begins.
  while (at < lines.length && lines[at] !== "" && !lines[at]!.includes("-->")) at++;
  while (at < lines.length) {
    if (lines[at] === "") {
      at++;
      continue;
    }
    const block = blockFrom(lines, at);
    at = block.next;
    if (block.cue) cues.push(block.cue);
    if (block.spoilt !== null)
      leftOut.push({ line: block.spoilt, reason: `The times cannot be read: ${lines[block.spoilt - 1]!.trim()}` });
  }
  return { ok: true, cues, leftOut };
}

type Block = {
  readonly cue: Cue | null;
  /** The line whose times cannot be read, where the block is a cue but for them. */
  readonly spoilt: number | null;
  /** Index of the first line after it. */
  readonly next: number;
};

/** One block of the standard's parser: an arrow counts on its first line, or on its second after an id. */
function blockFrom(lines: readonly string[], first: number): Block {
  const arrow = lines[first]!.includes("-->") ? first : first + 1;
  const isCue = lines[arrow]?.includes("-->") ?? false;
  let next = isCue ? arrow + 1 : first + 1;
  while (next < lines.length && lines[next] !== "" && !lines[next]!.includes("-->")) next++;
  if (!isCue) return { cue: null, spoilt: null, next };
  const id = arrow === first ? "" : lines[first]!;
  const times = timesOf(lines[arrow]!);
  // A comment with an arrow in it is a cue to the standard's parser, which its times then spoil: nobody misses it.
  const isComment = /^NOTE(?:[ \t]|$)/u.test(lines[first]!);
  if (!times) return { cue: null, spoilt: isComment ? null : arrow + 1, next };
  const payload = lines.slice(arrow + 1, next).join("\n");
  return { cue: { id, ...times, payload, text: textOfCue(payload), line: arrow + 1 }, spoilt: null, next };
}

/** Times of a cue's line in seconds; its settings, which need no space before them, are passed over. */
function timesOf(line: string): { readonly startSec: number; readonly endSec: number } | null {
  const found = /^[ \t\f]*([\d:.]+)[ \t\f]*-->[ \t\f]*([^]*)$/u.exec(line);
  const startSec = stampOf(found?.[1], true);
  const endSec = stampOf(found?.[2], false);
  return startSec === null || endSec === null ? null : { startSec, endSec };
}

/**
 * Minutes and seconds of two digits, thousandths of three; hours of any number of digits may stand before. `isWhole`: nothing
 * may follow.
 */
function stampOf(word: string | undefined, isWhole: boolean): number | null {
  const found = /^(?:(\d+):)?([0-5]\d):([0-5]\d)\.(\d+)/u.exec(word ?? "");
  if (!found || found[4]!.length !== 3 || (isWhole && found[0] !== word)) return null;
  const [hours = "0", minutes, seconds, thousandths] = found.slice(1);
  return Number(hours) * 3600 + Number(minutes) * 60 + Number(seconds) + Number(thousandths) / 1000;
}

export type WrittenCue = Pick<Cue, "id" | "startSec" | "endSec" | "text">;

/** Cues in the order of their starts, as the standard demands; `note` is a comment before them. */
export function writeWebVtt(note: string, cues: readonly WrittenCue[]): string {
  const comment = note === "" ? [] : [`NOTE ${linesOf(escaped(note)).join(" ")}\n`];
  const blocks = cues
    .toSorted((a, b) => a.startSec - b.startSec)
    .map(({ id, startSec, endSec, text }) => {
      // The standard has no cue of no length.
      const endMs = Math.max(thousandthsOf(endSec), thousandthsOf(startSec) + 1);
      const times = `${timestamp(startSec)} --> ${timestamp(endMs / 1000)}`;
      return `${[oneLine(id), times, ...linesOf(escaped(text))].filter((line) => line !== "").join("\n")}\n`;
    });
  return ["WEBVTT\n", ...comment, ...blocks].join("\n");
}

/** No empty line may stand in a cue, which would end it. */
const linesOf = (text: string) => text.split(/[\r\n]+/u).filter((line) => line !== "");
const oneLine = (text: string) => linesOf(text).join(" ").replaceAll("-->", "→");
const escaped = (text: string) => text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");

const thousandthsOf = (sec: number) => Math.max(0, Math.round(sec * 1000));

/** "01:02:05.008" */
export function timestamp(sec: number): string {
  const ms = thousandthsOf(sec);
  const two = (value: number) => String(value).padStart(2, "0");
  const [h, m, s] = [Math.floor(ms / 3_600_000), Math.floor(ms / 60_000) % 60, Math.floor(ms / 1000) % 60];
  return `${two(h)}:${two(m)}:${two(s)}.${String(ms % 1000).padStart(3, "0")}`;
}
