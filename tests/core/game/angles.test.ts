import { describe, expect, it } from "vitest";
import { layOut, templateById } from "#core/field/template";
import {
  asOnFilm,
  filmsOf,
  inOrder,
  nextAngle,
  playAt,
  playsOn,
  proposedInstant,
  playSecOf,
  toFilmSec,
  toPlaySec,
} from "#core/game/angles";
import { markTime } from "#core/game/breakdown-edits";
import { downRulesOf } from "#core/game/next-situation";
import { nothingSaid } from "#core/game/records";
import { ensureMoment } from "#core/game/edits";
import { aFilm, aGame, aMoment, aPlay } from "../../main/store/build-game.ts";

const layout = layOut(templateById("flag-100x40")!);
const sideline = aFilm("g", "sideline", { order: 2 });
const endZone = aFilm("g", "end-zone", { order: 1 });
const play = aPlay("g", "p", "sideline", { startSec: 10, endSec: 19, ...nothingSaid, snapSec: 12.5 });
/** The snap is at 12.5 s of the one film and at 3.25 s of the other. */
const angles = [{ id: "a", gameId: "g", playId: "p", filmId: "end-zone", playInstantSec: 12.5, instantSec: 3.25 }];
const records = {
  game: aGame("g"),
  films: [sideline, endZone],
  plays: [play],
  angles,
  moments: [],
  stakes: [],
  carries: [],
  marks: [],
  grades: [],
  rulings: [],
  notes: [],
  seals: [],
};

describe("one play on two films", () => {
  it("has its instants on both clocks, there and back", () => {
    expect(toFilmSec(play, angles, "end-zone", 14)).toBe(4.75);
    expect(toPlaySec(play, angles, "end-zone", 4.75)).toBe(14);
    expect(toPlaySec(play, angles, "sideline", 14)).toBe(14);
    expect([toPlaySec(play, angles, "third", 1), toFilmSec(play, angles, "third", 1)]).toEqual([null, null]);
  });

  it("is what each of the films shows then, and nothing before it or after", () => {
    expect(playAt(records, "end-zone", 0.75)?.id).toBe("p");
    expect(playAt(records, "end-zone", 0.5)).toBeNull();
    expect(playAt(records, "end-zone", 9.74)?.id).toBe("p");
    expect(playAt(records, "end-zone", 9.75)).toBeNull();
    expect(playAt(records, "third", 12)).toBeNull();
  });

  it("takes a moment of the other film into the play, with the phase of the play's clock", () => {
    const { moment, changes } = ensureMoment(
      records,
      { film: endZone, frameIndex: 150, timeSec: 4.9 },
      play.situation,
      () => "new",
    );
    expect(changes).toHaveLength(1);
    expect(moment).toMatchObject({ playId: "p", filmId: "end-zone", phase: "keys" });
    expect(playSecOf(play, angles, moment)).toBeCloseTo(14.15, 9);
    expect(playSecOf(play, angles, aMoment(play, "m"))).toBe(3);
  });

  it("stands on the other film with all its times on that film's clock", () => {
    expect(asOnFilm({ ...play, deadSec: 17 }, angles, "end-zone")).toMatchObject({
      filmId: "end-zone",
      startSec: 0.75,
      snapSec: 3.25,
      catchSec: null,
      deadSec: 7.75,
      endSec: 9.75,
    });
    expect(asOnFilm(play, angles, "third")).toBeNull();
    expect(playsOn(records, "end-zone").map(({ id }) => id)).toEqual(["p"]);
    expect(playsOn(records, "third")).toEqual([]);
  });

  it("goes round the films that show it, and nowhere between plays or without another film", () => {
    expect(nextAngle(records, { filmId: "sideline", timeSec: 14 })).toEqual({ filmId: "end-zone", timeSec: 4.75 });
    expect(nextAngle(records, { filmId: "end-zone", timeSec: 4.75 })).toEqual({ filmId: "sideline", timeSec: 14 });
    expect(nextAngle(records, { filmId: "sideline", timeSec: 19 })).toBeNull();
    expect(nextAngle({ ...records, angles: [] }, { filmId: "sideline", timeSec: 14 })).toBeNull();
  });

  it("is proposed on another film by the nearest play that is tied there, within that film", () => {
    const near = aPlay("g", "q", "sideline", { startSec: 40, endSec: 49, ...nothingSaid, snapSec: 43 });
    const far = aPlay("g", "r", "sideline", { startSec: 90, endSec: 99, ...nothingSaid, snapSec: 92 });
    const films = [sideline, { ...endZone, durationSec: 60 }];
    const plays = [play, near, far];
    // The camera behind the end zone was switched off for half a minute before the last play.
    const tied = [...angles, { ...angles[0]!, id: "b", playId: "r", playInstantSec: 92, instantSec: 52 }];
    expect(proposedInstant(near, { films, plays, angles: tied }, "end-zone", 43)).toMatchObject({
      instantSec: 33.75,
      from: { id: "p" },
    });
    const late = aPlay("g", "s", "sideline", { startSec: 80, endSec: 89, ...nothingSaid, snapSec: 83 });
    expect(proposedInstant(late, { films, plays, angles: tied }, "end-zone", 83)).toMatchObject({
      instantSec: 43,
      from: { id: "r" },
    });
    expect(proposedInstant(late, { films, plays, angles: tied }, "end-zone", 100)).toBeNull();
    expect(proposedInstant(play, records, "end-zone", 12.5)).toBeNull();
  });

  it("keeps a new play apart from what the film shows as another angle, and takes that play's late dead ball", () => {
    const rules = downRulesOf(layout);
    const at = (timeSec: number) => ({ film: { ...endZone, durationSec: 60 }, frameIndex: 0, timeSec });
    // The play's end, 19 s on its own clock, is 9.75 s here.
    const made = markTime(records, at(11), "snap", () => "new", rules, layout);
    expect(made).toMatchObject({ ok: true, play: { id: "new", filmId: "end-zone", startSec: 9.75, snapSec: 11 } });
    const late = markTime(records, at(10.25), "dead", () => "new", rules, layout);
    expect(late).toMatchObject({ ok: true, play: { id: "p", deadSec: 19.5 } });
  });

  it("names its own film first, and the films of a game stand in their order", () => {
    expect(filmsOf(play, records)).toEqual(["sideline", "end-zone"]);
    expect(inOrder(records.films).map(({ id }) => id)).toEqual(["end-zone", "sideline"]);
  });
});
