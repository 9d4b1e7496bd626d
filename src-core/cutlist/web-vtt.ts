/**
 * WebVTT by the W3C recommendation (https://www.w3.org/TR/webvtt1/, sections 4 and 6.1 to 6.3): what a cut list needs of
 * it. Reading forgives what the standard's parser forgives: a byte order mark, any line ends, comments, styles, regions,
 * settings and hours left out; a cue whose times cannot be read is left out, and named.
 */
export type Cue = {
  readonly id: string;
  readonly startSec: number;
  readonly endSec: number;
  readonly text: string;
};

export type ReadCues =
  | { readonly ok: true; readonly cues: readonly Cue[]; readonly leftOut: readonly { line: number; reason: string }[] }
  | { readonly ok: false; readonly line: number; readonly reason: string };

const timings = /^\s*((?:\d{2,}:)?[0-5]\d:[0-5]\d\.\d{3})\s*-->\s*((?:\d{2,}:)?[0-5]\d:[0-5]\d\.\d{3})(?:\s.*)?$/u;

export function readWebVtt(file: string): ReadCues {
  const text = file
    .replace(/^\uFEFF/u, "")
    .replaceAll("\0", "\uFFFD")
    .replaceAll("\r\n", "\n")
    .replaceAll("\r", "\n");
  const lines = text.split("\n");
  if (!/^WEBVTT(?:[ \t].*)?$/u.test(lines[0] ?? ""))
    return { ok: false, line: 1, reason: "A WebVTT file begins with the word WEBVTT on a line of its own." };
  const cues: Cue[] = [];
  const leftOut: { line: number; reason: string }[] = [];
  let at = 1;
  while (at < lines.length && lines[at] !== "" && !lines[at]!.includes("-->")) at++;
  while (at < lines.length) {
    if (lines[at] === "") {
      at++;
      continue;
    }
    let id = "";
    let first = lines[at]!;
    if (!first.includes("-->")) {
      // An id, or the head of a comment, a style or a region.
      id = first;
      const next = lines[at + 1];
      if (next === undefined || next === "" || !next.includes("-->") || /^NOTE(?:[ \t]|$)/u.test(first)) {
        while (at < lines.length && lines[at] !== "" && (at === 0 || !lines[at]!.includes("-->"))) at++;
        if (/^NOTE(?:[ \t]|$)/u.test(first)) while (at < lines.length && lines[at] !== "") at++;
        continue;
      }
      at++;
      first = next;
    }
    const found = timings.exec(first);
    const line = at + 1;
    at++;
    const body: string[] = [];
    while (at < lines.length && lines[at] !== "" && !lines[at]!.includes("-->")) body.push(lines[at++]!);
    const [startSec, endSec] = [secondsOf(found?.[1]), secondsOf(found?.[2])];
    if (startSec === null || endSec === null)
      leftOut.push({ line, reason: `The times cannot be read: ${first.trim()}` });
    else cues.push({ id, startSec, endSec, text: body.map(unescaped).join("\n") });
  }
  return { ok: true, cues, leftOut };
}

export function writeWebVtt(note: string, cues: readonly Cue[]): string {
  const comment = note === "" ? [] : [`NOTE ${escaped(note).replaceAll("\n", " ")}\n`];
  const blocks = cues.map(
    ({ id, startSec, endSec, text }) =>
      `${oneLine(id)}\n${timestamp(startSec)} --> ${timestamp(endSec)}\n${body(text)}\n`,
  );
  return ["WEBVTT\n", ...comment, ...blocks].join("\n");
}

/** No empty line may stand in a cue, which would end it. */
const body = (text: string) =>
  text
    .split("\n")
    .map((line) => escaped(line))
    .filter((line) => line !== "")
    .join("\n");
const oneLine = (text: string) => text.replaceAll(/[\r\n]+/gu, " ").replaceAll("-->", "→");
const escaped = (text: string) => text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
const entities: Record<string, string> = { amp: "&", lt: "<", gt: ">", nbsp: "\u00A0", lrm: "\u200E", rlm: "\u200F" };
const unescaped = (text: string) =>
  text.replaceAll(/&(amp|lt|gt|nbsp|lrm|rlm);/gu, (_, name: string) => entities[name] ?? "");

function secondsOf(stamp: string | undefined): number | null {
  if (stamp === undefined) return null;
  const parts = stamp.split(":").map(Number);
  return parts.reduce((sum, part) => sum * 60 + part, 0);
}

export function timestamp(sec: number): string {
  const ms = Math.max(0, Math.round(sec * 1000));
  const two = (value: number) => String(value).padStart(2, "0");
  const [h, m, s] = [Math.floor(ms / 3_600_000), Math.floor(ms / 60_000) % 60, Math.floor(ms / 1000) % 60];
  return `${two(h)}:${two(m)}:${two(s)}.${String(ms % 1000).padStart(3, "0")}`;
}
