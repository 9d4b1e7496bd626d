import { ALL_FORMATS, EncodedPacketSink, Input, UrlSource, type InputVideoTrack } from "mediabunny";
import { codecName } from "#core/film/codec-name";
import { askAfterSec, createFrameIndex, type FrameIndex, type PacketTime } from "./frame-index.ts";
import { createFrameShower, type FrameShower } from "./frame-shower.ts";
import { openFrameSource, type FrameSource } from "./frame-source.ts";

/** An open film: its frames by index, each the exact one. Everything it holds is freed by `dispose`. */
export type FilmReader = FrameIndex &
  FrameShower & {
    readonly url: string;
    /** Displayed size of a frame, after rotation and pixel aspect. */
    readonly widthPx: number;
    readonly heightPx: number;
    /** The codec as a person knows it. */
    readonly codec: string;
    /**
     * Some key frames of the container lean on frames before them (an open GOP). Decoding from the last whole key frame
     * is exact all the same; the browser's own player may die on a seek to such a frame.
     */
    readonly hasOpenGops: boolean;
  };

/**
 * Why a film did not open.
 * - "unreachable": the address gives no file. "changed": it gives another film's. "unreadable": no container known.
 * - "no-video": no picture in it. "codec": `codec` cannot be decoded here. "aborted": the signal said so.
 */
export type OpenFailure = {
  readonly ok: false;
  readonly reason: "unreachable" | "changed" | "unreadable" | "no-video" | "codec" | "aborted";
  /** The codec as a person knows it, or null when it was not found out. */
  readonly codec: string | null;
  readonly message: string;
};

export type OpenOptions = {
  readonly signal?: AbortSignal;
  /** Memory for decoded frames; left out, that of a hundred, and 256 MiB at most: 86 of 1080p. */
  readonly budgetBytes?: number;
  /** Called while the index is built, with the latest timestamp met. */
  readonly onIndexing?: (reachedSec: number) => void;
};

const defaultBudgetBytes = 256 * 1024 * 1024;
/** Three seconds are enough to step through, however small the frames are; their colours have half the size each way. */
const mostFrames = 100;
const bytesPerPixel = 1.5;
/** Of the file's own bytes: they come from this machine, and are soon read again. The library would keep 64 MiB a reader. */
export const mostReadBytes = 16 * 1024 * 1024;
const sampledKeys = 4;

/** An open film's index and decoder, for whoever shows it or reads its pictures. */
export type FilmFrames = {
  readonly index: FrameIndex;
  readonly source: FrameSource;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly codec: string;
  readonly hasOpenGops: boolean;
  readonly dispose: () => void;
};

/** Opens a film to be shown. */
export async function openFilm(
  url: string,
  options: OpenOptions = {},
): Promise<{ readonly ok: true; readonly film: FilmReader } | OpenFailure> {
  const opened = await openFrames(url, options);
  if (!opened.ok) return opened;
  const { index, source, dispose, widthPx, heightPx, codec, hasOpenGops } = opened.frames;
  const size = { widthPx, heightPx };
  const ofFrames = mostFrames * widthPx * heightPx * bytesPerPixel;
  const budgetBytes = options.budgetBytes ?? Math.min(defaultBudgetBytes, ofFrames);
  const shower = createFrameShower({ index, source, budgetBytes, ...size, onDispose: dispose });
  return { ok: true, film: Object.assign(shower, index, { url, codec, hasOpenGops, ...size }) };
}

/** Opens a film over ranges, builds its index, and decodes its first frame as proof that it can be shown. */
export async function openFrames(
  url: string,
  options: Omit<OpenOptions, "budgetBytes"> = {},
): Promise<{ readonly ok: true; readonly frames: FilmFrames } | OpenFailure> {
  const { signal } = options;
  const input = new Input({
    formats: ALL_FORMATS,
    source: new UrlSource(url, {
      maxCacheSize: mostReadBytes,
      getRetryDelay: (attempts) => (attempts < 2 ? 0.2 : null),
      // Reading ahead failed, and nobody waits for it: the read that does will fail, or find the film again.
      handleUnhandledError: () => undefined,
    }),
  });
  const onAbort = (): void => input.dispose();
  signal?.addEventListener("abort", onAbort);
  const failed = (failure: Omit<OpenFailure, "ok">): OpenFailure => {
    input.dispose();
    if (signal?.aborted === true) return { ok: false, reason: "aborted", codec: null, message: "Given up." };
    return { ok: false, ...failure };
  };
  let codec: string | null = null;
  try {
    if (signal?.aborted === true) return failed(unreadable);
    const found = await whatLiesAt(url, signal);
    if (found !== "film") return failed(found === "changed" ? changed : unreachable);
    if (!(await input.canRead())) return failed(unreadable);
    const track = await input.getPrimaryVideoTrack();
    if (track === null) return failed(noVideo);
    codec = await nameOfCodec(track);
    if (!(await track.canDecode())) return failed(undecodable(codec));
    const { index, hasOpenGops } = await readIndex(track, options);
    if (index === null) return failed(noVideo);
    const source = explaining(await openFrameSource(track, index), url);
    const size = await firstFrameSize(source);
    if (size === null) return failed(undecodable(codec));
    return { ok: true, frames: { index, source, codec, hasOpenGops, ...size, dispose: () => input.dispose() } };
  } catch (error) {
    if (codec !== null) return failed(undecodable(codec));
    return failed({ ...unreadable, message: `${unreadable.message} (${describe(error)})` });
  } finally {
    signal?.removeEventListener("abort", onAbort);
  }
}

