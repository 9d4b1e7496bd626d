/**
 * Test films of every kind that behaves differently, made once with ffmpeg into node_modules/.cache/clips. Each frame
 * carries its number as a block code. What ffprobe, which shares no code with the product, reads of the timestamps
 * lies beside each clip.
 */
import { execFileSync, spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, renameSync, statSync, truncateSync, writeFileSync } from "node:fs";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { paintCode } from "./block-code.ts";
import { ensureTools } from "./ensure-tools.ts";

export const clipFolder = fileURLToPath(new URL("../../node_modules/.cache/clips/", import.meta.url));

export type Clip = {
  /** Its film id. */
  readonly name: string;
  readonly path: string;
  readonly frameCount: number;
  /** The number that its first shown frame carries; the frames count up from there. */
  readonly firstCode: number;
  /** Displayed size, after rotation and pixel aspect. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** Start of each shown frame as ffprobe reads it, in seconds, ascending. */
  readonly timesSec: readonly number[];
  /** Whether Chromium's `<video>` shows it and survives a seek, as measured. */
  readonly playsNatively: boolean;
};

type Recipe = {
  readonly file: string;
  readonly frames: number;
  readonly rate?: string;
  /** Turn of the painted picture, clockwise, that the file's own rotation undoes. */
  readonly turned?: 90;
  readonly encode: readonly string[];
  /** A second pass that copies the packets: ffmpeg arguments before and after the input. */
  readonly copy?: { readonly before?: readonly string[]; readonly after: readonly string[] };
  readonly firstCode?: number;
  readonly shownFrames?: number;
  readonly size?: readonly [widthPx: number, heightPx: number];
  readonly shownSize?: readonly [widthPx: number, heightPx: number];
  readonly playsNatively?: boolean;
};

const words = (line: string): string[] => line.split(" ");

export const x264 = (gop: number, bFrames: number, more = ""): string[] =>
  words(
    `-c:v libx264 -preset veryfast -crf 23 -pix_fmt yuv420p -bf ${bFrames} ` +
      `-x264-params keyint=${gop}:min-keyint=${gop}:scenecut=0${more}`,
  );

