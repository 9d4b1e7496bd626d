import { describe, expect, it } from "vitest";
import { reportDocumentShape } from "#core/contract/report-shapes";
import type { Angle, Grade, GameRecords, PrivateNote } from "#core/game/records";
import { scales } from "#core/grading/scales";
import type { Block } from "#core/report/document";
import type { PageInput } from "#core/report/page-input";
import { judgePlayRecords } from "#core/scoring/judge-play";
import { teachingChoices } from "#core/report/teaching-choices";
import type { TeachingItem } from "#core/report/teaching-item";
import { handout, teachingPage, withoutAnimations } from "#core/report/teaching-page";
import { demoGame, demoLayout, demoSurveys } from "../scoring/demo-records.ts";
import { flagCrewBook } from "../scoring/staged-play.ts";

const authorId = "the-observer";
const grade: Grade = {
  id: "g1",
  gameId: demoGame.game.id,
  playId: "demo-play-2",
  position: "FJ",
  criterion: "station",
  scaleId: "five-points",
  points: 1,
  suggested: 2,
  reason: "a reason that stays with the grade",
  comment: "a comment that stays with the grade",
  momentIds: [],
  authorId,
  gradedAt: "2026-09-20T10:00:00Z",
};
const note: PrivateNote = {
  id: "n1",
  gameId: demoGame.game.id,
  playId: "demo-play-2",
  position: "FJ",
  text: "a note that stays in the library",
  authorId,
  writtenAt: "2026-09-20T10:00:00Z",
};

function inputOf(records: GameRecords = { ...demoGame, grades: [grade], notes: [note] }): PageInput {
  const given = { surveysOf: () => demoSurveys, layout: demoLayout, book: flagCrewBook };
  return {
    records,
    layout: demoLayout,
    book: flagCrewBook,
    judged: new Map(records.plays.map((play) => [play.id, judgePlayRecords(records, play, given)])),
    scale: scales[0],
    authorId,
    observerName: "Wenna Tarbert",
    madeOn: "1 October 2026",
  };
}
const input = inputOf();
const momentIn = (number: number, phase = "pre-snap") => {
  const play = demoGame.plays.find((one) => one.number === number)!;
  return demoGame.moments.find((one) => one.playId === play.id && one.phase === phase)!;
};

const text: TeachingItem = { kind: "text", id: "t", heading: "Where to stand", text: "First words.\n\nSecond words." };
const moment = (number: number, position: string | null, phase?: string): TeachingItem => ({
  kind: "moment",
  id: `m${number}${position}`,
  momentId: momentIn(number, phase).id,
  position,
  withBefore: true,
});
const play = (number: number, position: string | null = null): TeachingItem => ({
  kind: "play",
  id: `p${number}`,
  playId: `demo-play-${number}`,
  position,
});
const headings = (blocks: readonly Block[]) =>
  blocks.flatMap((block) => (block.kind === "heading" ? [`${block.level} ${block.text}`] : []));
const texts = (blocks: readonly Block[]) =>
  blocks.flatMap((block) => (block.kind === "text" ? [block.text] : block.kind === "card" ? block.sentences : []));

