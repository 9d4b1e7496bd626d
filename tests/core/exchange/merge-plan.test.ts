import { describe, expect, test } from "vitest";
import { canonicalText } from "#core/exchange/canonical";
import {
  broughtKey,
  changesNothing,
  type Here,
  type MergePlan,
  mergePlan,
  plainContent,
} from "#core/exchange/merge-plan";
import { whatItWould } from "#core/exchange/merge-words";
import type { Packet } from "#core/exchange/packet";
import { stamped } from "#core/exchange/said-versions";
import { scales } from "#core/grading/scales";
import type { Game, GameRecords, Play } from "#core/game/records";
import { aGame, aSeal, aWholeGame } from "../../main/store/build-game.ts";
import { aPacket, changed, given, sha256, versionsOf } from "./build-packet.ts";

const game = aWholeGame();

function here(records: GameRecords | null, with_: Partial<Here> = {}): Here {
  return {
    records,
    versions: records ? versionsOf(records) : [],
    brought: new Set(),
    ownBooks: new Map(),
    shippedBookIds: new Set(["flag-crew-of-four"]),
    scales: [],
    ...with_,
  };
}

function planned(library: Here, packet: Packet): MergePlan {
  const result = mergePlan(library, packet, sha256);
  if (!result.ok) throw new Error(result.sentence);
  return result.plan;
}

const countOf = (plan: MergePlan, part: string) => plan.counts.find((one) => one.part === part);
const withPlay = (with_: Partial<Play>): GameRecords => ({ ...game, plays: [{ ...game.plays[0]!, ...with_ }] });
const playKey = (play: Play) => broughtKey({ family: "play", id: play.id, content: sha256(canonicalText(play)) });

test("a game that is not here is new, part by part, and a film comes without its place", () => {
  const plan = planned(here(null), aPacket());
  expect(plan.isNewGame).toBe(true);
  for (const { part, ...counts } of plan.counts) {
    const rows = part === "game" ? 1 : aPacket()[part].length;
    expect({ part, ...counts }).toEqual({ part, new: rows, same: 0, newerHere: 0, newerThere: 0, conflicts: 0 });
  }
  const films = plan.changes.filter(({ family }) => family === "film");
  expect(films.map(({ after }) => after)).toMatchObject([{ path: "" }, { path: "" }]);
  expect(whatItWould(plan, aPacket())).toEqual([
    "The game “Herons v Lanterns” is added whole.",
    "New: 2 films, 1 play, 1 angle of a play, 1 moment, 5 stakes, 1 carried survey, 3 marks, 1 grade, 1 ruling.",
  ]);
});

test("a packet of what is here changes nothing, though it was sent out with ids for the crew", () => {
  const plan = planned(here(game), aPacket());
  expect(changesNothing(plan)).toBe(true);
  expect(whatItWould(plan, aPacket())).toEqual(["All of it is in this library already: nothing would change."]);
  expect(changesNothing(planned(here(game), aPacket(game, { crewNames: false })))).toBe(true);
});

test("of two contents that packets brought, the same one stands whichever came first", () => {
  const [ours, theirs] = [withPlay({ deadSec: 7 }), withPlay({ deadSec: 8 })];
  const outcomes = [
    [ours, theirs],
    [theirs, ours],
  ].map(([first, second]) => {
    const brought = new Set([playKey(first!.plays[0]!)]);
    const plan = planned(here(first!, { brought }), aPacket(second));
    expect(countOf(plan, "plays")).toMatchObject({ conflicts: 1 });
    const written = plan.changes.find(({ family }) => family === "play")?.after as Play | undefined;
    const standing = written ?? first!.plays[0]!;
    const [alternative] = plan.alternatives;
    return { standing, alternative: alternative?.record };
  });
  expect(outcomes[1]).toEqual(outcomes[0]);
  expect(new Set([outcomes[0]!.standing, outcomes[0]!.alternative]).size).toBe(2);
});

test("this library's own stands, whatever the hash, and what came before is not brought up again", () => {
  for (const deadSec of [6, 8, 9, 10]) {
    const packet = aPacket(withPlay({ deadSec }));
    const plan = planned(here(game), packet);
    expect(plan.changes).toEqual([]);
    expect(plan.alternatives).toMatchObject([{ family: "play", record: { deadSec } }]);
    const seen = planned(here(game, { brought: new Set(plan.brought.map(broughtKey)) }), packet);
    expect(countOf(seen, "plays")).toMatchObject({ newerHere: 1, conflicts: 0 });
    expect(changesNothing(seen)).toBe(true);
  }
});

