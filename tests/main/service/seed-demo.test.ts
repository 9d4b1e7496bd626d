import { createHash } from "node:crypto";
import { mkdirSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { emptyGame } from "#core/game/records";
import { type DemoClicks, demoClicksShape } from "../../../src-main/demo/demo-clicks.ts";
import { seedDemo } from "../../../src-main/demo/seed-demo.ts";
import type { Library } from "../../../src-main/store/library.ts";
import { mustOpen, openTemporary, temporaryFolder } from "../store/temporary-library.ts";
import { aGame } from "../store/build-game.ts";
import { aService } from "./a-service.ts";
import { contentFilmTools } from "./content-film-tools.ts";

const filmContent = "film 1280x720 61.5 avc1 demo";

function clicksOf(sha256: string): DemoClicks {
  return {
    filmSha256: sha256,
    plays: [
      {
        number: 1,
        startSec: 0,
        endSec: 8.5,
        snapSec: 3.2,
        releaseSec: null,
        catchSec: null,
        deadSec: null,
        quarter: 1,
        series: 1,
        situation: {
          offence: "lanterns",
          direction: "left",
          down: 4,
          distanceYards: 6,
          scrimmageXYards: 44,
          lineToGainXYards: 38,
          ballYYards: 20,
        },
        moments: [
          {
            phase: "pre-snap",
            frameIndex: 93,
            stakes: [
              { landmarkId: "near-sideline/L20", uPx: 100.25, vPx: 600.5 },
              { landmarkId: "far-sideline/L20", uPx: 220, vPx: 300 },
              { landmarkId: "near-sideline/mid", uPx: 900, vPx: 610 },
              { landmarkId: "far-sideline/mid", uPx: 800, vPx: 305 },
            ],
            marks: [
              { kind: "official", position: "FJ", uPx: 512.5, vPx: 320, facing: { uPx: 530, vPx: 400 } },
              { kind: "player", team: "B", role: "defender", uPx: 400, vPx: 380, facing: null },
              { kind: "ball", uPx: 620, vPx: 450 },
            ],
          },
        ],
      },
      {
        number: 2,
        startSec: 8.5,
        endSec: 15,
        snapSec: null,
        releaseSec: null,
        catchSec: null,
        deadSec: null,
        quarter: 1,
        series: 1,
        situation: {
          offence: "herons",
          direction: "right",
          down: null,
          distanceYards: null,
          scrimmageXYards: 30,
          lineToGainXYards: null,
          ballYYards: 13.3,
        },
        moments: [],
      },
    ],
  };
}

/** A program's folder with a demo film and clicks in it, and the seeding from there or from where it moved to. */
function program() {
  const folder = join(temporaryFolder(), "program");
  const write = (at: string, content = filmContent) => {
    mkdirSync(at, { recursive: true });
    writeFileSync(join(at, "film.mp4"), content);
    const sha256 = createHash("sha256").update(filmContent).digest("hex");
    writeFileSync(join(at, "clicks.json"), JSON.stringify(clicksOf(sha256)));
  };
  write(folder);
  const seed = (library: Library, at = folder) =>
    seedDemo({
      library,
      filmTools: contentFilmTools,
      filmPath: join(at, "film.mp4"),
      clicksPath: join(at, "clicks.json"),
    });
  return { folder, write, seed };
}

describe("the demo game", () => {
  test("is there in a fresh library, whole, with nothing to undo", async () => {
    const { folder, seed } = program();
    const library = await openTemporary();
    const demo = await seed(library);
    expect(demo.gameId()).toBe("demo-game");
    const opened = library.openGame("demo-game");
    expect(opened.game).toMatchObject({
      homeName: "Kiln Street Herons",
      awayName: "Port Ansel Lanterns",
      playedOn: "2026-09-19",
    });
    expect(opened.history).toEqual({ undo: null, redo: null });
    expect(opened.films).toMatchObject([{ id: "demo-film", path: join(folder, "film.mp4"), widthPx: 1280 }]);
    expect(opened.plays.map((play) => [play.id, play.situation.offence, play.situation.down])).toEqual([
      ["demo-play-1", "away", 4],
      ["demo-play-2", "home", null],
    ]);
    // 30 frames a second from 0: frame 93 is shown from 3.1 s on.
    expect(opened.moments).toMatchObject([{ id: "demo-moment-1-1", frameIndex: 93, timeSec: 3.1, phase: "pre-snap" }]);
    expect(opened.stakes.map((stake) => stake.id)).toEqual([1, 2, 3, 4].map((number) => `demo-stake-1-1-${number}`));
    expect(opened.stakes[0]).toMatchObject({ landmarkId: "near-sideline/L20", click: { uPx: 100.25, vPx: 600.5 } });
    expect(opened.marks.map((mark) => mark.subject)).toEqual([
      { kind: "official", position: "FJ" },
      { kind: "player", side: "B", role: "defender" },
      { kind: "ball" },
    ]);
    expect(opened.marks[0]?.facing).toEqual({ uPx: 530, vPx: 400 });
    expect(library.listGames()[0]).toMatchObject({ plays: 2, surveyed: 1, marked: 1 });
  });

  test("keeps what the person did to it, and is not seeded twice", async () => {
    const { seed } = program();
    const library = await openTemporary();
    await seed(library);
    const { game } = library.openGame("demo-game");
    library.commit("demo-game", "Rename", [
      { family: "game", id: game.id, before: game, after: { ...game, title: "Mine" } },
    ]);
    library.close();
    const again = await mustOpen(library.path);
    await seed(again);
    expect(again.listGames().map((each) => each.title)).toEqual(["Mine"]);
  });

  test("stays away once it was removed, until it is asked for", async () => {
    const { seed } = program();
    const library = await openTemporary();
    await seed(library);
    library.removeGame("demo-game");
    library.close();
    const again = await mustOpen(library.path);
    const demo = await seed(again);
    expect(again.listGames()).toEqual([]);
    const { client } = aService(again, { demo });
    expect((await client.library.info()).demoGameId).toBeNull();
    const answers = await Promise.all([client.games.restoreDemo(), client.games.restoreDemo()]);
    expect(answers).toEqual([{ gameId: "demo-game" }, { gameId: "demo-game" }]);
    expect((await client.library.info()).demoGameId).toBe("demo-game");
    expect(again.openGame("demo-game").marks).toHaveLength(3);
  });

  test("does not push itself into a library that holds games already", async () => {
    const { seed } = program();
    const library = await openTemporary();
    library.addGame({ ...emptyGame, game: aGame() });
    const demo = await seed(library);
    expect(demo.gameId()).toBeNull();
    expect(library.listGames()).toHaveLength(1);
  });

  test("finds its film again when the program was moved", async () => {
    const { folder, seed } = program();
    const library = await openTemporary();
    await seed(library);
    renameSync(folder, `${folder}-moved`);
    await seed(library, `${folder}-moved`);
    const opened = library.openGame("demo-game");
    expect(opened.films[0]?.path).toBe(join(`${folder}-moved`, "film.mp4"));
    expect(await contentFilmTools.state(opened.films[0] as (typeof opened.films)[number])).toBe("present");
    await seed(library, `${folder}-moved`);
    expect(library.openGame("demo-game").sequence).toBe(1);
  });

  test("does not take another film for its own", async () => {
    const { folder, write, seed } = program();
    const library = await openTemporary();
    await seed(library);
    renameSync(folder, `${folder}-moved`);
    write(`${folder}-moved`, "film 1280x720 61.5 avc1 newer demo");
    await seed(library, `${folder}-moved`);
    expect(library.openGame("demo-game").films[0]?.path).toBe(join(folder, "film.mp4"));
    await expect(seed(await openTemporary(), `${folder}-moved`)).rejects.toThrow("another film");
  });

  test("cannot be brought back by a program that comes without it", async () => {
    const { client } = aService(await openTemporary());
    await expect(client.games.restoreDemo()).rejects.toMatchObject({ code: "NOT_HERE" });
  });
});

test("clicks with a stray property, an unknown role or no plays are refused", () => {
  const good = clicksOf("a".repeat(64));
  expect(demoClicksShape.safeParse(good).success).toBe(true);
  const [play] = good.plays;
  const bad: unknown[] = [
    { ...good, extra: 1 },
    { ...good, plays: [] },
    { ...good, filmSha256: "short" },
    { ...good, plays: [{ ...play, snapSec: Number.NaN }] },
    { ...good, plays: [{ ...play, moments: [{ phase: "pre-snap", frameIndex: 1.5, stakes: [], marks: [] }] }] },
    {
      ...good,
      plays: [
        {
          ...play,
          moments: [
            {
              phase: "pre-snap",
              frameIndex: 1,
              stakes: [],
              marks: [{ kind: "player", team: "A", role: "keeper", uPx: 1, vPx: 1, facing: null }],
            },
          ],
        },
      ],
    },
  ];
  for (const clicks of bad) expect(demoClicksShape.safeParse(clicks).success).toBe(false);
});
