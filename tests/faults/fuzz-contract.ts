/**
 * Calls of every operation of the contract, made from its own shapes, against the real service over a real library and through the
 * line that both shells use. None may be answered with anything but a valid reply or a failure of the closed list.
 */
import { randomUUID } from "node:crypto";
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { inspect } from "node:util";
import { MessageChannel } from "node:worker_threads";
import { ORPCError } from "@orpc/client";
import { RPCLink } from "@orpc/client/message-port";
import fc from "fast-check";
import { errorCodes } from "#core/contract/errors";
import type { Change } from "#core/game/changes";
import type { Film, GameRecords } from "#core/game/records";
import { packetBytes } from "../../src-main/exchange/packet-file.ts";
import { createFilmTools } from "../../src-main/film/film-tools.ts";
import { reportWriters } from "../../src-main/reports/report-writers.ts";
import { createService } from "../../src-main/service/create-service.ts";
import { createPortService } from "../../src-main/shells/serve-calls.ts";
import type { Library } from "../../src-main/store/library.ts";
import { openLibrary } from "../../src-main/store/open-library.ts";
import { aPacket } from "../core/exchange/build-packet.ts";
import { projectRoot } from "../helpers/launch.ts";
import { mainPortOver } from "../main/shells/main-port.ts";
import { serviceParts } from "../main/service/service-parts.ts";
import { aWholeGame } from "../main/store/build-game.ts";
import { type Call, callsOf, type Places, recent } from "./contract-calls.ts";

export type FuzzResult = {
  readonly calls: number;
  /** Replies that fit the contract. */
  readonly answered: number;
  /** Failures of the closed list. */
  readonly refused: number;
  /** Everything else: each is a fault of the program, with the call that shows it. */
  readonly internal: readonly string[];
  /** What the library's own check finds afterwards. */
  readonly libraryFaults: readonly string[];
  /** Files that came to lie where nothing was to be written. */
  readonly strayFiles: readonly string[];
  readonly unhandled: readonly string[];
  /** How often each operation was called, and how often it did what was asked. */
  readonly byOperation: ReadonlyMap<string, { readonly called: number; readonly answered: number }>;
  readonly byCode: ReadonlyMap<string, number>;
};

const answerWithinMs = 20_000;

export async function fuzzContract({ calls, seed }: { calls: number; seed: number }): Promise<FuzzResult> {
  // What leads up and out of the places given still lies in this folder, and is seen there.
  const top = mkdtempSync(join(tmpdir(), "crewglass-fuzz-"));
  const root = join(top, "one", "two", "three", "four");
  mkdirSync(root, { recursive: true });
  const unhandled: string[] = [];
  const onUnhandled = (error: unknown): void => void unhandled.push(String(error));
  process.on("unhandledRejection", onUnhandled);
  process.on("uncaughtException", onUnhandled);
  try {
    return { ...(await run({ top, root }, calls, seed)), unhandled };
  } finally {
    process.off("unhandledRejection", onUnhandled);
    process.off("uncaughtException", onUnhandled);
    rmSync(top, { recursive: true, force: true, maxRetries: 3 });
  }
}

