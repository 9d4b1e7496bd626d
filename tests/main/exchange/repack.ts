import { unzipSync } from "fflate";
import { manifestName } from "#core/exchange/packet";
import { sha256Of, zipped } from "../../../src-main/exchange/packet-file.ts";

export type Parts = Map<string, string>;

/** The bytes of a packet with its files edited, and a manifest that agrees with them unless it is edited itself. */
export function repacked(
  bytes: Uint8Array,
  edit: (parts: Parts) => void,
  editManifest: (manifest: Record<string, unknown>) => void = () => {},
): Buffer {
  const files = unzipSync(bytes);
  const parts: Parts = new Map(
    Object.entries(files).map(([name, content]) => [name, Buffer.from(content).toString("utf8")]),
  );
  const manifest = JSON.parse(parts.get(manifestName)!) as Record<string, unknown>;
  parts.delete(manifestName);
  edit(parts);
  manifest["files"] = [...parts].map(([name, text]) => {
    return { name, sizeBytes: Buffer.byteLength(text), sha256: sha256Of(text) };
  });
  editManifest(manifest);
  const entries = [...parts].map(([name, text]) => [name, Buffer.from(text)] as const);
  return Buffer.from(zipped([[manifestName, Buffer.from(`${JSON.stringify(manifest)}\n`)], ...entries]));
}

/** One line of a part, as its object, edited. */
export function editLine(part: string, line: number, edit: (record: Record<string, unknown>) => void) {
  return (parts: Parts): void => {
    const lines = parts.get(part)!.split("\n");
    const record = JSON.parse(lines[line]!) as Record<string, unknown>;
    edit(record);
    lines[line] = JSON.stringify(record);
    parts.set(part, lines.join("\n"));
  };
}