const unreachable = {
  reason: "unreachable",
  codec: null,
  message: "The film's file is no longer where it was. Say where it is now.",
} as const;

const changed = {
  reason: "changed",
  codec: null,
  message: "The film's file has another content now than when it was attached. Find the film itself again.",
} as const;

const unreadable = { reason: "unreadable", codec: null, message: "This is not a film file that can be read." } as const;
const noVideo = { reason: "no-video", codec: null, message: "There is no picture in this file." } as const;

function undecodable(codec: string): Omit<OpenFailure, "ok"> {
  return { reason: "codec", codec, message: `This film is ${codec}, which cannot be shown here. Convert it first.` };
}

/** A source whose failures are sentences: the file is gone, or it is there and the decoder stumbled over it. */
function explaining(source: FrameSource, url: string): FrameSource {
  return {
    heldFramesLimit: source.heldFramesLimit,
    run(firstIndex) {
      const run = source.run(firstIndex);
      return {
        ...run,
        next: () =>
          run.next().catch(async (error: unknown) => {
            const found = await whatLiesAt(url, undefined);
            if (found !== "film")
              throw new Error((found === "changed" ? changed : unreachable).message, { cause: error });
            throw new Error(`The film's file is damaged here, or does not hold still. (${describe(error)})`, {
              cause: error,
            });
          }),
      };
    },
  };
}

/** The service refuses by 409 a file whose content is no longer that of the film. */
async function whatLiesAt(url: string, signal: AbortSignal | undefined): Promise<"film" | "changed" | "nothing"> {
  try {
    const answer = await fetch(url, { method: "HEAD", ...(signal === undefined ? {} : { signal }) });
    return answer.ok ? "film" : answer.status === 409 ? "changed" : "nothing";
  } catch {
    return "nothing";
  }
}

async function nameOfCodec(track: InputVideoTrack): Promise<string> {
  const id = (await track.getCodec()) ?? (await track.getInternalCodecId());
  return codecName(typeof id === "string" ? id : null);
}

async function readIndex(
  track: InputVideoTrack,
  options: OpenOptions,
): Promise<{ readonly index: FrameIndex | null; readonly hasOpenGops: boolean }> {
  const packets: PacketTime[] = [];
  const sink = new EncodedPacketSink(track);
  const only = { metadataOnly: true };
  // Packet by packet: the library's own iterator reads ahead by a queue that grows slow over a long film.
  for (let packet = await sink.getFirstPacket(only); packet !== null; packet = await sink.getNextPacket(packet, only)) {
    const { timestamp, duration, type } = packet;
    packets.push({ timestamp, duration, type });
    if (packets.length % 10_000 !== 0) continue;
    options.onIndexing?.(timestamp);
    // The packets of an index in memory come without a pause: let the window breathe.
    await new Promise((resolve) => setTimeout(resolve));
  }
  const keys = packets.filter((packet) => packet.type === "key");
  const hasOpenGops = await findsOpenGop(track, sink, keys);
  const [firstKey] = keys;
  // Decoding starts at whole key frames only. Which of them are whole would take reading them all: count on the first.
  const trusted = hasOpenGops
    ? packets.map((p): PacketTime => (p === firstKey ? p : { ...p, type: "delta" }))
    : packets;
  return { index: createFrameIndex(trusted), hasOpenGops };
}

/** Looks into the data of a few key packets spread over the film: an encoder makes them all in one way. */
async function findsOpenGop(
  track: InputVideoTrack,
  sink: EncodedPacketSink,
  keys: readonly PacketTime[],
): Promise<boolean> {
  for (let sample = 1; sample <= sampledKeys; sample++) {
    const key = keys[Math.floor((keys.length * sample) / (sampledKeys + 1))];
    const packet = key === undefined ? null : await sink.getKeyPacket(key.timestamp + askAfterSec);
    if (packet !== null && (await track.determinePacketType(packet)) === "delta") return true;
  }
  return false;
}

async function firstFrameSize(source: FrameSource): Promise<{ widthPx: number; heightPx: number } | null> {
  const run = source.run(0);
  try {
    const frame = await run.next();
    if (frame === null) return null;
    const { displayWidth: widthPx, displayHeight: heightPx } = frame.sample;
    frame.sample.close();
    return widthPx > 0 && heightPx > 0 ? { widthPx, heightPx } : null;
  } finally {
    run.stop();
  }
}

function describe(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
