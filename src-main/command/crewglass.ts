/** The work without a window, for scripts. `npm run crewglass -- --help` says how it is called. */
import { randomUUID } from "node:crypto";
import { existsSync } from "node:fs";
import { join, resolve } from "node:path";
import { Failure } from "#core/contract/errors";
import { criteria } from "#core/game/records";
import { seasonPage } from "#core/report/season-page";
import { eligibilityOf } from "#core/season/eligibility";
import {
  gamesInOrder,
  officialsOf,
  type SeasonData,
  seasonGrades,
  type SeasonRow,
  seasonScale,
} from "#core/season/season-data";
import { observersCsv, seasonJson, totalsCsv } from "#core/season/season-tables";
import { seasonTotals } from "#core/season/season-totals";
import { figure, intervalWords, noticeLines, positionsOf, rankWords, standingRows } from "#core/season/season-words";
import { readPacket } from "../exchange/read-packet.ts";
import { createExportDesk } from "../reports/export-desk.ts";
import { reportWriters } from "../reports/report-writers.ts";
import { createBooks } from "../service/books.ts";
import { createSettings } from "../service/settings.ts";
import type { Library } from "../store/library.ts";
import { openLibrary } from "../store/open-library.ts";
import { type Called, parseCommand, usage } from "./arguments.ts";

const programFolder = join(import.meta.dirname, "..", "..");
const rowsAPiece = 10_000;

type Said = { readonly lines: readonly string[]; readonly json: unknown; readonly ok: boolean };

async function run(called: Extract<Called, { ok: true }>): Promise<Said> {
  const { command, topK, withObservers } = called;
  const path = resolve(command.library);
  // A command makes no library: a name that was mistyped would become one.
  if (!existsSync(path)) throw new Failure("FILE_MISSING", `There is no library at ${path}.`);
  const opened = await openLibrary({ path, clock: () => new Date(), newId: randomUUID });
  if (!opened.ok) throw new Failure("LIBRARY_FAILED", opened.failure.sentence);
  const { library } = opened;
  try {
    switch (command.kind) {
      case "check":
        return check(library);
      case "import":
        return await importAll(library, command.packets);
      case "totals":
        return totals(library, topK);
      case "report":
        return await report(library, topK, command.folder, withObservers);
    }
  } finally {
    library.close();
  }
}

/** Reads every record of every game, and asks SQLite whether the file is whole. */
function check(library: Library): Said {
  const faults = library.faults();
  const games = library.listGames().map(({ id, title }) => {
    try {
      const { plays, moments, marks, grades, rulings } = library.openGame(id);
      return {
        id,
        title,
        plays: plays.length,
        moments: moments.length,
        marks: marks.length,
        grades: grades.length,
        rulings: rulings.length,
        fault: null,
      };
    } catch (error) {
      return { id, title, fault: error instanceof Error ? error.message : String(error) };
    }
  });
  const unread = games.filter(({ fault }) => fault !== null);
  const ok = faults.length === 0 && unread.length === 0;
  return {
    ok,
    json: { path: library.path, schemaVersion: library.schemaVersion, ok, faults, games },
    lines: [
      `${library.path}, schema ${library.schemaVersion}: ${ok ? "whole" : "not whole"}`,
      ...faults.map((fault) => `  ${fault}`),
      ...games.map((game) =>
        game.fault === null && "plays" in game
          ? `  ${game.title}: ${game.plays} plays, ${game.moments} moments, ${game.marks} marks, ${game.grades} grades`
          : `  ${game.title}: ${game.fault ?? ""}`,
      ),
    ],
  };
}

async function importAll(library: Library, paths: readonly string[]): Promise<Said> {
  const settings = createSettings(library);
  const books = createBooks(library.books);
  const results: { path: string; taken: boolean; said: string }[] = [];
  for (const path of paths) {
    const read = await readPacket(resolve(path), {}).catch((error: unknown) => ({
      ok: false as const,
      sentence: error instanceof Error ? error.message : String(error),
    }));
    if (!read.ok) {
      results.push({ path, taken: false, said: read.sentence });
      continue;
    }
    try {
      const { plan } = library.packets.take(read.packet, read.packetId, {
        shippedBookIds: books.shippedIds,
        scales: settings.get().scales,
        settingsWith: settings.withScales,
      });
      const fresh = plan.counts.reduce((sum, part) => sum + part.new, 0);
      const conflicts = plan.counts.reduce((sum, part) => sum + part.conflicts, 0);
      results.push({
        path,
        taken: true,
        said: `${read.packet.game.title}: ${fresh} new${conflicts > 0 ? `, ${conflicts} that two sides say otherwise` : ""}`,
      });
    } catch (error) {
      results.push({ path, taken: false, said: error instanceof Error ? error.message : String(error) });
    }
  }
  return {
    ok: results.every(({ taken }) => taken),
    json: { packets: results },
    lines: results.map(({ path, taken, said }) => `${taken ? "taken in" : "refused"} ${path}: ${said}`),
  };
}

