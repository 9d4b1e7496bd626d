import { parse, join } from "node:path";

/** Single quotes for a POSIX shell, double quotes for Windows, where a file name cannot hold them. */
export function quoted(path: string, platform: NodeJS.Platform = process.platform): string {
  return platform === "win32" ? `"${path}"` : `'${path.replaceAll("'", String.raw`'\''`)}'`;
}

function beside(path: string): string {
  const { dir, name } = parse(path);
  return join(dir, `${name}-crewglass.mp4`);
}

/** Re-encodes to what every window plays: H.264, 8 bit, a key frame each second, the frames' own times kept. */
export function convertCommand(path: string): string {
  return `ffmpeg -i ${quoted(path)} -c:v libx264 -crf 18 -preset medium -pix_fmt yuv420p -g 30 -fps_mode passthrough -c:a aac -movflags +faststart ${quoted(beside(path))}`;
}

/** Puts the same picture and sound into an MP4 container, without re-encoding the picture. */
export function remuxCommand(path: string): string {
  return `ffmpeg -i ${quoted(path)} -c copy -bsf:a aac_adtstoasc -movflags +faststart ${quoted(beside(path))}`;
}
