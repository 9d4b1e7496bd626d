import { VideoSampleSink, type InputVideoTrack, type VideoSample } from "mediabunny";
import { askAfterSec, type FrameIndex } from "./frame-index.ts";

/** A decoded frame and which one it is. Whoever holds it closes the sample. */
export type DecodedFrame = { readonly frameIndex: number; readonly sample: VideoSample };

/**
 * Decoding from one frame on, in the order of showing. `next` gives null at the film's end and after `stop`. `stop`
 * frees the decoder and everything decoded but not yet taken; a pending `next` then gives null.
 */
export type DecodeRun = {
  readonly firstIndex: number;
  next(): Promise<DecodedFrame | null>;
  stop(): void;
};

export type FrameSource = {
  run(firstIndex: number): DecodeRun;
  /** How many frames may be held undecoded at once, beyond any budget of bytes. */
  readonly heldFramesLimit: number;
};

/**
 * Decoded frames of a track by the exact packet timestamps.
 *
 * Software decoding is asked for where the codec has it: frames of a hardware decoder come from a small fixed pool, and
 * holding a window of them stops the decoder. Where only hardware decodes (HEVC), few frames are held instead.
 */
export async function openFrameSource(track: InputVideoTrack, index: FrameIndex): Promise<FrameSource> {
  const config = await track.getDecoderConfig();
  const inSoftware = config !== null && (await decodesInSoftware(config));
  const sink = new VideoSampleSink(track, inSoftware ? { hardwareAcceleration: "prefer-software" } : undefined);
  return {
    heldFramesLimit: inSoftware ? Infinity : 6,
    run: (firstIndex) => startRun(sink, index, firstIndex),
  };
}

async function decodesInSoftware(config: VideoDecoderConfig): Promise<boolean> {
  try {
    const answer = await VideoDecoder.isConfigSupported({ ...config, hardwareAcceleration: "prefer-software" });
    return answer.supported === true;
  } catch {
    return false;
  }
}

function startRun(sink: VideoSampleSink, index: FrameIndex, firstIndex: number): DecodeRun {
  const samples = sink.samples(index.timeOf(firstIndex) + askAfterSec);
  let stopped = false;
  let lastIndex = -1;
  return {
    firstIndex,
    async next() {
      while (!stopped) {
        const result = await samples.next();
        if (result.done === true) return null;
        const sample = result.value;
        const frameIndex = index.frameAt(sample.timestamp);
        // The second packet of a timestamp is no frame of its own, and one hidden by an edit list is none at all.
        if (stopped || sample.timestamp < -askAfterSec || frameIndex <= lastIndex) {
          sample.close();
          continue;
        }
        const isFirst = lastIndex === -1;
        lastIndex = frameIndex;
        if (!isFirst) return { frameIndex, sample };
        // The library still closes the first sample of a run on `return` when nothing followed it: keep a reference.
        const kept = sample.clone();
        sample.close();
        return { frameIndex, sample: kept };
      }
      return null;
    },
    stop() {
      if (stopped) return;
      stopped = true;
      void samples.return();
    },
  };
}
