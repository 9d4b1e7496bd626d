import { open } from "node:fs/promises";

/** A container that the product's reader does not know, told by its first bytes. */
export type OldContainer = {
  readonly name: string;
  /** The file as the object of a sentence: "an AVI file". */
  readonly phrase: string;
  /** The picture's codec as the file calls it, or null where finding it would mean reading the container. */
  readonly codec: string | null;
};

const headBytes = 4096;

/** Recognises film containers of older cameras and recorders; null for everything else. Rejects when unreadable. */
export async function sniffOldContainer(path: string): Promise<OldContainer | null> {
  const file = await open(path, "r");
  try {
    const head = Buffer.alloc(headBytes);
    const { bytesRead } = await file.read(head, 0, headBytes, 0);
    return recognise(head.subarray(0, bytesRead));
  } finally {
    await file.close();
  }
}

function recognise(head: Buffer): OldContainer | null {
  const text = head.toString("latin1");
  if (text.startsWith("RIFF") && text.slice(8, 12) === "AVI ")
    return { name: "AVI", phrase: "an AVI file", codec: aviCodec(text) };
  // The header object of Windows Media (ASF), and the start code of a program stream's pack (ISO 13818-1).
  if (head.subarray(0, 8).toString("hex") === "3026b2758e66cf11")
    return { name: "Windows Media", phrase: "a Windows Media file", codec: null };
  if (head.subarray(0, 4).toString("hex") === "000001ba")
    return { name: "MPEG program stream", phrase: "an MPEG program stream", codec: null };
  if (text.startsWith("FLV\u0001")) return { name: "Flash video", phrase: "a Flash video file", codec: null };
  // The partition pack key of MXF (SMPTE ST 377-1), up to the version byte.
  if (head.subarray(0, 4).toString("hex") === "060e2b34") return { name: "MXF", phrase: "an MXF file", codec: null };
  return null;
}

/**
 * The four-character code in the stream format of the first picture stream: after the chunk "strf" that follows a
 * stream header of type "vids", 4 bytes of length, then BITMAPINFOHEADER with the code 16 bytes in.
 */
function aviCodec(text: string): string | null {
  const header = text.search(/strh[^]{4}vids/u);
  const format = header < 0 ? -1 : text.indexOf("strf", header);
  const code = format < 0 ? "" : text.slice(format + 24, format + 28);
  return /^[\x21-\x7e]{3,4}$/u.test(code.trim()) ? code.trim() : null;
}
