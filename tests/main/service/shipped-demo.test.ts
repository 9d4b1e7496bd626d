import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { layOut, templateById } from "#core/field/template";
import { demoClicksShape } from "../../../src-main/demo/demo-clicks.ts";
import { seedDemo } from "../../../src-main/demo/seed-demo.ts";
import { createFilmTools } from "../../../src-main/film/film-tools.ts";
import { openTemporary } from "../store/temporary-library.ts";
import { aService, answerTo } from "./a-service.ts";

const folder = join(import.meta.dirname, "../../../src-main/demo");
const filmPath = join(folder, "film.mp4");
const clicksPath = join(folder, "clicks.json");

test("the demo that comes with the program seeds a game whose every stake is a landmark of its field", async () => {
  const library = await openTemporary();
  const filmTools = createFilmTools();
  const demo = await seedDemo({ library, filmTools, filmPath, clicksPath });
  const { client } = aService(library, { filmTools, demo });
  const opened = await client.games.open({ gameId: "demo-game" });
  expect(opened.filmStates).toEqual([{ filmId: "demo-film", state: "present" }]);
  const clicks = demoClicksShape.parse(JSON.parse(readFileSync(clicksPath, "utf8")));
  expect(createHash("sha256").update(readFileSync(filmPath)).digest("hex")).toBe(clicks.filmSha256);
  expect(opened.plays).toHaveLength(clicks.plays.length);
  expect(opened.plays.length).toBeGreaterThanOrEqual(6);
  const [film] = opened.films;
  const template = templateById(opened.game.templateId);
  if (film === undefined || template === null) throw new Error("the demo has no film or no field");
  const known = new Set(layOut(template).landmarks.map((landmark) => landmark.id));
  expect(opened.stakes.filter((stake) => stake.kind !== "point" || !known.has(stake.landmarkId))).toEqual([]);
  for (const moment of opened.moments) expect(moment.timeSec).toBeLessThan(film.durationSec);
  const [summary] = await client.games.list();
  expect(summary).toMatchObject({
    plays: opened.plays.length,
    surveyed: opened.plays.length,
    marked: opened.plays.length,
  });
});

test("the real film tools attach a film once and refuse what is no film", async () => {
  const library = await openTemporary();
  const { client, logged } = aService(library, { filmTools: createFilmTools() });
  const game = await client.games.create({
    title: "Another",
    playedOn: null,
    level: "",
    homeName: "Herons",
    awayName: "Lanterns",
    playersPerSide: 7,
    templateId: "flag-100x40",
    fieldChoices: { hashSet: null, numbers: null, goalWidth: null, custom: null },
    bookId: "flag-crew-of-four",
    lineJudgeSide: "near",
    crew: [],
  });
  const edited = await client.films.attach({ gameId: game.id, path: filmPath });
  // What the demo is rendered to: 720p H.264, by the header that ffprobe reads as 1280 × 720.
  expect(edited.changes).toMatchObject([{ family: "film", after: { label: "film", widthPx: 1280, heightPx: 720 } }]);
  expect(await answerTo(client.films.attach({ gameId: game.id, path: filmPath }))).toMatchObject({
    code: "INVALID",
    known: true,
  });
  expect(await answerTo(client.films.attach({ gameId: game.id, path: clicksPath }))).toMatchObject({
    code: "FILM_CODEC",
    known: true,
  });
  expect(logged).toEqual([]);
});