const recipes: Readonly<Record<string, Recipe>> = {
  "constant-30": { file: "mp4", frames: 300, encode: x264(30, 0) },
  "ntsc-b-frames": { file: "mp4", frames: 300, rate: "30000/1001", encode: x264(30, 3) },
  "long-gop": { file: "mp4", frames: 600, encode: x264(250, 3) },
  "variable-rate": {
    file: "mp4",
    frames: 300,
    encode: words(
      "-vf settb=1/90000,setpts='N*3000+mod(N*N\\,5)*500' -fps_mode passthrough " +
        "-enc_time_base 1:90000 -video_track_timescale 90000",
    ).concat(x264(30, 2)),
  },
  "start-offset": { file: "mp4", frames: 300, encode: x264(30, 2), copy: { after: ["-output_ts_offset", "1.5"] } },
  "start-offset-mkv": { file: "mkv", frames: 300, encode: x264(30, 2), copy: { after: ["-output_ts_offset", "2.25"] } },
  // Starts at 1.03 s: an edit list hides frames 0 to 30, and frame 31 starts 3.3 ms in.
  "edit-list": {
    file: "mp4",
    frames: 300,
    encode: x264(30, 2),
    copy: { before: ["-ss", "1.03"], after: [] },
    firstCode: 31,
    shownFrames: 269,
  },
  "phone-rotated": {
    file: "mov",
    frames: 300,
    turned: 90,
    size: [320, 180],
    shownSize: [180, 320],
    encode: x264(30, 2),
    // ffmpeg 5 turns the other way than the tag's name says; its own player then shows the picture upright.
    copy: { after: ["-metadata:s:v", "rotate=270"] },
  },
  fragmented: {
    file: "mp4",
    frames: 300,
    encode: [...x264(30, 2), "-movflags", "frag_keyframe+empty_moov+default_base_moof"],
  },
  matroska: { file: "mkv", frames: 300, encode: x264(60, 3) },
  "webm-vp9": {
    file: "webm",
    frames: 300,
    encode: ["-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "800k", "-g", "60"],
  },
  "mp4-av1": { file: "mp4", frames: 150, encode: ["-c:v", "libsvtav1", "-preset", "12", "-crf", "40", "-g", "60"] },
  "transport-stream": { file: "ts", frames: 300, encode: x264(30, 2), playsNatively: false },
  "open-gop": { file: "mp4", frames: 300, encode: x264(30, 3, ":open-gop=1"), playsNatively: false },
  anamorphic: { file: "mp4", frames: 300, shownSize: [427, 180], encode: ["-vf", "setsar=4/3", ...x264(30, 2)] },
};

/** Files that are not films to be shown, by film id: what opening them must say is the tests' matter. */
const oddities: Readonly<Record<string, { readonly file: string; readonly args: readonly string[] }>> = {
  hevc: {
    file: "mp4",
    args: ["-c:v", "libx265", "-preset", "ultrafast", "-tag:v", "hvc1", "-x265-params", "log-level=1"],
  },
  prores: { file: "mov", args: ["-c:v", "prores_ks", "-pix_fmt", "yuv422p10le"] },
  "motion-jpeg": { file: "mov", args: ["-c:v", "mjpeg", "-pix_fmt", "yuvj420p"] },
  avi: { file: "avi", args: ["-c:v", "mpeg4", "-vtag", "XVID"] },
};

/** A download that stopped: its list of frames is longer than its frames. A camera that lost its power: no list at the end. */
const cutNames = { "cut-short": "cut-short.mp4", "broken-off": "broken-off.mkv" } as const;

export const clipNames: readonly string[] = Object.keys(recipes);

/** Where the clip or oddity of a film id lies, or null; it must have been made. */
export function clipPath(filmId: string): string | null {
  const recipe = recipes[filmId];
  if (recipe !== undefined) return pathOf(filmId, recipe);
  const oddity = oddities[filmId];
  if (oddity !== undefined) return pathOf(filmId, oddity);
  if (filmId === "cut-short" || filmId === "broken-off") return join(clipFolder, cutNames[filmId]);
  if (filmId === "sound-only") return join(clipFolder, "sound-only.m4a");
  return filmId === "not-a-film" ? join(clipFolder, "not-a-film.mp4") : null;
}

/** Makes the files that cannot be shown: unplayable codecs and containers, sound only, no film at all. */
export async function makeOddities(): Promise<void> {
  ensureTools(["ffmpeg"]);
  mkdirSync(clipFolder, { recursive: true });
  for (const [name, oddity] of Object.entries(oddities)) {
    const path = pathOf(name, oddity);
    const job = { path, widthPx: 320, heightPx: 180, frames: 30, rate: "30", args: oddity.args };
    if (!existsSync(path)) await encode(job);
  }
  const sound = join(clipFolder, "sound-only.m4a");
  const tone = ["-f", "lavfi", "-i", "sine=duration=1", "-c:a", "aac"];
  if (!existsSync(sound)) execFileSync("ffmpeg", [...quiet, ...tone, sound]);
  const wholes = await makeClips(["constant-30", "matroska"]);
  for (const [at, name] of [cutNames["cut-short"], cutNames["broken-off"]].entries()) {
    const path = join(clipFolder, name);
    const whole = ["-i", wholes[at]?.path ?? "", "-c", "copy", "-movflags", "+faststart", "-y", path];
    execFileSync("ffmpeg", [...quiet, ...whole]);
    truncateSync(path, Math.floor(statSync(path).size * 0.6));
  }
  writeFileSync(join(clipFolder, "not-a-film.mp4"), "a shopping list\n".repeat(500));
}

function pathOf(name: string, recipe: { readonly file: string }): string {
  const version = createHash("sha256").update(JSON.stringify(recipe)).digest("hex").slice(0, 10);
  return join(clipFolder, `${name}-${version}.${recipe.file}`);
}

/** Makes what is missing and returns all clips, or those named. */
export async function makeClips(names: readonly string[] = clipNames): Promise<Clip[]> {
  ensureTools(["ffmpeg"]);
  mkdirSync(clipFolder, { recursive: true });
  const clips: Clip[] = [];
  for (const name of names) clips.push(await makeClip(name));
  return clips;
}

async function makeClip(name: string): Promise<Clip> {
  const recipe = recipes[name];
  if (recipe === undefined) throw new Error(`no recipe for a clip "${name}"`);
  const path = pathOf(name, recipe);
  const described = `${path}.json`;
  if (existsSync(path) && existsSync(described)) return JSON.parse(readFileSync(described, "utf8")) as Clip;
  const [codedWidth, codedHeight] = recipe.size ?? [320, 180];
  const encoded = recipe.copy === undefined ? path : path.replace(/\.\w+$/, `.encoded.${recipe.file}`);
  await encode({
    path: encoded,
    widthPx: codedWidth,
    heightPx: codedHeight,
    frames: recipe.frames,
    rate: recipe.rate ?? "30",
    turned: recipe.turned === 90,
    args: recipe.encode,
  });
  if (recipe.copy !== undefined) {
    const { before = [], after } = recipe.copy;
    const part = partOf(path);
    execFileSync("ffmpeg", [...quiet, ...before, "-i", encoded, "-c", "copy", ...after, "-y", part]);
    renameSync(part, path);
  }
  const [widthPx, heightPx] = recipe.shownSize ?? [codedWidth, codedHeight];
  const clip: Clip = {
    name,
    path,
    frameCount: recipe.shownFrames ?? recipe.frames,
    firstCode: recipe.firstCode ?? 0,
    widthPx,
    heightPx,
    timesSec: probeTimes(path),
    playsNatively: recipe.playsNatively ?? true,
  };
  writeFileSync(described, JSON.stringify(clip));
  return clip;
}

const quiet = ["-hide_banner", "-loglevel", "error", "-nostdin"];

function partOf(path: string): string {
  return `${path.slice(0, -extname(path).length)}.${process.pid}.part${extname(path)}`;
}

export type EncodeJob = {
  readonly path: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly frames: number;
  readonly rate: string;
  /** Paint the picture turned a quarter to the left, as a phone held upright stores it. */
  readonly turned?: boolean;
  readonly args: readonly string[];
};

/** Encodes frames numbered from 0; the file appears under its name only when it is whole. */
export async function encode({ path, widthPx, heightPx, frames, rate, turned, args }: EncodeJob): Promise<void> {
  const part = partOf(path);
  const input = ["-f", "rawvideo", "-pix_fmt", "gray", "-s", `${widthPx}x${heightPx}`, "-r", rate, "-i", "pipe:0"];
  const command = ["-hide_banner", "-loglevel", "error", ...input, ...args, "-y", part];
  const ffmpeg = spawn("ffmpeg", command, {
    stdio: ["pipe", "ignore", "inherit"],
    env: { ...process.env, SVT_LOG: "0" },
  });
  const ended = new Promise<void>((resolve, reject) => {
    ffmpeg.on("error", reject);
    ffmpeg.on("close", (code) => (code === 0 ? resolve() : reject(new Error(`ffmpeg ended with ${code} on ${path}`))));
  });
  for (let number = 0; number < frames; number++) {
    const upright = turned === true ? paintCode(number, heightPx, widthPx) : paintCode(number, widthPx, heightPx);
    const pixels = turned === true ? turnLeft(upright, heightPx, widthPx) : upright;
    if (!ffmpeg.stdin.write(pixels)) await new Promise((resolve) => ffmpeg.stdin.once("drain", resolve));
  }
  ffmpeg.stdin.end();
  await ended;
  renameSync(part, path);
}

function turnLeft(pixels: Uint8Array, widthPx: number, heightPx: number): Uint8Array {
  const turned = new Uint8Array(pixels.length);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) turned[(widthPx - 1 - x) * heightPx + y] = pixels[y * widthPx + x] ?? 0;
  }
  return turned;
}

function probeTimes(path: string): number[] {
  const query = ["-select_streams", "v:0", "-show_entries", "packet=pts_time", "-of", "csv=p=0"];
  const text = execFileSync("ffprobe", ["-v", "error", ...query, path], { encoding: "utf8" });
  const times = text
    .split(/[\s,]+/)
    .filter((word) => word !== "")
    .map(Number);
  return times.filter((time) => time >= 0).sort((a, b) => a - b);
}
