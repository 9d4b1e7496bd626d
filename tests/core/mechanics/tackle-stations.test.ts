import { describe, expect, it } from "vitest";
import { asked, at, shipped, tackleField, tackleScene } from "./laid-out.ts";

/**
 * Depths and widths that manuals print, each with its source, against the boxes that the shipped books ask for on the
 * ground. Yards; depth from the line of scrimmage, positive on the defence's side.
 *
 * THREE: a clinic's review of three-person mechanics. NFHS: Football Game Officials Manual 2026 and 2027. STATE: a state
 * association's handbook, 2026, position cards. SEVEN: a state association's seven-person deck, 2022. PHL: an
 * association's seven-person material. EIGHT: a primer for college crews of eight. CFOA: a state manual, positioning and
 * coverage on scrimmage plays.
 */
const line = 50;
const ballY = 80 / 3;
const width = 160 / 3;
const close = (value: number) => expect.closeTo(value, 1);

const depths: readonly [book: string, rule: string, position: string, from: number, to: number, source: string][] = [
  ["three", "ST-R-PRE", "R", -14, -12, "THREE: R 12 to 14 behind"],
  ["three", "ST-HL-PRE", "HL", 0, 0, "THREE: wings straddle the line"],
  ["three", "ST-LJ-PRE", "LJ", 0, 0, "THREE: wings straddle the line"],
  ["four", "ST-R-PRE", "R", -12, -10, "NFHS 3.7: R 10 to 12 once A is set"],
  ["four", "ST-R-PRE", "R", -15, -15, "STATE: R 15"],
  ["four", "ST-U-PRE", "U", 5, 10, "NFHS 3.7: U 5 to 10"],
  ["four", "ST-U-PRE", "U", 7, 7, "STATE: U 7"],
  ["four", "ST-HL-PRE", "HL", 0, 0, "NFHS 3.7: wings straddle the line"],
  ["four", "ST-LJ-PRE", "LJ", 0, 0, "NFHS 3.7: wings straddle the line"],
  ["five", "ST-R-PRE", "R", -12, -10, "NFHS 4.7: R 10 to 12 once A is set"],
  ["five", "ST-R-PRE", "R", -15, -12, "an association's handout on scrimmage plays: R 12 to 15"],
  ["five", "ST-U-PRE", "U", 5, 7, "NFHS 4.7: U 5 to 7"],
  ["five", "ST-BJ-PRE", "BJ", 20, 25, "NFHS 4.7: BJ 20 to 25"],
  ["five", "ST-BJ-PRE", "BJ", 17, 17, "STATE: BJ 17"],
  ["seven", "ST-R-PRE", "R", -15, -13, "NFHS 5.7: R 13 to 15"],
  ["seven", "ST-U-PRE", "U", 5, 10, "NFHS 5.7: U 5 to 10"],
  ["seven", "ST-U-PRE", "U", 5, 7, "officials' digest of seven-person crews: U 5 to 7"],
  ["seven", "ST-FJ-PRE", "FJ", 20, 22, "NFHS 5.7: FJ 20 to 22"],
  ["seven", "ST-SJ-PRE", "SJ", 20, 22, "NFHS 5.7: SJ 20 to 22"],
  ["seven", "ST-SJ-PRE", "SJ", 20, 20, "PHL: 20 beyond the wing"],
  ["seven", "ST-BJ-PRE", "BJ", 25, 30, "NFHS 5.7: BJ 25 to 30"],
  ["seven", "ST-BJ-PRE", "BJ", 22, 25, "officials' digest of seven-person crews: BJ 22 to 25"],
  ["eight", "ST-R-PRE", "R", -15, -12, "EIGHT: R 12 to 15"],
  ["eight", "ST-CJ-PRE", "CJ", -15, -12, "EIGHT: CJ as deep as R"],
];

