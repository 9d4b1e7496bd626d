/**
 * Small pictures of a film, apart from the window. Pictures of the strip are key frames, each the last at or before the
 * instant that is asked for; the frame under the pointer is the very one. One picture at a time, so that a new wish
 * need wait for one alone, and a film that plays for none: the decoding of a long group of pictures is broken off.
 */
import { ALL_FORMATS, EncodedPacketSink, Input, UrlSource, type VideoSample, VideoSampleSink } from "mediabunny";
import { askAfterSec } from "../film/frame-index.ts";
import { mostReadBytes } from "../film/film-reader.ts";
import { lookWidthPx, type ThumbHold, type ThumbMessage, type ThumbRequest, thumbWidthPx } from "./thumb-messages.ts";

const say = (message: ThumbMessage): void => self.postMessage(message);

type Source = { readonly packets: EncodedPacketSink; readonly samples: VideoSampleSink };
/** Key frames whose pictures are held: several instants of a strip may share one. */
const mostKeysHeld = 200;

let source: Promise<Source> | null = null;
let wanted: number[] = [];
let rest: number[] = [];
let look: number | null = null;
let hold: ThumbHold = "nothing";
let running = false;
let breakOff: (() => void) | null = null;
const byKey = new Map<number, Blob>();
const made = new Set<number>();

self.addEventListener("message", ({ data }: MessageEvent<ThumbRequest>) => {
  switch (data.kind) {
    case "open":
      source = open(data.url);
      break;
    case "want":
      wanted = [...data.timesSec];
      break;
    case "rest":
      rest = [...data.timesSec];
      break;
    case "look":
      look = data.timeSec;
      breakOff?.();
      break;
    case "hold":
      hold = data.hold;
      if (hold === "all") breakOff?.();
      break;
  }
  void run();
});

async function open(url: string): Promise<Source> {
  const input = new Input({ formats: ALL_FORMATS, source: new UrlSource(url, { maxCacheSize: mostReadBytes }) });
  const track = await input.getPrimaryVideoTrack();
  if (track === null) throw new Error("no picture");
  return { packets: new EncodedPacketSink(track), samples: new VideoSampleSink(track) };
}

async function run(): Promise<void> {
  if (running || source === null) return;
  running = true;
  try {
    const opened = await source;
    while (hold !== "all") {
      if (look !== null) {
        const timeSec = look;
        look = null;
        const picture = await frameAt(opened, timeSec).catch(() => null);
        if (picture) say({ kind: "looked", timeSec, picture });
        continue;
      }
      const timeSec = wanted.shift();
      if (timeSec === undefined) {
        rest = rest.filter((one) => !made.has(one));
        if (hold !== "nothing" || rest.length === 0) break;
        await makeRest(opened);
        continue;
      }
      tell(timeSec, await keyPictureAt(opened, timeSec).catch(() => null));
    }
  } catch {
    say({ kind: "none", timeSec: null });
  } finally {
    running = false;
  }
}

/** What came into view in the meantime is made already. */
function nextOfRest(): number | undefined {
  rest = rest.filter((timeSec) => !made.has(timeSec));
  return rest.shift();
}

/**
 * Pictures of the rest by one decoder, until something else is wanted: a decoder for each would cost more than its picture, and what it
 * held stays with the browser.
 */
async function makeRest({ packets, samples }: Source): Promise<void> {
  const isDue = () => hold === "nothing" && look === null && wanted.length === 0;
  /** The next that has to be decoded; those on the way that are held, or are decoded from a frame that is not shown, are made by themselves. */
  const next = async () => {
    while (isDue()) {
      const timeSec = nextOfRest();
      if (timeSec === undefined) return null;
      const key = await packets.getKeyPacket(timeSec + askAfterSec, { metadataOnly: true }).catch(() => null);
      if (key && key.timestamp >= -askAfterSec && !byKey.has(key.timestamp)) return { timeSec, keySec: key.timestamp };
      tell(timeSec, await keyPictureAt({ packets, samples }, timeSec).catch(() => null));
    }
    return null;
  };
  const asked: { readonly timeSec: number; readonly keySec: number }[] = [];
  const first = await next();
  // The library waits for ever where it is asked for nothing.
  if (!first) return;
  async function* keys(): AsyncGenerator<number> {
    for (let one = first; one; one = await next()) {
      asked.push(one);
      yield one.keySec + askAfterSec;
    }
  }
  const decoding = samples.samplesAtTimestamps(keys());
  breakOff = () => void decoding.return();
  try {
    for await (const sample of decoding) {
      const one = asked.shift();
      if (!one) {
        sample?.close();
        continue;
      }
      const picture = sample && (await drawn(sample, thumbWidthPx).catch(() => null));
      if (picture) keepKey(one.keySec, picture);
      tell(one.timeSec, picture);
    }
  } catch {
    // The film cannot be read here: each is tried, and told of, by itself.
    for (const { timeSec } of asked.splice(0))
      tell(timeSec, await keyPictureAt({ packets, samples }, timeSec).catch(() => null));
  } finally {
    breakOff = null;
    // What was asked for and not made is still wanted.
    rest.unshift(...asked.map(({ timeSec }) => timeSec));
  }
}

