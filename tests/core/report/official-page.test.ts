/**
 * Pages of the demo game. What they must say comes from outside of the program: the faults that the film's scene planted
 * (tests/scene), and the numbers that the screen shows of the same findings.
 */
import { describe, expect, it } from "vitest";
import type { Block } from "#core/report/document";
import { crewPage, gamePage } from "#core/report/crew-page";
import { officialPage } from "#core/report/official-page";
import { othersNamed, type Page, rulingRateWords, withoutOthers } from "#core/report/page-input";
import { findingFacts } from "#core/scoring/finding-facts";
import { demoGame } from "../scoring/demo-records.ts";
import { aGradeOf, aRulingOf, demoInput, playId } from "./judged-demo.ts";

type Card = Extract<Block, { kind: "card" }>;
const crew = demoGame.game.crew;

function cards(page: Page, verdict: Card["verdict"]): Card[] {
  return page.document.blocks.flatMap((block) => (block.kind === "card" && block.verdict === verdict ? [block] : []));
}
const shapesOf = (page: Page) =>
  page.document.blocks.flatMap((block) =>
    block.kind === "card" ? block.figures.flatMap(({ picture }) => picture.shapes) : [],
  );

describe("the page of one official", () => {
  it("says what the scene planted of them as what to work on, with still, plan, sentence and the screen's own numbers", () => {
    const page = officialPage(demoInput(), "FJ");
    // Play 2: FJ put three yards short of the ten that the book asks (tests/scene).
    const card = cards(page, "missed").find(({ heading }) => heading.startsWith("Play 2,"))!;
    expect(card.sentences[0]).toMatch(/^FJ stood 6\.4 yd/u);
    expect(card.figures.map(({ picture }) => picture.surface)).toEqual(["film", "paper"]);
    expect(card.figures[0]!.picture.shapes.some((shape) => shape.ink === "target-missed")).toBe(true);
    const finding = demoInput()
      .judged.get(playId(2))!
      .moments.flatMap(({ judged }) => judged.findings)
      .find(({ position, verdict }) => position === "FJ" && verdict === "missed")!;
    for (const { name, figure, interval } of findingFacts(finding)) {
      const fact = card.facts.find((one) => one.name === name)!;
      expect(fact.value).toContain(figure);
      if (interval !== null) expect(fact.value).toContain(interval);
    }
    const still = page.stills.find(({ key }) => key === card.figures[0]!.picture.stillKey)!;
    expect(still).toMatchObject({ filmId: demoGame.films[0]!.id, box: card.figures[0]!.picture.box });
    expect(cards(page, "met").length).toBeGreaterThan(0);
    // Every planted fault of FJ's stations, keys, zones and looks.
    expect(cards(page, "missed").map(({ heading }) => Number(/^Play (\d+)/u.exec(heading)?.[1]))).toEqual(
      expect.arrayContaining([2, 3, 8, 10, 13]),
    );
  });

  it("crops its stills inside the frame, with the official in them", () => {
    for (const { position } of crew)
      for (const { box, filmId, timeSec } of officialPage(demoInput(), position).stills) {
        const film = demoGame.films.find(({ id }) => id === filmId)!;
        expect(Math.min(box.x, box.y)).toBeGreaterThanOrEqual(0);
        expect(box.x + box.width).toBeLessThanOrEqual(film.widthPx);
        expect(box.y + box.height).toBeLessThanOrEqual(film.heightPx);
        const moment = demoGame.moments.find((one) => one.timeSec === timeSec)!;
        const mark = demoGame.marks.find(
          ({ momentId, subject }) =>
            momentId === moment.id && subject.kind === "official" && subject.position === position,
        )!;
        expect(mark.click.uPx).toBeGreaterThanOrEqual(box.x);
        expect(mark.click.uPx).toBeLessThanOrEqual(box.x + box.width);
        expect(mark.click.vPx).toBeGreaterThanOrEqual(box.y);
        expect(mark.click.vPx).toBeLessThanOrEqual(box.y + box.height);
      }
  });

  it.each(crew.map(({ position }) => position))(
    "of %s holds no other official: no name, no letters, no grade, no mark, and no private note",
    (own) => {
      const input = demoInput({
        // Grades that nothing else on a page could be: each official has a reason of their own.
        grades: crew.flatMap(({ position }) => [
          aGradeOf(position, { points: 3, suggested: 4, reason: `reason only of ${position.toLowerCase()}-x` }),
          aGradeOf(position, {
            playId: null,
            criterion: "look",
            comment: `comment only of ${position.toLowerCase()}-x`,
          }),
          aGradeOf(position, { authorId: "observer-2", playId: playId(4), reason: "another observer's" }),
        ]),
        rulings: crew.map(({ position }) =>
          aRulingOf(position, { seers: crew.map((one) => one.position), comment: "the flag was late" }),
        ),
        notes: [
          {
            id: "n",
            gameId: demoGame.game.id,
            playId: playId(2),
            position: own,
            text: "between us",
            authorId: "observer-1",
            writtenAt: "2026-09-20T18:00:00.000Z",
          },
        ],
      });
      const page = officialPage(input, own);
      const text = JSON.stringify(page.document);
      expect(text.includes(`reason only of ${own.toLowerCase()}-x`)).toBe(true);
      expect(text.includes("between us")).toBe(false);
      expect(text.includes("another observer's")).toBe(false);
      for (const { position, name } of crew.filter((one) => one.position !== own)) {
        for (const part of [name, ...name.split(" ")]) expect(text.includes(part), part).toBe(false);
        expect(text.includes(`only of ${position.toLowerCase()}-x`), position).toBe(false);
        // Their letters stand nowhere by themselves: in no sentence, on no picture.
        expect(new RegExp(`(?<![\\w-])${position}(?![\\w-])`, "u").test(text), position).toBe(false);
      }
      const letters = shapesOf(page).flatMap((shape) =>
        shape.kind === "label" && shape.ink === "official" ? [shape.text] : [],
      );
      expect(new Set(letters)).toEqual(new Set([own]));
    },
  );

  it("does not call it something to work on where a person graded better than was found, and says what they said elsewhere", () => {
    const overruled = aGradeOf("FJ", { points: 4, suggested: 2, reason: "The chain crew stood in the way." });
    const page = officialPage(demoInput({ grades: [overruled] }), "FJ");
    expect(cards(page, "missed").some(({ heading }) => heading.startsWith("Play 2,"))).toBe(false);
    expect(JSON.stringify(page.document)).toContain("The chain crew stood in the way.");
    const worse = aGradeOf("FJ", { points: 1, suggested: 2, reason: "Not once in the half." });
    const kept = officialPage(demoInput({ grades: [worse] }), "FJ");
    const card = cards(kept, "missed").find(({ heading }) => heading.startsWith("Play 2,"))!;
    expect(card.sentences).toContain(
      "Graded: 1, not at all as the book asks, where 2 was suggested. Not once in the half.",
    );
  });

  it("names the observer only where they let it, says the edition and the caution, and marks what was amended", () => {
    const grades = [aGradeOf("FJ", { gradedAt: "2026-09-22T08:00:00.000Z", reason: "seen again" })];
    const seals = [{ id: "s", gameId: demoGame.game.id, authorId: "observer-1", sealedAt: "2026-09-21T08:00:00.000Z" }];
    const input = demoInput({ grades, seals });
    const without = JSON.stringify(officialPage(input, "FJ").document);
    const named = JSON.stringify(officialPage({ ...input, observerName: "Wendeline Askew" }, "FJ").document);
    expect(without).not.toContain("Wendeline");
    expect(named).toContain("Wendeline Askew");
    expect(without).toContain(`edition ${input.book.edition}`);
    expect(without).toContain("finalised 2026-09-21");
    expect(without).toContain("Amended 2026-09-22.");
    expect(without).toContain("not a verdict on one");
  });

  it("counts by rule what the findings are", () => {
    const page = officialPage(demoInput(), "BJ");
    const table = page.document.blocks.find(
      (block) => block.kind === "table" && block.caption.startsWith("Findings of BJ"),
    ) as Extract<Block, { kind: "table" }>;
    const all = [...demoInput().judged.values()].flatMap(({ findings, moments }) => [
      ...findings,
      ...moments.flatMap(({ judged }) => judged.findings),
    ]);
    for (const [rule, , met, missed, untold] of table.rows) {
      const count = (verdict: string) =>
        String(all.filter((one) => one.position === "BJ" && one.ruleId === rule && one.verdict === verdict).length);
      expect([met, missed, untold]).toEqual([count("met"), count("missed"), count("cannot tell")]);
    }
  });
});