describe("a teaching page", () => {
  it("keeps the order in which things were put, with what stands under a heading of one's own a level below it", () => {
    const there = teachingPage(input, "Clinic", [play(10), text, moment(2, "FJ")]);
    expect(headings(there.document.blocks)).toEqual([
      "2 Play 10, 2nd & 13",
      "2 Where to stand",
      "3 Play 2, 2nd & 9, before the snap at 0:06.70, FJ",
    ]);
    const back = teachingPage(input, "Clinic", [moment(2, "FJ"), text, play(10)]);
    expect(headings(back.document.blocks)).toEqual([
      "2 Play 2, 2nd & 9, before the snap at 0:06.70, FJ",
      "2 Where to stand",
      "3 Play 10, 2nd & 13",
    ]);
    expect(texts(there.document.blocks)).toContain("First words.");
    expect(texts(there.document.blocks)).toContain("Second words.");
    expect(back.pictures.map(({ name }) => name)).toEqual([
      "01 play 2, before the snap, FJ, as filmed",
      "01 play 2, before the snap, FJ, as measured",
      "01 play 2, before the snap, FJ, before and after",
    ]);
    expect(back.animations.map(({ name, playId }) => [name, playId])).toEqual([["03 play 10", "demo-play-10"]]);
  });

  it("is a document that the service takes", () => {
    const { document, refusal } = teachingPage(input, "Clinic", [
      text,
      moment(2, null),
      moment(10, "FJ", "zone"),
      play(10),
    ]);
    expect(reportDocumentShape.safeParse(document).error).toBeUndefined();
    expect(refusal).toBeNull();
  });

  it("knows positions only: no name of the crew or the observer, no game, no grade, no private note", () => {
    const items = demoGame.plays.flatMap(({ number }) => [
      play(number),
      ...demoGame.moments
        .filter((one) => one.playId === `demo-play-${number}`)
        .map((one): TeachingItem => ({
          kind: "moment",
          id: one.id,
          momentId: one.id,
          position: null,
          withBefore: true,
        })),
    ]);
    const page = teachingPage(input, "Clinic", items);
    const said = JSON.stringify(page);
    const secret = [
      ...demoGame.game.crew.flatMap(({ name }) => name.split(" ")),
      "Tarbert",
      demoGame.game.title,
      "2026-09-19",
      "stays with the grade",
      "stays in the library",
      scales[0].name,
      "Graded",
      "finalised",
    ];
    expect(secret.filter((word) => said.includes(word))).toEqual([]);
    // What would be found, were it there.
    expect(JSON.stringify(input)).toContain("a note that stays in the library");
    for (const { position } of demoGame.game.crew) expect(said).toContain(`${position} `);
    expect(texts(page.document.blocks)[0]).toContain("not a verdict on one");
    expect(page.document.footer).toContain("nobody is named or graded");
  });

  it("says the game only where it is asked to, and which names the person's own words hold", () => {
    const page = teachingPage(input, "Clinic", [{ ...text, text: "Petra would step back." }], { withGame: true });
    expect(page.document.lines[0]).toBe(
      "Kiln Street Herons v Port Ansel Lanterns · 2026-09-19 · Saltmarsh Valley Flag League",
    );
    expect(page.named).toEqual(["Petra Quillane"]);
    expect(page.document.footer).not.toContain("named");
  });

  it("says the missed finding with how sure it is, and shows the way by the finding's own distance", () => {
    const page = teachingPage(input, "Clinic", [moment(3, "FJ")]);
    const found = input.judged
      .get("demo-play-3")!
      .moments[0]!.judged.findings.find(({ ruleId }) => ruleId === "ST-FJ-PRE-GAIN")!;
    if (found.measure?.kind !== "station") throw new Error("no station was measured");
    const { value, low, high } = found.measure.outsideYards;
    const way = page.pictures.at(-1)!;
    expect(way.name).toContain("before and after");
    const distance = `${value.toFixed(1)} yd (${low.toFixed(1)}–${high.toFixed(1)})`;
    // By the rule FJ stood 4.4 yd too deep, and the width was inside its range.
    expect(distance).toMatch(/^4\.4 yd/u);
    expect(way.figure.caption).toContain(distance);
    expect(way.figure.picture.shapes).toContainEqual(expect.objectContaining({ kind: "label", text: distance }));
    expect(texts(page.document.blocks)).toContain(`${found.sentence} (over 99 % sure)`);
    expect(texts(page.document.blocks)).toContainEqual(
      expect.stringMatching(/^The book asks of FJ \(ST-FJ-PRE-GAIN\): on the line to gain/u),
    );
    const without = { ...moment(3, "FJ"), withBefore: false } as TeachingItem;
    expect(teachingPage(input, "Clinic", [without]).pictures).toHaveLength(2);
  });

  it("draws all of the crew over the whole frame, or one position close by", () => {
    const labels = (page: ReturnType<typeof teachingPage>) =>
      page.pictures[0]!.figure.picture.shapes.flatMap((shape) =>
        shape.kind === "label" && shape.ink === "official" ? [shape.text] : [],
      );
    const all = teachingPage(input, "Clinic", [moment(5, null)]);
    expect(labels(all).toSorted()).toEqual(["BJ", "FJ", "LJ", "R"]);
    expect(all.stills[0]!.box).toEqual({ x: 0, y: 0, width: 1280, height: 720 });
    // LJ and BJ both missed their stations there: a way each.
    expect(all.pictures.map(({ name }) => name).slice(2)).toEqual([
      "01 play 5, before the snap, before and after 1",
      "01 play 5, before the snap, before and after 2",
    ]);
    const one = teachingPage(input, "Clinic", [moment(5, "LJ")]);
    expect(labels(one)).toEqual(["LJ"]);
    expect(one.stills[0]!.box.width).toBeLessThan(1280);
  });

  it("takes the still from the film that the moment was judged on, at that film's own time", () => {
    const there = momentIn(2);
    const angle: Angle = {
      id: "a",
      gameId: demoGame.game.id,
      playId: "demo-play-2",
      filmId: "another-film",
      playInstantSec: there.timeSec,
      instantSec: there.timeSec + 100,
    };
    const other = { ...there, filmId: "another-film", timeSec: there.timeSec + 100 };
    const records = {
      ...demoGame,
      angles: [angle],
      moments: demoGame.moments.map((one) => (one.id === there.id ? other : one)),
    };
    expect(teachingPage(inputOf(records), "Clinic", [moment(2, "FJ")]).stills).toEqual([
      expect.objectContaining({ filmId: "another-film", timeSec: there.timeSec + 100 }),
    ]);
  });

  it("shows a play in motion, step by step, and in the words of what happened; one that cannot be says why", () => {
    const { document, animations } = teachingPage(input, "Clinic", [play(10)]);
    expect(document.blocks.map(({ kind }) => kind)).toEqual(["text", "heading", "animation", "steps", "card", "text"]);
    expect(animations).toHaveLength(1);
    expect(document.blocks).toContainEqual(expect.objectContaining({ kind: "animation", key: animations[0]!.key }));
    expect(texts(document.blocks)).toContainEqual(
      expect.stringMatching(/^Zone, 0:49\.03: FJ was straight-lined .* \(\d+ % sure\)$/u),
    );
    const still = teachingPage(input, "Clinic", [play(2)]);
    expect(still.animations).toEqual([]);
    expect(texts(still.document.blocks)).toContainEqual(expect.stringMatching(/^Play 2 cannot be shown as a whole/u));
  });

  it("leaves moving pictures out of a handout, and says why one could not be made", () => {
    const { document, animations } = teachingPage(input, "Clinic", [play(10), play(11)]);
    expect(handout(document).blocks.filter(({ kind }) => kind === "animation")).toEqual([]);
    expect(handout(document).blocks.filter(({ kind }) => kind === "steps")).toHaveLength(2);
    const said = withoutAnimations(document, new Map([[animations[0]!.key, "It is too long."]]));
    expect(said.blocks.filter(({ kind }) => kind === "animation")).toHaveLength(1);
    expect(texts(said.blocks)).toContain("There is no moving picture here. It is too long.");
  });

  it("refuses in a sentence what no message would carry", () => {
    const one = JSON.stringify(teachingPage(input, "Clinic", [play(10)]).document).length;
    const few = Math.floor(7_000_000 / one);
    const many = (count: number) =>
      teachingPage(
        input,
        "Clinic",
        Array.from({ length: count }, (_, i): TeachingItem => ({ ...play(10), id: `${i}` })),
      );
    expect(many(few).refusal).toBeNull();
    expect(many(few + 30).refusal).toMatch(/^This page is too large to be written: \d+\.\d MB/u);
  });
});

describe("what there is to choose from", () => {
  it("names each play and judged moment with what was missed in a word, once", () => {
    const choices = teachingChoices(input);
    const ten = choices.find(({ playId }) => playId === "demo-play-10")!;
    expect(ten).toMatchObject({ name: "Play 10, 2nd & 13", isWhole: true });
    expect(ten.missed).toEqual([{ position: "FJ", word: "straight-lined look" }]);
    expect(ten.moments.filter(({ missed }) => missed.length > 0).map(({ name }) => name)).toEqual([
      "zone at 0:49.03",
      "zone at 0:49.30",
    ]);
    const words = choices.flatMap(({ missed }) => missed.map(({ position, word }) => `${position ?? "crew"}: ${word}`));
    expect(words).toEqual([
      "FJ: off station",
      "FJ: off station",
      "R: off station",
      "LJ: off station",
      "BJ: off station",
      "FJ: key not kept",
      "FJ: handoff with a gap",
      "FJ: straight-lined look",
      "crew: nobody saw it",
      "LJ: eyes on the ball",
      "FJ: zone not kept",
      "crew: wrong count",
    ]);
    expect(choices.find(({ playId }) => playId === "demo-play-2")!.isWhole).toBe(false);
  });
});