describe("names of a crew", () => {
  const crewOf = (...names: string[]): GameRecords => ({
    ...game,
    game: aGame("game-1", {
      crew: names.map((name, index) => ({ position: ["R", "LJ"][index]!, name, personId: `p-${index}` })),
    }),
  });
  const after = (library: GameRecords, packet: GameRecords) => {
    const plan = planned(here(library), aPacket(packet));
    expect(countOf(plan, "game")).toMatchObject({ same: 1, conflicts: 0 });
    return ((plan.changes[0]?.after ?? library.game) as Game).crew.map(({ name }) => name);
  };

  test("are filled in where they were left off, and do not go again", () => {
    expect(after(crewOf("", "Ivo Brandwick"), crewOf("Tamsin Orrelby", ""))).toEqual([
      "Tamsin Orrelby",
      "Ivo Brandwick",
    ]);
    expect(after(crewOf("Tamsin Orrelby", "Ivo Brandwick"), crewOf("", ""))).toEqual([
      "Tamsin Orrelby",
      "Ivo Brandwick",
    ]);
  });

  test("of two spellings are the same in either order", () => {
    const [short, full] = [crewOf("T. Orrelby", ""), crewOf("Tamsin Orrelby", "")];
    expect(after(short, full)).toEqual(after(full, short));
  });

  test("of other people are another game", () => {
    const other = {
      ...game,
      game: aGame("game-1", { crew: [{ position: "R", name: "Tamsin Orrelby", personId: "else" }] }),
    };
    expect(countOf(planned(here(crewOf("Tamsin Orrelby")), aPacket(other)), "game")).toMatchObject({ conflicts: 1 });
    expect(plainContent("game", other.game)).toMatchObject({ crew: [{ position: "R", personId: "else" }] });
  });
});

test("of two seals of one author the earlier counts, in either order", () => {
  const early = { ...aSeal("game-1"), id: "early", sealedAt: "2026-09-20T18:30:00.000Z" };
  const late = aSeal("game-1");
  const standing = (first: typeof early, second: typeof early) => {
    const plan = planned(here({ ...game, seals: [first] }), aPacket({ ...game, seals: [second] }));
    const written = plan.changes.filter(({ family, after }) => family === "seal" && after !== null);
    return written[0]?.after ?? first;
  };
  expect(standing(early, late)).toEqual(early);
  expect(standing(late, early)).toEqual(early);
});

test("a shipped book is not given up for one that came under its id, and an own one is kept beside", () => {
  const packet = {
    ...aPacket(),
    books: [
      { id: "flag-crew-of-four", file: "{}" },
      { id: "ours", file: "theirs" },
    ],
  };
  const plan = planned(here(game, { ownBooks: new Map([["ours", "mine"]]) }), packet);
  expect(plan.books).toEqual([]);
  expect(countOf(plan, "books")).toMatchObject({ newerHere: 1, conflicts: 1 });
  expect(plan.alternatives).toMatchObject([{ family: "book", id: "ours", record: { file: "theirs" } }]);
  expect(whatItWould(plan, packet).join(" ")).toMatch(/book has the id of one here and another text/u);
  expect(planned(here(game), packet).books).toEqual([{ id: "ours", file: "theirs" }]);
});

test("a scale that is known is the same, one that is not comes along, and one that means something else is refused", () => {
  const scale = { ...scales[0], id: "own" };
  const packet = { ...aPacket(), scales: [scale] };
  expect(planned(here(game), packet).scales).toEqual([scale]);
  expect(planned(here(game, { scales: [{ scale, retired: true }] }), packet).scales).toEqual([]);
  const other = { scale: { ...scale, most: 6 }, retired: false };
  expect(mergePlan(here(game, { scales: [other] }), packet, sha256)).toMatchObject({
    ok: false,
    sentence: expect.stringMatching(/same id/u),
  });
});

test("grades are new, the same, newer here or there, or in conflict", () => {
  const grade = game.grades[0]!;
  const [later, other] = [3, 4].map((points) => ({ ...grade, points, gradedAt: `2026-09-21T0${points}:00:00.000Z` }));
  const of = (record: typeof grade, kept: Parameters<typeof stamped>[0]) => ({
    records: { ...game, grades: [record], rulings: [] },
    versions: stamped(kept, sha256),
  });
  const first = of(grade, [given(grade)]);
  const second = of(later!, [given(grade), changed(later!)]);
  const third = of(other!, [given(grade), changed(other!)]);
  const outcome = (library: typeof first, packet: typeof first) => {
    const plan = planned(here(library.records, library), aPacket(packet.records, {}, packet.versions));
    const grades = plan.changes.filter(({ family }) => family === "grade").map(({ after }) => after);
    const { part: _, ...counts } = countOf(plan, "grades")!;
    return { what: Object.entries(counts).flatMap(([name, count]) => (count > 0 ? [name] : [])), grades };
  };
  expect(outcome(first, first)).toEqual({ what: ["same"], grades: [] });
  expect(outcome(first, second)).toEqual({ what: ["newerThere"], grades: [later] });
  expect(outcome(second, first)).toEqual({ what: ["newerHere"], grades: [] });
  expect(outcome(second, third)).toEqual({ what: ["conflicts"], grades: [other] });
  expect(outcome(third, second)).toEqual({ what: ["conflicts"], grades: [] });
});