it("a sentence about one names no other by their letters, alone or in a row", () => {
  const positions = ["R", "LJ", "FJ", "BJ"];
  expect(withoutOthers("LJ left it; R and BJ had it, and FJ did not.", positions, "LJ")).toBe(
    "LJ left it; others of the crew had it, and another official did not.",
  );
  expect(withoutOthers("FJ stood 3 yd short.", positions, "FJ")).toBe("FJ stood 3 yd short.");
});

it("a person's own words that name another of the crew are told before the page goes out", () => {
  const [first, other] = crew;
  const grades = [aGradeOf(first!.position, { comment: `as ${other!.name.split(" ")[1]} does it` })];
  expect(othersNamed(demoInput({ grades }), first!.position)).toEqual([{ name: other!.name, where: "play 2" }]);
  expect(othersNamed(demoInput({ grades }), other!.position)).toEqual([]);
});

it("rulings have a rate of the judged ones with Wilson's interval, marginal ones beside it", () => {
  // Newcombe 1998, Statistics in Medicine 17:857-872, table I: 15 of 148 is .0624 to .1605 by Wilson's score.
  const many = (count: number, judged: "correct" | "incorrect" | "marginal") =>
    Array.from({ length: count }, () => ({ class: judged }));
  expect(rulingRateWords([...many(15, "correct"), ...many(133, "incorrect"), ...many(2, "marginal")])).toBe(
    "15 of 148 judged were correct, 10 % (6 % to 16 %); 2 marginal",
  );
  expect(rulingRateWords([])).toBe("none could be judged correct or incorrect");
});

describe("the crew's and the game's pages", () => {
  it("hold everybody with their scores and grades, and what nobody had", () => {
    const input = demoInput({ grades: crew.map(({ position }) => aGradeOf(position, { points: 3 })) });
    const text = JSON.stringify(crewPage(input).document);
    for (const { name } of crew) expect(text).toContain(name);
    expect(text).toContain("3.00 (1)");
  });

  it("list every miss of the game, and the rulings in words", () => {
    const input = demoInput({ rulings: [aRulingOf("LJ", { kind: "no-call", class: "incorrect" })] });
    const text = JSON.stringify(gamePage(input).document);
    const missed = [...input.judged.values()]
      .flatMap(({ findings, moments }) => [...findings, ...moments.flatMap(({ judged }) => judged.findings)])
      .filter(({ verdict }) => verdict === "missed");
    expect(missed.length).toBeGreaterThan(10);
    for (const { sentence } of missed) expect(text).toContain(JSON.stringify(sentence).slice(1, -1));
    expect(text).toContain("incorrect no-call");
  });
});