describe("depths of the tackle books before the snap", () => {
  it.each(depths)("%s: %s holds what %s is printed to keep, %d to %d (%s)", (crew, rule, position, from, to) => {
    const { id, boxes } = asked(`tackle-crew-of-${crew}`, position, tackleScene);
    expect(id).toBe(rule);
    for (const [near = NaN, far = NaN] of boxes) {
      expect(near - line).toBeLessThanOrEqual(from);
      expect(far - line).toBeGreaterThanOrEqual(to);
      // Wider than all that is printed, the range would find nobody out of place.
      expect(far - near).toBeLessThanOrEqual(8);
    }
  });
});

describe("widths of the tackle books before the snap", () => {
  it("three: R is 8 to 10 off the ball on the wide side, on either with the ball in the middle", () => {
    const boxes = (y: number) => asked("tackle-crew-of-three", "R", at(tackleScene, { ballYYards: y })).boxes;
    expect(boxes(20)).toEqual([[35, 39, 28, 30]]);
    expect(boxes(33)).toEqual([[35, 39, 23, 25]]);
    expect(boxes(ballY)).toHaveLength(2);
  });

  it("four, five: R is at least as wide as the tight end, on either side, which stands for the passer's arm (NFHS 3.7)", () => {
    for (const crew of ["four", "five"]) {
      const { boxes } = asked(`tackle-crew-of-${crew}`, "R", tackleScene);
      expect(boxes.map(([, , from, to]) => [from, to])).toEqual([
        [close(ballY + 5), close(ballY + 15)],
        [close(ballY - 15), close(ballY - 5)],
      ]);
    }
  });

  it("seven: R is at least a yard outside the tight end (NFHS 5.7)", () => {
    const { boxes } = asked("tackle-crew-of-seven", "R", tackleScene);
    expect(boxes.map(([, , from, to]) => [from, to])).toEqual([
      [close(ballY + 6), close(ballY + 15)],
      [close(ballY - 15), close(ballY - 6)],
    ]);
  });

  it("eight: R is even with the tight end on the offence's right, CJ on its left, and both turn with the play (EIGHT)", () => {
    const turned = at(tackleScene, { direction: "left" });
    const inner = (position: string, scene: typeof tackleScene) => asked("tackle-crew-of-eight", position, scene).boxes;
    const right = [[35, 38, close(ballY - 8), close(ballY - 4)]];
    const left = [[35, 38, close(ballY + 4), close(ballY + 8)]];
    expect([inner("R", tackleScene), inner("CJ", tackleScene)]).toEqual([right, left]);
    expect(inner("R", turned)).toEqual([[62, 65, close(ballY + 4), close(ballY + 8)]]);
    expect(inner("CJ", turned)).toEqual([[62, 65, close(ballY - 8), close(ballY - 4)]]);
  });

  it("wings stand at the sideline, up to 2 yards outside it, HL opposite LJ (NFHS 3.7, 4.7, 5.7)", () => {
    for (const crew of ["four", "five", "seven", "eight"]) {
      const book = `tackle-crew-of-${crew}`;
      expect(asked(book, "LJ", tackleScene).boxes).toEqual([[49.5, 50.5, -2, 0]]);
      expect(asked(book, "HL", tackleScene).boxes).toEqual([[49.5, 50.5, close(width), close(width + 2)]]);
    }
  });

  it("seven: FJ and SJ work a strip of 2 yards outside the sideline, FJ on the press-box side (PHL)", () => {
    expect(asked("tackle-crew-of-seven", "FJ", tackleScene).boxes).toEqual([[68, 72, -2, 0]]);
    expect(asked("tackle-crew-of-seven", "SJ", tackleScene).boxes).toEqual([[68, 72, close(width), close(width + 2)]]);
  });

  it("five, seven: BJ is between the uprights, 23 ft 4 in apart, toward the side with more receivers (NFHS, STATE)", () => {
    for (const crew of ["five", "seven"]) {
      const { boxes } = asked(`tackle-crew-of-${crew}`, "BJ", tackleScene);
      expect(boxes).toHaveLength(1);
      const [, , from = 0, to = 0] = boxes[0]!;
      expect(from).toBeGreaterThanOrEqual(ballY - 70 / 9 / 2 - 0.05);
      expect(to).toBeLessThanOrEqual(ballY + 1.05);
    }
  });
});

