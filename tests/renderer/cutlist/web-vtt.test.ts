/**
 * The browser carries a WebVTT parser of its own, written to the same recommendation (https://www.w3.org/TR/webvtt1/):
 * whatever files hold, it and ours read the same cues.
 */
import fc from "fast-check";
import { expect, test } from "vitest";
import { readWebVtt, writeWebVtt } from "#core/cutlist/web-vtt";

type Plain = { readonly id: string; readonly startSec: number; readonly endSec: number; readonly payload: string };

/** Null where the browser refuses the file. */
async function asBrowserReads(text: string): Promise<Plain[] | null> {
  const video = document.createElement("video");
  const track = document.createElement("track");
  track.kind = "metadata";
  track.src = URL.createObjectURL(new Blob([text], { type: "text/vtt" }));
  video.append(track);
  document.body.append(video);
  const isRead = await new Promise<boolean>((done) => {
    track.addEventListener("load", () => done(true));
    track.addEventListener("error", () => done(false));
    track.track.mode = "hidden";
  });
  const cues = [...(track.track.cues ?? [])] as VTTCue[];
  URL.revokeObjectURL(track.src);
  video.remove();
  return isRead
    ? cues.map(({ id, startTime, endTime, text: payload }) => ({ id, startSec: startTime, endSec: endTime, payload }))
    : null;
}

/** The browser keeps cues by time, and of one time by what ends last. */
function asWeRead(text: string): Plain[] | null {
  const read = readWebVtt(text);
  if (!read.ok) return null;
  return read.cues
    .map(({ id, startSec, endSec, payload }) => ({ id, startSec, endSec, payload }))
    .toSorted((a, b) => a.startSec - b.startSec || b.endSec - a.endSec);
}

const line = fc.constantFrom(
  "",
  "",
  "",
  "00:01.000 --> 00:02.000",
  "00:03.500-->00:04.000",
  "0:00:05.000 --> 100:00:06.000 align:start position:10%",
  "\t00:07.000 \t-->\f00:08.000line:1",
  "00:60.000 --> 01:00.000",
  "00:01.00 --> 00:02.000",
  "00:09.000 --> ",
  "-->",
  "--> 00:01.000",
  "an id",
  "7",
  "NOTE",
  "NOTE of something",
  "REGION",
  "id:here",
  "<b>text</b> &amp; more",
  "text -- > text",
  " ",
  "WEBVTT",
);
const head = fc.constantFrom(
  "WEBVTT",
  "WEBVTT",
  "WEBVTT",
  "WEBVTT title",
  "WEBVTT\tx",
  "\uFEFFWEBVTT",
  "WEBVTTX",
  "webvtt",
  "",
);
const file = fc
  .tuple(head, fc.array(line, { maxLength: 14 }), fc.constantFrom("\n", "\r\n", "\r"), fc.boolean())
  .map(([first, lines, end, isEnded]) => [first, ...lines].join(end) + (isEnded ? end : ""));

test("2,000 files of all sorts of lines: the same cues, or none by both", async () => {
  let read = 0;
  let refused = 0;
  let parted = 0;
  await fc.assert(
    fc.asyncProperty(file, async (text) => {
      const [ours, theirs] = [asWeRead(text), await asBrowserReads(text)];
      // Where no empty line parts a cue from a text before it, the browser takes the text's last line for its id; by the
      // recommendation's steps it has none.
      const isParted = !/[^\r\n](?:\r\n|\r|\n)[^\r\n]+(?:\r\n|\r|\n)[^\r\n]*-->/u.test(text);
      const said = (cues: Plain[] | null) => cues?.map((cue) => (isParted ? cue : { ...cue, id: "" })) ?? null;
      expect(said(ours)).toEqual(said(theirs));
      parted += isParted ? 1 : 0;
      read += ours?.length ?? 0;
      refused += ours === null ? 1 : 0;
    }),
    { numRuns: 2000, seed: 21 },
  );
  expect(read).toBeGreaterThan(1000);
  expect(refused).toBeGreaterThan(100);
  expect(parted).toBeGreaterThan(500);
}, 120_000);

test("what we write, the browser reads to the millisecond", async () => {
  const written = writeWebVtt("note", [
    { id: "play 1", startSec: 0, endSec: 5.2, text: 'Play 1: First and 16\n{"film":"<A> & --> B"}' },
    { id: "play 2", startSec: 3725.0079, endSec: 3725.0079, text: "\n\nno length" },
  ]);
  expect(await asBrowserReads(written)).toEqual([
    { id: "play 1", startSec: 0, endSec: 5.2, payload: 'Play 1: First and 16\n{"film":"&lt;A&gt; &amp; --&gt; B"}' },
    { id: "play 2", startSec: 3725.008, endSec: 3725.009, payload: "no length" },
  ]);
});
