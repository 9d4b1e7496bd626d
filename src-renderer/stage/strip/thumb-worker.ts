/**
 * Small pictures of a film, apart from the window. Only key frames are decoded, each the last at or before the instant
 * that is asked for; one picture at a time, so that a new wish or a film that plays need wait for one alone.
 */
import { ALL_FORMATS, EncodedPacketSink, Input, UrlSource, type VideoSample, VideoSampleSink } from "mediabunny";
import { askAfterSec } from "../film/frame-index.ts";
import { type ThumbMessage, type ThumbRequest, thumbWidthPx } from "./thumb-messages.ts";

const say = (message: ThumbMessage): void => self.postMessage(message);

type Source = { readonly packets: EncodedPacketSink; readonly samples: VideoSampleSink };
let source: Promise<Source> | null = null;
let wanted: number[] = [];
let paused = false;
let running = false;
/** The key frame whose picture was made last: several instants may share it. */
let last: { readonly keySec: number; readonly picture: Blob } | null = null;

self.addEventListener("message", ({ data }: MessageEvent<ThumbRequest>) => {
  switch (data.kind) {
    case "open":
      source = open(data.url);
      break;
    case "want":
      wanted = [...data.timesSec];
      break;
    case "pause":
      paused = data.paused;
      break;
  }
  void run();
});

async function open(url: string): Promise<Source> {
  const input = new Input({ formats: ALL_FORMATS, source: new UrlSource(url) });
  const track = await input.getPrimaryVideoTrack();
  if (track === null) throw new Error("no picture");
  return { packets: new EncodedPacketSink(track), samples: new VideoSampleSink(track) };
}

async function run(): Promise<void> {
  if (running || source === null) return;
  running = true;
  try {
    const { packets, samples } = await source;
    while (!paused) {
      const timeSec = wanted.shift();
      if (timeSec === undefined) break;
      const picture = await pictureAt(packets, samples, timeSec).catch(() => null);
      say(picture ? { kind: "made", timeSec, picture } : { kind: "none", timeSec });
    }
  } catch {
    say({ kind: "none", timeSec: null });
  } finally {
    running = false;
  }
}

async function pictureAt(packets: EncodedPacketSink, samples: VideoSampleSink, timeSec: number): Promise<Blob | null> {
  const key = (await packets.getKeyPacket(timeSec + askAfterSec)) ?? (await packets.getFirstPacket());
  if (!key) return null;
  if (last?.keySec === key.timestamp) return last.picture;
  // A key frame that an edit list hides is only where decoding starts.
  const sample =
    key.timestamp < -askAfterSec ? await firstShown(samples) : await samples.getSample(key.timestamp + askAfterSec);
  if (!sample) return null;
  try {
    const height = Math.max(1, Math.round((thumbWidthPx * sample.displayHeight) / sample.displayWidth));
    const canvas = new OffscreenCanvas(thumbWidthPx, height);
    const context = canvas.getContext("2d");
    if (!context) return null;
    sample.draw(context, 0, 0, thumbWidthPx, height);
    const picture = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.7 });
    last = { keySec: key.timestamp, picture };
    return picture;
  } finally {
    sample.close();
  }
}

async function firstShown(samples: VideoSampleSink): Promise<VideoSample | null> {
  for await (const sample of samples.samples(0)) {
    // Leaving the loop may close what it gave out.
    const kept = sample.clone();
    sample.close();
    if (kept.timestamp >= -askAfterSec) return kept;
    kept.close();
  }
  return null;
}
