/**
 * What attaching says of real files, and that the command it offers makes a playable film: it is run by a shell as a
 * person would paste it, and ffprobe, which shares no code with the product, looks at the result.
 */
import { execFileSync } from "node:child_process";
import { copyFileSync, mkdtempSync, readdirSync, rmSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { probeContainer } from "../../../src-main/film/container-probe.ts";
import { convertCommand, quoted, remuxCommand } from "../../../src-main/film/conversion-command.ts";
import { clipNames, clipPath, makeClips, makeOddities, type Clip } from "../../helpers/clips.ts";

let clips: Clip[] = [];
let folder = "";
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "crewglass-probe-"));
  await makeOddities();
  clips = await makeClips();
}, 120_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function oddity(name: string): string {
  const path = clipPath(name);
  if (path === null) throw new Error(`no clip "${name}"`);
  return path;
}

function ffprobe(path: string, entries: string): string {
  const args = ["-v", "error", "-select_streams", "v:0", "-show_entries", entries, "-of", "csv=p=0", path];
  return execFileSync("ffprobe", args, { encoding: "utf8" }).trim();
}

test.each(clipNames.filter((name) => name !== "transport-stream"))("%s can be attached", async (name) => {
  const clip = clips.find((candidate) => candidate.name === name);
  const probe = await probeContainer(oddity(name));
  expect(probe).toMatchObject({ ok: true, facts: { widthPx: clip?.widthPx, heightPx: clip?.heightPx } });
  // A film ends one frame after its last frame starts.
  const lastSec = clip?.timesSec.at(-1) ?? NaN;
  expect(probe).toHaveProperty("facts.durationSec", expect.closeTo(lastSec + 1 / 30, 1));
});

describe("a film that cannot be played says which codec it has", () => {
  test.each([
    ["hevc", "HEVC (H.265)", "This film is HEVC (H.265), which cannot be shown here."],
    ["prores", "Apple ProRes", "This film is Apple ProRes, which cannot be shown here."],
    ["motion-jpeg", "Motion JPEG", "This film is Motion JPEG, which cannot be shown here."],
    [
      "avi",
      "MPEG-4 Part 2 (DivX, Xvid)",
      "This is an AVI file with MPEG-4 Part 2 (DivX, Xvid), which cannot be shown here.",
    ],
  ])("%s", async (name, codec, sentence) => {
    const probe = await probeContainer(oddity(name));
    expect(probe).toMatchObject({ ok: false, codec, command: convertCommand(oddity(name)) });
    expect(probe).toHaveProperty("sentence", expect.stringContaining(sentence));
  });

  // First bytes by the formats' own definitions: ASF header object GUID, ISO 13818-1 pack start code, FLV signature,
  // SMPTE ST 377-1 partition pack key.
  test.each([
    ["Windows Media", "3026b2758e66cf11a6d900aa0062ce6c"],
    ["MPEG program stream", "000001ba44000400"],
    ["Flash video", "464c560105"],
    ["MXF", "060e2b34020501010d010201"],
  ])("%s, by its first bytes", async (name, hex) => {
    const path = join(folder, `${name}.bin`);
    writeFileSync(path, Buffer.concat([Buffer.from(hex, "hex"), Buffer.alloc(5_000)]));
    expect(await probeContainer(path)).toMatchObject({ ok: false, codec: name, command: convertCommand(path) });
  });
});

describe("a file that is no film", () => {
  test.each([
    ["not-a-film", /not a film/u],
    ["sound-only", /no picture/u],
  ])("%s", async (name, sentence) => {
    const probe = await probeContainer(oddity(name));
    expect(probe).toMatchObject({ ok: false, codec: null, command: null });
    expect(probe).toHaveProperty("sentence", expect.stringMatching(sentence));
  });

  test("an empty one, and one that was cut off before its index", async () => {
    const empty = join(folder, "empty.mp4");
    writeFileSync(empty, "");
    expect(await probeContainer(empty)).toMatchObject({ ok: false });
    const cut = join(folder, "cut.mp4");
    copyFileSync(oddity("constant-30"), cut);
    truncateSync(cut, 100_000);
    expect(await probeContainer(cut)).toMatchObject({ ok: false, command: null });
  });

  test("a cut-off recording that lists its frames as it goes holds those that were written", async () => {
    const cut = join(folder, "cut.mkv");
    copyFileSync(oddity("matroska"), cut);
    truncateSync(cut, 100_000);
    const probe = await probeContainer(cut);
    const seconds = ffprobe(cut, "packet=pts_time").split("\n").map(Number);
    const heldSec = Math.max(...seconds) + 1 / 30;
    // ffprobe reads single frames; a cluster, which holds two seconds in this clip, counts once it is whole.
    expect(heldSec).toBeLessThan(9);
    const { facts } = probe as Extract<typeof probe, { ok: true }>;
    expect(facts.durationSec).toBeLessThanOrEqual(heldSec + 0.001);
    expect(facts.durationSec).toBeGreaterThan(heldSec - 2);
  });

  test("one that is not there is the file system's failure, for the service to word", async () => {
    await expect(probeContainer(join(folder, "gone.mp4"))).rejects.toMatchObject({ code: "ENOENT" });
  });
});