async function run(
  { top, root }: { top: string; root: string },
  calls: number,
  seed: number,
): Promise<Omit<FuzzResult, "unhandled">> {
  const places = furnished(root);
  let made = 0;
  const opened = await openLibrary({
    path: join(root, "library", "library.crewglass"),
    clock: () => new Date("2026-09-19T18:30:00Z"),
    newId: () => `made-${(made += 1)}`,
  });
  if (!opened.ok) throw new Error(opened.failure.sentence);
  const { library } = opened;
  const filmTools = createFilmTools();
  const { parts, logged: bugs } = serviceParts(library);
  const router = createService({
    ...parts,
    filmTools,
    shell: { pickFilm: null, showFolder: null, homeFolder: join(root, "home") },
    reportWriters: () => reportWriters(projectRoot),
  });
  // What a window says of itself is written down as it says it.
  const logged = (): string =>
    bugs
      .splice(0)
      .filter(({ message }) => message !== "window failed")
      .map(({ message, error }) => `${message}: ${error instanceof Error ? error.stack : String(error)}`)
      .join("\n");
  const { port1, port2 } = new MessageChannel();
  createPortService(
    { router: () => router, onReplaced: () => {} },
    (error) => void bugs.push({ message: "line", error }),
  )(mainPortOver(port2));
  const link = new RPCLink({ port: port1 });
  port1.start();

  const before = new Set(namesIn(process.cwd()));
  const byOperation = new Map<string, { called: number; answered: number }>();
  const byCode = new Map<string, number>();
  const internal: string[] = [];
  const last = new Map<string, unknown>();
  let answered = 0;
  let refused = 0;
  let isExporting = false;
  const film = { path: places.films[0]!, ...(await filmTools.fingerprint(places.films[0]!)) };
  for (const [index, call] of madeUp(places, calls, seed)) {
    stock(library, film);
    if (!isExporting && call.operation.startsWith("exports.")) {
      const begun = await link.call(["exports", "begin"], { folder: places.exports, name: "made up" }, { context: {} });
      last.set(recent("exportId"), (begun as { exportId: string }).exportId);
      isExporting = true;
    }
    const input = call.edit === undefined ? withLast(call.input, last) : editOf(library, call);
    const counts = byOperation.get(call.operation) ?? { called: 0, answered: 0 };
    byOperation.set(call.operation, counts);
    counts.called += 1;
    const wrong = (what: string): void => {
      const about = `call ${index} of seed ${seed}, ${call.operation} (${call.kind}): ${what}`;
      internal.push(`${about}\n${inspect(input, { depth: 6 }).slice(0, 600)}\n${logged()}`);
    };
    try {
      const signal = AbortSignal.timeout(answerWithinMs);
      const reply = await link.call(call.operation.split("."), input, { context: {}, signal });
      for (const [key, value] of Object.entries(reply ?? {})) last.set(recent(key), value);
      const fault = await faultOf(reply, call);
      if (fault !== null) wrong(fault);
      else counts.answered += 1;
      if (/^exports\.(?:begin|finish|cancel)$|^packets\.write$/u.test(call.operation)) isExporting = false;
      answered += 1;
    } catch (error) {
      const code = error instanceof ORPCError ? String(error.code) : `no answer: ${String(error)}`;
      byCode.set(code, (byCode.get(code) ?? 0) + 1);
      if (error instanceof ORPCError && error.defined && (errorCodes as readonly string[]).includes(code)) refused += 1;
      else wrong(code);
    }
  }
  const rest = logged();
  if (rest !== "") internal.push(`logged: ${rest}`);
  const libraryFaults = library.faults();
  port1.close();
  library.close();
  const strayFiles = [...namesIn(process.cwd()).filter((path) => !before.has(path)), ...strayIn(top, root, places)];
  return {
    calls,
    answered,
    refused,
    internal,
    libraryFaults,
    strayFiles,
    byOperation,
    byCode,
  };
}

const callsAtOnce = 500;

function* madeUp(places: Places, calls: number, seed: number): Generator<readonly [number, Call]> {
  const any = callsOf(places);
  for (let from = 0; from < calls; from += callsAtOnce) {
    const numRuns = Math.min(callsAtOnce, calls - from);
    for (const [at, call] of fc.sample(any, { numRuns, seed: seed + from }).entries()) yield [from + at, call];
  }
}

const namesIn = (folder: string): string[] => readdirSync(folder).map((name) => join(folder, name));

