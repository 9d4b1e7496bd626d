import { ALL_FORMATS, EncodedPacketSink, Input, UrlSource, type InputVideoTrack } from "mediabunny";
import { codecName } from "#core/film/codec-name";
import { createFrameIndex, type FrameIndex, type PacketTime } from "./frame-index.ts";
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
  };

/**
 * Why a film did not open.
 * - "unreachable": the address gives no file. "unreadable": not a container that can be read.
 * - "no-video": no picture in it. "codec": `codec` cannot be decoded here. "aborted": the signal said so.
 */
export type OpenFailure = {
  readonly ok: false;
  readonly reason: "unreachable" | "unreadable" | "no-video" | "codec" | "aborted";
  /** The codec as a person knows it, or null when it was not found out. */
  readonly codec: string | null;
  readonly message: string;
};

export type OpenOptions = {
  readonly signal?: AbortSignal;
  /** Memory for decoded frames; 256 MB holds 82 frames of 1080p. */
  readonly budgetBytes?: number;
  /** Called while the index is built, with the latest timestamp met. */
  readonly onIndexing?: (reachedSec: number) => void;
};

const defaultBudgetBytes = 256 * 1024 * 1024;

/** Opens a film over ranges, builds its index, and decodes its first frame as proof that it can be shown. */
export async function openFilm(
  url: string,
  options: OpenOptions = {},
): Promise<{ readonly ok: true; readonly film: FilmReader } | OpenFailure> {
  const { signal } = options;
  const input = new Input({
    formats: ALL_FORMATS,
    source: new UrlSource(url, { getRetryDelay: (attempts) => (attempts < 2 ? 0.2 : null) }),
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
    if (!(await reaches(url, signal))) return failed(unreachable);
    if (!(await input.canRead())) return failed(unreadable);
    const track = await input.getPrimaryVideoTrack();
    if (track === null) return failed(noVideo);
    codec = await nameOfCodec(track);
    if (!(await track.canDecode())) return failed(undecodable(codec));
    const index = await indexOf(track, options);
    if (index === null) return failed(noVideo);
    const source = await openFrameSource(track, index);
    const size = await firstFrameSize(source);
    if (size === null) return failed(undecodable(codec));
    const shower = createFrameShower({
      index,
      source,
      budgetBytes: options.budgetBytes ?? defaultBudgetBytes,
      ...size,
      onDispose: () => input.dispose(),
    });
    return { ok: true, film: Object.assign(shower, index, { url, codec, ...size }) };
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

const unreadable = { reason: "unreadable", codec: null, message: "This is not a film file that can be read." } as const;
const noVideo = { reason: "no-video", codec: null, message: "There is no picture in this file." } as const;

function undecodable(codec: string): Omit<OpenFailure, "ok"> {
  return { reason: "codec", codec, message: `This film is ${codec}, which cannot be shown here. Convert it first.` };
}

async function reaches(url: string, signal: AbortSignal | undefined): Promise<boolean> {
  try {
    const answer = await fetch(url, { method: "HEAD", ...(signal === undefined ? {} : { signal }) });
    return answer.ok;
  } catch {
    return false;
  }
}

async function nameOfCodec(track: InputVideoTrack): Promise<string> {
  const id = (await track.getCodec()) ?? (await track.getInternalCodecId());
  return codecName(typeof id === "string" ? id : null);
}

async function indexOf(track: InputVideoTrack, options: OpenOptions): Promise<FrameIndex | null> {
  const packets: PacketTime[] = [];
  const sink = new EncodedPacketSink(track);
  for await (const { timestamp, duration, type } of sink.packets(undefined, undefined, { metadataOnly: true })) {
    packets.push({ timestamp, duration, type });
    if (packets.length % 10_000 !== 0) continue;
    options.onIndexing?.(timestamp);
    // The packets of an index in memory come without a pause: let the window breathe.
    await new Promise((resolve) => setTimeout(resolve));
  }
  return createFrameIndex(packets);
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