describe.skipIf(process.platform === "win32")("the offered command, pasted into a shell", () => {
  const awkward = `it's a $HOME "film" \`x\` & more; 100%`;

  const runOffer = async (path: string): Promise<string> => {
    const probe = await probeContainer(path);
    if (probe.ok || probe.command === null) throw new Error("no command was offered");
    execFileSync("sh", ["-c", `${probe.command} -hide_banner -loglevel error`], { cwd: folder, stdio: "pipe" });
    const made = path.replace(/\.\w+$/u, "-crewglass.mp4");
    expect(await probeContainer(made)).toMatchObject({ ok: true });
    return made;
  };

  test.each(["hevc", "prores", "motion-jpeg", "avi"])("%s becomes H.264 with as many frames", async (name) => {
    const source = oddity(name);
    const path = join(folder, `${awkward} ${name}${source.slice(source.lastIndexOf("."))}`);
    copyFileSync(source, path);
    const made = await runOffer(path);
    expect(ffprobe(made, "stream=codec_name,pix_fmt")).toBe("h264,yuv420p");
    expect(ffprobe(made, "packet=pts_time").split("\n").length).toBe(30);
    expect(readdirSync(folder)).toContain(`${awkward} ${name}-crewglass.mp4`);
  });

  test.each([
    ["a download that broke off", ["-movflags", "+faststart"]],
    ["a camera that was switched off", ["-movflags", "frag_keyframe+empty_moov+default_base_moof"]],
  ])("%s, whose index lists more frames than its file holds, keeps what is there", async (name, flags) => {
    const path = join(folder, `${awkward} ${name}.mp4`);
    execFileSync("ffmpeg", ["-v", "error", "-i", oddity("constant-30"), "-c", "copy", ...flags, path]);
    expect(await probeContainer(path)).toMatchObject({ ok: true });
    truncateSync(path, 100_000);
    const probe = await probeContainer(path);
    expect(probe).toMatchObject({ ok: false, codec: "H.264 (AVC)", command: remuxCommand(path) });
    expect(probe).toHaveProperty("sentence", expect.stringMatching(/ends before the frames/u));
    const made = await runOffer(path);
    const frames = ffprobe(made, "packet=pts_time").split("\n").length;
    expect(frames).toBeGreaterThan(100);
    expect(frames).toBeLessThan(200);
  });

  test("a transport stream is put into MP4 without loss: every decoded picture is the same", async () => {
    const path = join(folder, `${awkward}.ts`);
    copyFileSync(oddity("transport-stream"), path);
    const made = await runOffer(path);
    const pictures = (file: string): string[] => {
      const args = ["-v", "error", "-i", file, "-map", "0:v", "-fps_mode", "passthrough", "-f", "framemd5", "-"];
      const lines = execFileSync("ffmpeg", args, { encoding: "utf8" }).split("\n");
      return lines.filter((line) => line.startsWith("0,")).map((line) => line.split(",").at(-1)?.trim() ?? "");
    };
    expect(pictures(made).length).toBe(300);
    expect(pictures(made)).toEqual(pictures(path));
  });
});

test("on Windows a path is one word for both command lines", () => {
  expect(quoted(String.raw`C:\Film of Friday\a.avi`, "win32")).toBe(String.raw`"C:\Film of Friday\a.avi"`);
  // PowerShell reads $ between double quotes, and doubles a single quote between single ones.
  expect(quoted(String.raw`C:\it's $5\a.avi`, "win32")).toBe(String.raw`'C:\it''s $5\a.avi'`);
  expect(remuxCommand("/films/a.ts", "linux")).toBe(
    "ffmpeg -i '/films/a.ts' -c:v copy -c:a aac -movflags +faststart '/films/a-crewglass.mp4'",
  );
});