function seasonOf(library: Library, topK: number) {
  const settings = createSettings(library).get();
  const games = library.listGames().map(({ id }) => library.openCrew(id));
  const rows: SeasonRow[] = [];
  for (const piece of library.season.grades(rowsAPiece))
    for (const row of piece) {
      const criterion = criteria.find((one) => one === row.criterion);
      if (criterion !== undefined) rows.push({ ...row, criterion });
    }
  const authors = [...new Set(rows.map(({ authorId }) => authorId))];
  const own = library.note("observer-id");
  const observers = authors.map((id) => ({
    id,
    name: id === own ? settings.observerName || "You" : library.observerName(id),
  }));
  const data: SeasonData = { games, rows, observers, scales: settings.scales };
  const chosen = seasonScale(data);
  if (!chosen) throw new Failure("NOT_FOUND", "There are no grades in this library to total.");
  const { season } = settings;
  const { grades } = seasonGrades(data, chosen.scale.id, season);
  const made = seasonTotals(grades, {
    scale: chosen.scale,
    gamesInOrder: gamesInOrder(games),
    minimum: season.minimum,
    topK,
    seed: 7,
    draws: 4000,
  });
  const names = new Map(officialsOf(games, season.officials).map(({ id, name }) => [id, name]));
  const observerNames = new Map(observers.map(({ id, name }) => [id, name]));
  return {
    totals: made,
    scale: chosen.scale,
    games: games.length,
    eligibility: made.officials.map((total) => eligibilityOf(total, season.rules, chosen.scale.best)),
    nameOf: (id: string) => names.get(id) ?? id,
    observerOf: (id: string) => observerNames.get(id) ?? id,
  };
}

function totals(library: Library, topK: number): Said {
  const season = seasonOf(library, topK);
  const lines = positionsOf(season.totals).flatMap((position) => [
    position,
    ...standingRows(season.totals, position, season.scale).map(({ total, place }) => {
      const name = season.nameOf(total.officialId);
      if (!total.adjusted) return `  ${name}: withheld. ${total.withheld ?? ""}`;
      const { value, interval } = total.adjusted;
      return `  ${place ? rankWords(place) : "–"}  ${name}: ${figure(value)} (${intervalWords(interval)}), raw ${figure(total.mean ?? 0)}`;
    }),
  ]);
  return {
    ok: true,
    json: JSON.parse(seasonJson(season.totals, season.eligibility, season.scale.id, season)),
    lines: [...noticeLines(season.totals, season.observerOf), ...lines],
  };
}

async function report(library: Library, topK: number, folder: string, withObservers: boolean): Promise<Said> {
  const season = seasonOf(library, topK);
  const desk = createExportDesk({
    newId: randomUUID,
    clock: () => new Date(),
    writers: () => reportWriters(programFolder),
  });
  const { exportId } = await desk.begin(resolve(folder), "Season totals");
  try {
    const document = seasonPage({
      title: "Season totals",
      madeOn: new Date().toISOString().slice(0, 10),
      topK,
      withObservers,
      ...season,
    });
    const text = new TextEncoder();
    await desk.report(exportId, "season", document, ["pdf", "html"]);
    await desk.append(exportId, "totals.csv", text.encode(totalsCsv(season.totals, season.eligibility, season)), true);
    if (withObservers)
      await desk.append(exportId, "observers.csv", text.encode(observersCsv(season.totals, season)), true);
    const json = seasonJson(season.totals, season.eligibility, season.scale.id, season);
    await desk.append(exportId, "season.json", text.encode(json), true);
    const written = await desk.finish(exportId);
    return {
      ok: true,
      json: written,
      lines: [`${written.files.length} files written to ${written.folder}`],
    };
  } catch (error) {
    desk.cancel(exportId);
    throw error;
  }
}

const called = parseCommand(process.argv.slice(2));
if (!called.ok) {
  if (called.isHelp) console.log(usage);
  else console.error(`${called.sentence}\n\n${usage}`);
  process.exitCode = called.isHelp ? 0 : 2;
} else {
  try {
    const said = await run(called);
    console.log(called.json ? JSON.stringify(said.json, null, 2) : said.lines.join("\n"));
    process.exitCode = said.ok ? 0 : 1;
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    if (called.json) console.log(JSON.stringify({ ok: false, message }, null, 2));
    else console.error(message);
    // Our own bug keeps its stack.
    if (!(error instanceof Failure)) console.error(error);
    process.exitCode = 1;
  }
}
