import { join, parse } from "node:path";

/**
 * A path as one word of the command line that a person pastes it into.
 *
 * POSIX shells take everything between single quotes as it is. On Windows double quotes serve both command lines, and
 * a file name cannot hold them; where PowerShell would read a variable or an escape, its single quotes are used.
 */
export function quoted(path: string, platform: NodeJS.Platform = process.platform): string {
  if (platform !== "win32") return `'${path.replaceAll("'", String.raw`'\''`)}'`;
  return /[$`]/u.test(path) ? `'${path.replaceAll("'", "''")}'` : `"${path}"`;
}

/**
 * Re-encodes to what every window plays: H.264 of 8 bits, a key frame each second, each frame at its own time (which
 * the MP4 format keeps by default). Only options that ffmpeg has had for many years.
 */
export function convertCommand(path: string, platform: NodeJS.Platform = process.platform): string {
  const options = "-c:v libx264 -crf 18 -preset medium -pix_fmt yuv420p -g 30 -c:a aac -movflags +faststart";
  return `ffmpeg -i ${quoted(path, platform)} ${options} ${quoted(beside(path), platform)}`;
}

/** Puts the picture into an MP4 container as it is. Sound is made AAC, as the other kinds may not play from there. */
export function remuxCommand(path: string, platform: NodeJS.Platform = process.platform): string {
  const options = "-c:v copy -c:a aac -movflags +faststart";
  return `ffmpeg -i ${quoted(path, platform)} ${options} ${quoted(beside(path), platform)}`;
}

function beside(path: string): string {
  const { dir, name } = parse(path);
  return join(dir, `${name}-crewglass.mp4`);
}
