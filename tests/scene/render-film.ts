/**
 * Renders a film of the scene: `node tests/scene/render-film.ts OUT.mp4 [--film demo|other]`, or `renderFilm` from a test;
 * `--camera` is the same choice, since each film has one tripod.
 * Frames are drawn by two workers and handed in order to ffmpeg (H.264, 8-bit 4:2:0, a key frame every two seconds, two
 * B-frames, index in front).
 */
import { spawn } from "node:child_process";
import { once } from "node:events";
import { parseArgs } from "node:util";
import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { paintBackdrop } from "./backdrop.ts";
import { renderFrame } from "./render-frame.ts";
import { films } from "./films.ts";
import { sceneOf } from "./scene.ts";

const workerCount = 2;
/** Frames a worker may be ahead of the encoder; 2.8 MB each. */
const aheadFrames = 12;

type Job = { readonly filmName: string; readonly first: number; readonly step: number };

function filmNamed(name: string) {
  const film = films.find((candidate) => candidate.name === name);
  if (!film) throw new Error(`no film is called ${name}; there are ${films.map((one) => one.name).join(", ")}`);
  return film;
}

async function drawFrames(job: Job): Promise<void> {
  const scene = sceneOf(filmNamed(job.filmName));
  const backdrop = paintBackdrop(scene.cameras);
  let allowed = aheadFrames;
  let wake = (): void => {};
  parentPort?.on("message", () => {
    allowed++;
    wake();
  });
  for (let frame = job.first; frame < scene.frameCount; frame += job.step) {
    while (allowed <= 0) await new Promise<void>((settle) => (wake = settle));
    allowed--;
    const { rgb } = renderFrame(scene, backdrop, frame);
    const bytes = new Uint8Array(rgb);
    parentPort?.postMessage({ frame, bytes }, [bytes.buffer]);
  }
  parentPort?.close();
}

/** Writes the film's MP4 and gives its frame count; rejects, with nothing left running, when the encoder fails. */
export async function renderFilm(
  filmName: string,
  outPath: string,
  onFrame: (done: number, of: number) => void = () => {},
): Promise<number> {
  const film = filmNamed(filmName);
  const { frameCount } = sceneOf(film);
  const encoder = spawn(
    "ffmpeg",
    [
      [
        "-y",
        "-loglevel",
        "error",
        "-f",
        "rawvideo",
        "-pix_fmt",
        "rgb24",
        "-s",
        `${film.widthPx}x${film.heightPx}`,
        "-r",
        String(film.framesPerSec),
        "-i",
        "-",
      ],
      [
        "-vf",
        "scale=out_color_matrix=bt709:out_range=tv",
        "-colorspace",
        "bt709",
        "-color_primaries",
        "bt709",
        "-color_trc",
        "bt709",
      ],
      [
        "-c:v",
        "libx264",
        "-preset",
        "medium",
        "-crf",
        "23",
        "-bf",
        "2",
        "-g",
        "60",
        "-pix_fmt",
        "yuv420p",
        "-movflags",
        "+faststart",
        outPath,
      ],
    ].flat(),
    { stdio: ["pipe", "inherit", "inherit"] },
  );
  const ended = once(encoder, "exit") as Promise<[number | null]>;
  const waiting = new Map<number, { bytes: Uint8Array; worker: Worker }>();
  const workers = Array.from({ length: workerCount }, (_, first) => {
    const job: Job = { filmName, first, step: workerCount };
    return new Worker(new URL(import.meta.url), { workerData: job, execArgv: [] });
  });
  let next = 0;
  let busy = false;
  try {
    await new Promise<void>((settle, fail) => {
      const drain = async (): Promise<void> => {
        if (busy) return;
        busy = true;
        for (let ready = waiting.get(next); ready; ready = waiting.get(next)) {
          waiting.delete(next);
          if (!encoder.stdin.write(ready.bytes)) await once(encoder.stdin, "drain");
          ready.worker.postMessage("more");
          next++;
          onFrame(next, frameCount);
        }
        busy = false;
        if (next === frameCount) settle();
      };
      encoder.stdin.on("error", fail);
      // An encoder that is missing or gives up is seen here even while no frame is being written.
      ended.then(([code]) => fail(new Error(`ffmpeg ended with ${code} before the last frame`)), fail);
      for (const worker of workers) {
        worker.on("error", fail);
        worker.on("message", ({ frame, bytes }: { frame: number; bytes: Uint8Array }) => {
          waiting.set(frame, { bytes, worker });
          drain().catch(fail);
        });
      }
    });
    encoder.stdin.end();
    const [code] = await ended;
    if (code !== 0) throw new Error(`ffmpeg ended with ${code}`);
  } finally {
    // Asked politely, ffmpeg first waits for the rest of a frame that will never come.
    encoder.kill("SIGKILL");
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
  return frameCount;
}

if (!isMainThread && workerData !== null && typeof workerData === "object" && "filmName" in workerData) {
  await drawFrames(workerData as Job);
} else if (import.meta.main) {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: { film: { type: "string", default: "demo" }, camera: { type: "string" } },
  });
  const out = positionals[0];
  if (out === undefined) {
    console.error("Usage: node tests/scene/render-film.ts OUT.mp4 [--film demo|other] (or --camera)");
    process.exitCode = 1;
  } else {
    const began = performance.now();
    const frames = await renderFilm(
      values.camera ?? values.film,
      out,
      (done, of) => done % 100 === 0 && console.log(`${done} of ${of} frames`),
    );
    console.log(`${frames} frames in ${((performance.now() - began) / 1000).toFixed(0)} s: ${out}`);
  }
}