describe("the tackle books near a goal line", () => {
  const goal = tackleField.rightGoalXYards;
  const snapFrom = (yards: number) => at(tackleScene, { scrimmageXYards: goal - yards, lineToGainXYards: goal });
  const backedUp = (yards: number) =>
    at(tackleScene, { scrimmageXYards: tackleField.leftGoalXYards + yards, lineToGainXYards: 10 + yards + 10 });
  const spot = (crew: string, position: string, scene: typeof tackleScene, phase: "pre-snap" | "zone" = "pre-snap") => {
    const { id, boxes } = asked(`tackle-crew-of-${crew}`, position, scene, phase);
    return [id, boxes[0]?.[0], boxes[0]?.[1]];
  };

  // ST-HL-ZONE-GOAL, ST-LJ-ZONE-GOAL
  it.each(["HL", "LJ"])("four, five: %s stands on the goal line before the ball from the 10 in (STATE)", (wing) => {
    for (const crew of ["four", "five"]) {
      expect(spot(crew, wing, snapFrom(10), "zone")).toEqual([`ST-${wing}-ZONE-GOAL`, goal - 0.5, goal + 0.5]);
      expect(spot(crew, wing, snapFrom(11), "zone")[0]).toBeNull();
    }
  });

  it.each(["HL", "LJ"])("seven: %s owns the goal line from the 7 in (NFHS 5.7)", (wing) => {
    expect(spot("seven", wing, snapFrom(7), "zone")).toEqual([`ST-${wing}-ZONE-GOAL`, goal - 0.5, goal + 0.5]);
    expect(spot("seven", wing, snapFrom(8), "zone")[0]).toBeNull();
  });

  it("ST-FJ-PRE-GOAL, ST-SJ-PRE-GOAL: seven: at the pylon for snaps from the 25 to the 7 (NFHS 5.7)", () => {
    for (const deep of ["FJ", "SJ"]) {
      for (const yards of [25, 7])
        expect(spot("seven", deep, snapFrom(yards))).toEqual([`ST-${deep}-PRE-GOAL`, goal - 0.5, goal + 1]);
      expect(spot("seven", deep, snapFrom(26))[0]).toBe(`ST-${deep}-PRE`);
      expect(spot("seven", deep, snapFrom(6))[0]).toBe(`ST-${deep}-PRE`);
    }
  });

  it("ST-BJ-PRE-END: five from the 10 in (STATE, CFOA), seven from the 25 in (NFHS 5.7): BJ on the end line", () => {
    const end = tackleField.totalLengthYards;
    expect(spot("five", "BJ", snapFrom(10))).toEqual(["ST-BJ-PRE-END", end - 0.5, end + 1]);
    expect(spot("seven", "BJ", snapFrom(25))).toEqual(["ST-BJ-PRE-END", end - 0.5, end + 1.5]);
    expect(spot("seven", "BJ", snapFrom(26))[0]).toBe("ST-BJ-PRE");
  });

  it("ST-BJ-PRE-GOAL: five between the 25 and the 15: one manual's goal line (CFOA) and another's 17 yards (STATE)", () => {
    for (const yards of [15, 20, 25]) {
      const [id, from, to] = spot("five", "BJ", snapFrom(yards));
      expect(id).toBe("ST-BJ-PRE-GOAL");
      for (const printed of [goal, goal - yards + 17]) {
        expect(from).toBeLessThanOrEqual(printed);
        expect(to).toBeGreaterThanOrEqual(printed);
      }
    }
  });

  it("ST-HL-ZONE-GAIN, ST-LJ-ZONE-GAIN: four, five: on the line to gain with 5 or less to go (STATE)", () => {
    for (const wing of ["HL", "LJ"]) {
      const toGo = (yards: number) => at(tackleScene, { lineToGainXYards: line + yards });
      expect(spot("five", wing, toGo(5), "zone")).toEqual([`ST-${wing}-ZONE-GAIN`, 54.5, 55.5]);
      expect(spot("five", wing, toGo(6), "zone")[0]).toBeNull();
    }
  });

  it("ST-R-PRE-END, ST-R-PRE-OWN-GOAL: backed up, R is on the end line 8 wide, or the goal line 10 wide (STATE)", () => {
    for (const crew of ["four", "five"]) {
      const book = `tackle-crew-of-${crew}`;
      const deep = asked(book, "R", backedUp(8));
      expect([deep.id, ...deep.boxes[0]!]).toEqual(["ST-R-PRE-END", -1, 0.5, close(ballY + 7), close(ballY + 9)]);
      const shallow = asked(book, "R", backedUp(12));
      expect([shallow.id, ...shallow.boxes[0]!]).toEqual([
        "ST-R-PRE-OWN-GOAL",
        9,
        10.5,
        close(ballY + 9),
        close(ballY + 11),
      ]);
      expect(asked(book, "R", backedUp(16)).id).toBe("ST-R-PRE");
    }
  });

  it("ST-HL-ZONE-BACKED, ST-LJ-ZONE-BACKED, ST-LJ-ZONE-BACKED-SEVEN: who goes back to A's goal line (STATE, SEVEN)", () => {
    const own = tackleField.leftGoalXYards;
    const goes = (crew: string, wing: string, yards: number) =>
      spot(crew, wing, at(backedUp(yards), { lineToGainXYards: own + yards + 10 }), "zone");
    expect(goes("five", "HL", 2)).toEqual(["ST-HL-ZONE-BACKED", own - 0.5, own + 0.5]);
    expect(goes("five", "LJ", 2)).toEqual(["ST-LJ-ZONE-BACKED", own - 0.5, own + 0.5]);
    expect(goes("five", "LJ", 3)[0]).toBeNull();
    expect(goes("seven", "HL", 3)[0]).toBe("ST-HL-ZONE-BACKED");
    expect(goes("seven", "LJ", 3)[0]).toBe("ST-LJ-ZONE-BACKED");
    expect(goes("seven", "HL", 6)[0]).toBeNull();
    expect(goes("seven", "LJ", 6)[0]).toBe("ST-LJ-ZONE-BACKED-SEVEN");
  });

  it("keeps BJ deeper than the deepest defender: 14 yards deep he asks for nothing more, 24 and 40 move the back judge", () => {
    const withSafety = (xYards: number) => ({
      ...tackleScene,
      players: tackleScene.players.map((player) =>
        player.markId === "safety" ? { ...player, at: { ...player.at, xYards } } : player,
      ),
    });
    expect(spot("five", "BJ", withSafety(64))).toEqual(["ST-BJ-PRE", 67, 75]);
    expect(spot("five", "BJ", withSafety(74))).toEqual(["ST-BJ-PRE", 74, 79]);
    expect(spot("seven", "BJ", withSafety(90))).toEqual(["ST-BJ-PRE", 90, 95]);
  });

  it("ST-BJ-ZONE: five: 5 yards between the back judge and the deepest receiver, no deeper than the end line (STATE)", () => {
    const [id, from, to] = spot("five", "BJ", tackleScene, "zone");
    expect([id, from, to]).toEqual(["ST-BJ-ZONE", 49 + 5, 49 + 60]);
    const deep = tackleScene.players.map((player) =>
      player.markId === "wide-near" ? { ...player, at: { ...player.at, xYards: 80 } } : player,
    );
    const end = tackleField.totalLengthYards;
    expect(spot("five", "BJ", { ...tackleScene, players: deep }, "zone")).toEqual(["ST-BJ-ZONE", 85, end + 1]);
  });
});

describe("what every rule of the tackle books rests on", () => {
  it.each(["three", "four", "five", "seven", "eight"])(
    "crew of %s: a manual is named with its place, or none",
    (crew) => {
      const book = shipped(`tackle-crew-of-${crew}`);
      const rules = [...book.stations, ...book.keys, ...book.zones, ...book.counts, ...book.duties];
      for (const { id, source } of rules) {
        if (source.kind === "manual")
          expect(source.citation, id).toMatch(/manual|handbook|deck|material|primer|review/iu);
        else expect(source.citation, id).toBeNull();
      }
      for (const { id, source } of book.stations) expect(source.kind, id).toBe("manual");
      expect(book.caution).toMatch(/manual and rules come first/u);
    },
  );
});