function tell(timeSec: number, picture: Blob | null): void {
  made.add(timeSec);
  say(picture ? { kind: "made", timeSec, picture } : { kind: "none", timeSec });
}

function keepKey(keySec: number, picture: Blob): void {
  byKey.set(keySec, picture);
  for (const oldest of byKey.keys()) {
    if (byKey.size <= mostKeysHeld) break;
    byKey.delete(oldest);
  }
}

async function keyPictureAt({ packets, samples }: Source, timeSec: number): Promise<Blob | null> {
  const only = { metadataOnly: true };
  const key = (await packets.getKeyPacket(timeSec + askAfterSec, only)) ?? (await packets.getFirstPacket(only));
  if (!key) return null;
  const held = byKey.get(key.timestamp);
  if (held) return held;
  // A key frame that an edit list hides is only where decoding starts.
  const sample =
    key.timestamp < -askAfterSec ? await frameFrom(samples, 0) : await samples.getSample(key.timestamp + askAfterSec);
  if (!sample) return null;
  const picture = await drawn(sample, thumbWidthPx);
  if (picture === null) return null;
  keepKey(key.timestamp, picture);
  return picture;
}

/** Null when it was broken off: something else is looked at, or the film plays. */
async function frameAt({ packets, samples }: Source, timeSec: number): Promise<Blob | null> {
  const first = await packets.getFirstPacket({ metadataOnly: true });
  const sample = await frameFrom(samples, Math.max(timeSec, first?.timestamp ?? 0));
  return sample && drawn(sample, lookWidthPx);
}

/** The frame shown at an instant, decoded from the key frame before it, by a decoder that `breakOff` ends at once. */
async function frameFrom(samples: VideoSampleSink, timeSec: number): Promise<VideoSample | null> {
  const decoding = samples.samples(Math.max(0, timeSec) + askAfterSec);
  let isOff = false;
  breakOff = () => {
    isOff = true;
    void decoding.return();
  };
  try {
    for (;;) {
      const next = await decoding.next();
      if (next.done === true) return null;
      // Ending the decoding may close what it gave out.
      const kept = next.value.clone();
      next.value.close();
      if (!isOff && kept.timestamp >= -askAfterSec) return kept;
      kept.close();
      if (isOff) return null;
    }
  } finally {
    breakOff = null;
    void decoding.return();
  }
}

/** A JPEG of this width; closes the sample. */
async function drawn(sample: VideoSample, widthPx: number): Promise<Blob | null> {
  try {
    const heightPx = Math.max(1, Math.round((widthPx * sample.displayHeight) / sample.displayWidth));
    const canvas = new OffscreenCanvas(widthPx, heightPx);
    const context = canvas.getContext("2d");
    if (!context) return null;
    await drawSmall(sample, context, widthPx, heightPx);
    return await canvas.convertToBlob({ type: "image/jpeg", quality: 0.7 });
  } finally {
    sample.close();
  }
}

/** Room for the pixels of one frame, kept from picture to picture. */
let pixels = new Uint8ClampedArray(0);

/**
 * A frame that is drawn stays with the browser in its full size, for it may be drawn again: half a gigabyte after the
 * strip of a long film. Pixels that were copied out and made small leave nothing behind.
 */
async function drawSmall(
  sample: VideoSample,
  context: OffscreenCanvasRenderingContext2D,
  widthPx: number,
  heightPx: number,
): Promise<void> {
  if (sample.rotation !== 0) {
    sample.draw(context, 0, 0, widthPx, heightPx);
    return;
  }
  const frame = sample.toVideoFrame();
  try {
    const rgba = { format: "RGBA" } as const;
    const size = frame.allocationSize(rgba);
    if (pixels.length !== size) pixels = new Uint8ClampedArray(size);
    await frame.copyTo(pixels, rgba);
    const { width, height } = frame.visibleRect ?? { width: frame.codedWidth, height: frame.codedHeight };
    const small = await createImageBitmap(new ImageData(pixels, width, height), {
      resizeWidth: widthPx,
      resizeHeight: heightPx,
      resizeQuality: "medium",
    });
    context.drawImage(small, 0, 0);
    small.close();
  } finally {
    frame.close();
  }
}
