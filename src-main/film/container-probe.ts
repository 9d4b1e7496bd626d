import { ALL_FORMATS, EncodedPacketSink, FilePathSource, Input, MPEG_TS, type InputVideoTrack } from "mediabunny";
import { codecName } from "#core/film/codec-name";
import type { FilmProbe } from "../service/film-tools.ts";
import { convertCommand, remuxCommand } from "./conversion-command.ts";
import { sniffOldContainer } from "./old-container.ts";

/** Codecs that the window decodes on every machine; others depend on the machine or cannot be decoded. */
const playable = new Set(["avc", "vp8", "vp9", "av1"]);

/** Looks at a film's container, its metadata only. Rejects with the file system's own error when it cannot be read. */
export async function probeContainer(path: string): Promise<FilmProbe> {
  const old = await sniffOldContainer(path);
  if (old !== null) {
    const inside = old.codec === null ? "" : ` with ${codecName(old.codec)}`;
    const codec = old.codec === null ? old.name : codecName(old.codec);
    return refusal(path, codec, `This is ${old.phrase}${inside}, which cannot be shown here.`);
  }
  const input = new Input({ formats: ALL_FORMATS, source: new FilePathSource(path) });
  try {
    if (!(await input.canRead())) {
      return { ok: false, sentence: "This is not a film file that can be read.", codec: null, command: null };
    }
    const track = await input.getPrimaryVideoTrack();
    if (track === null) return { ok: false, sentence: "There is no picture in this file.", codec: null, command: null };
    const codec = await codecOf(track);
    const name = codecName(codec);
    if (codec === null || !playable.has(codec)) {
      return refusal(path, name, `This film is ${name}, which cannot be shown here.`);
    }
    if ((await input.getFormat()) === MPEG_TS) {
      return {
        ok: false,
        sentence: `This film is ${name} in a transport stream, which a window cannot play. Its picture fits as it is: put it into an MP4 file without loss with the command below, then attach that.`,
        codec: name,
        command: remuxCommand(path),
      };
    }
    const [widthPx, heightPx] = [await track.getDisplayWidth(), await track.getDisplayHeight()];
    const durationSec = await track.computeDuration();
    if (!(widthPx > 0 && heightPx > 0 && durationSec > 0)) {
      return {
        ok: false,
        sentence: "This film holds no frames: it may have been cut off while it was copied.",
        codec: name,
        command: null,
      };
    }
    if (await isCutOff(track)) {
      return {
        ok: false,
        sentence:
          "This film's file ends before the frames that it lists. Copy it again from where it came from; where this is all there is, the command below saves what can be shown.",
        codec: name,
        command: remuxCommand(path),
      };
    }
    return { ok: true, facts: { widthPx, heightPx, durationSec, codec: name } };
  } catch (error) {
    if (isFileSystemError(error)) throw error;
    return {
      ok: false,
      sentence:
        "This film's container is damaged or cut off, so its frames cannot be found. Copy the file again from where it came from.",
      codec: null,
      command: null,
    };
  } finally {
    input.dispose();
  }
}

/** Whether the data of the last frame that the container lists lies beyond the file's end, as after a broken copy. */
async function isCutOff(track: InputVideoTrack): Promise<boolean> {
  return (await new EncodedPacketSink(track).getPacket(Infinity)) === null;
}

async function codecOf(track: InputVideoTrack): Promise<string | null> {
  const id = (await track.getCodec()) ?? (await track.getInternalCodecId());
  return typeof id === "string" ? id : null;
}

function refusal(path: string, codec: string, sentence: string): FilmProbe {
  return {
    ok: false,
    sentence: `${sentence} Convert it with the command below, then attach the new file.`,
    codec,
    command: convertCommand(path),
  };
}

function isFileSystemError(error: unknown): boolean {
  return error instanceof Error && "syscall" in error;
}