/** What calls may read and where they may write, and files beside that they must leave alone. */
function furnished(root: string): Places {
  for (const name of ["library", "home", "exports", "beside"]) mkdirSync(join(root, name));
  const put = (name: string, content: string | Uint8Array): string => {
    const path = join(root, "home", name);
    writeFileSync(path, content);
    return path;
  };
  writeFileSync(join(root, "beside", "untouched.txt"), "as it was");
  const sound = Buffer.from(packetBytes(aPacket(aWholeGame("game-3"))));
  return {
    root,
    exports: join(root, "exports"),
    films: [
      join(projectRoot, "tests", "fixtures", "grey.webm"),
      put("no-film.mp4", "<html><script>1</script>"),
      put("film.svg", "<svg/>"),
    ],
    packets: [
      put("sound.crewpacket", sound),
      put("cut.crewpacket", sound.subarray(0, sound.length >> 1)),
      put("empty.crewpacket", ""),
    ],
    folders: [join(root, "home"), root],
  };
}

function strayIn(top: string, root: string, { exports }: Places): string[] {
  const files = readdirSync(top, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
  const allowed = [join(root, "library"), exports];
  const known = new Set([
    "untouched.txt",
    "no-film.mp4",
    "film.svg",
    "sound.crewpacket",
    "cut.crewpacket",
    "empty.crewpacket",
  ]);
  return files
    .filter(
      ({ name, parentPath }) =>
        !known.has(name) && !allowed.some((place) => !relative(place, parentPath).startsWith("..")),
    )
    .map(({ name, parentPath }) => join(parentPath, name));
}

/** The two games whose ids the calls know, again when they were removed; one has a film that is really there. */
function stock(library: Library, film: Pick<Film, "path" | "fingerprint" | "sizeBytes">): void {
  const there = new Set(library.listGames().map(({ id }) => id));
  for (const id of ["game-1", "game-2"]) {
    if (there.has(id)) continue;
    const game = aWholeGame(id);
    const [first, ...others] = game.films;
    const add = () => library.addGame(id === "game-1" ? { ...game, films: [{ ...first!, ...film }, ...others] } : game);
    try {
      add();
    } catch {
      // A call has made a record of another game under an id of this one: the games are begun anew.
      for (const other of library.listGames()) library.removeGame(other.id);
      return stock(library, film);
    }
  }
}

function withLast(input: unknown, last: ReadonlyMap<unknown, unknown>): unknown {
  if (typeof input !== "object" || input === null || Object.getPrototypeOf(input) !== Object.prototype) return input;
  return Object.fromEntries(Object.entries(input).map(([key, value]) => [key, last.get(value) ?? value]));
}

/** An edit of a record as it stands now, with one property as it was made up. */
function editOf(library: Library, { edit }: Call): unknown {
  const { gameId, family, index, property, value } = edit!;
  const { sequence: _, history: __, ...records } = library.openGame(gameId);
  const rows: readonly { readonly id: string }[] =
    family === "game"
      ? [records.game]
      : records[`${family === "carry" ? "carrie" : family}s` as keyof Omit<GameRecords, "game">];
  const row = rows[index % Math.max(1, rows.length)];
  const made = { ...(value as { readonly id: string }), gameId };
  const before = row ?? null;
  const after = row === undefined ? made : property === null ? null : { ...row, [property]: made[property as "id"] };
  const change = { family, id: row?.id ?? made.id, before, after } as unknown as Change;
  return { gameId, label: `Edit ${randomUUID().slice(0, 4)}`, changes: [change] };
}

/** Null for a reply as the contract has it; an open stream is read a little and left. */
async function faultOf(reply: unknown, { output }: Call): Promise<string | null> {
  if (typeof reply === "object" && reply !== null && Symbol.asyncIterator in reply) {
    const pieces = reply as unknown as AsyncIterator<unknown>;
    await pieces.return?.();
    return output === "stream" ? null : "a stream where none is";
  }
  if (output === "stream") return "no stream";
  const checked = output?.safeParse(reply);
  return checked === undefined || checked.success ? null : `a reply that does not fit: ${checked.error.message}`;
}
