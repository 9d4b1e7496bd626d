import { describe, expect, it } from "vitest";
import { demoFilm } from "../scene/films.ts";
import { type FrameTruth, type Person, type ScenePlay, sceneOf } from "../scene/scene.ts";
import type { OfficialPosition, PlantedFault } from "../scene/script.ts";

/**
 * The faults of looking that the demo plants, held to what can be seen of them in the scene by plane trigonometry alone:
 * who stands where, who is turned where. Bounds are common practice for flag crews, no published source: attention is
 * full to 30° either side of the way the body faces and gone at 60°, two opponents within 2.5 yd are somebody's to
 * watch, a look within 10° of the line through the two is straight-lined.
 */
const scene = sceneOf(demoFilm);
const crew: readonly OfficialPosition[] = ["R", "LJ", "FJ", "BJ"];

type At = { readonly xYards: number; readonly yYards: number };
type Kind = PlantedFault["kind"];

const one = (truth: FrameTruth, id: string): Person => truth.people.find((person) => person.id === id)!;
const apart = (a: At, b: At) => Math.hypot(a.xYards - b.xYards, a.yYards - b.yYards);
const middle = (a: At, b: At): At => ({ xYards: (a.xYards + b.xYards) / 2, yYards: (a.yYards + b.yYards) / 2 });

/** Degrees between the way a person's body faces and the way to a spot. */
function turnedFrom(person: Person, to: At): number {
  const way = Math.atan2(to.yYards - person.yYards, to.xYards - person.xYards) - person.facingRadians;
  return (Math.abs(Math.atan2(Math.sin(way), Math.cos(way))) * 180) / Math.PI;
}

/** Degrees, 0 to 90, between the line from a person to two others and the line through the two. */
function angleBetween(person: At, a: At, b: At): number {
  const at = middle(a, b);
  const cross =
    (at.xYards - person.xYards) * (b.yYards - a.yYards) - (at.yYards - person.yYards) * (b.xYards - a.xYards);
  const dot = (at.xYards - person.xYards) * (b.xYards - a.xYards) + (at.yYards - person.yYards) * (b.yYards - a.yYards);
  return (Math.atan2(Math.abs(cross), Math.abs(dot)) * 180) / Math.PI;
}

function playOf(fault: PlantedFault): ScenePlay {
  return scene.plays.find((play) => play.number === fault.playNumber)!;
}

const truthAt = (play: ScenePlay, sec: number) =>
  scene.truthAt(play.snapFrame + Math.round(sec * demoFilm.framesPerSec));

/** Every tenth of a second from the start of a fault to its end. */
function during(fault: PlantedFault): FrameTruth[] {
  const steps = Math.round((fault.toSec - fault.fromSec) * 10);
  expect(steps).toBeGreaterThanOrEqual(3);
  return Array.from({ length: steps + 1 }, (_, i) => truthAt(playOf(fault), fault.fromSec + 0.1 * i));
}

function planted<K extends Kind>(kind: K): PlantedFault & { readonly kind: K } {
  const found = scene.plantedFaults.filter((fault) => fault.kind === kind);
  expect(found).toHaveLength(1);
  return found[0] as PlantedFault & { readonly kind: K };
}

/** Yards downfield of the line of scrimmage. */
function depth(play: ScenePlay, at: At): number {
  const { direction, scrimmageXYards } = play.situation;
  return (at.xYards - scrimmageXYards) * (direction === "right" ? 1 : -1);
}

const nearHashYards = 40 / 3;

describe("the faults of looking in the demo", () => {
  it("leave a key early: the body turns to the ball while the defender is still on the receiver", () => {
    const fault = planted("key-left-early");
    const before = truthAt(playOf(fault), 0.5);
    expect(turnedFrom(one(before, fault.position), one(before, fault.receiver))).toBeLessThan(20);
    for (const truth of during(fault)) {
      const [official, receiver] = [one(truth, fault.position), one(truth, fault.receiver)];
      expect(apart(receiver, one(truth, fault.defender))).toBeLessThan(1.5);
      expect(turnedFrom(official, truth.ball)).toBeLessThan(12);
      expect(turnedFrom(official, receiver)).toBeGreaterThan(40);
    }
    const last = truthAt(playOf(fault), fault.toSec);
    expect(turnedFrom(one(last, fault.position), one(last, fault.receiver))).toBeGreaterThan(60);
  });

  it("drop a handoff: the receiver crosses the hash, the one lets go and the next is turned to another", () => {
    const fault = planted("dropped-handoff");
    const play = playOf(fault);
    const early = truthAt(play, 1.7);
    expect(one(early, fault.receiver).yYards).toBeGreaterThan(nearHashYards + 3);
    expect(turnedFrom(one(early, fault.from), one(early, fault.receiver))).toBeLessThan(20);
    expect(one(truthAt(play, fault.toSec), fault.receiver).yYards).toBeLessThan(nearHashYards);
    for (const truth of during(fault)) {
      const receiver = one(truth, fault.receiver);
      expect(apart(receiver, one(truth, fault.defender))).toBeLessThan(2.5);
      expect(turnedFrom(one(truth, fault.from), receiver)).toBeGreaterThan(45);
      expect(turnedFrom(one(truth, fault.to), receiver)).toBeGreaterThan(50);
    }
    for (const id of crew) {
      const late = truthAt(play, fault.toSec - 0.13);
      expect(turnedFrom(one(late, id), one(late, fault.receiver)), id).toBeGreaterThan(45);
    }
  });

  it("straight-line a look while a partner with nobody of their own sees between the two", () => {
    const fault = planted("straight-lined");
    for (const truth of during(fault)) {
      const [a, b] = [one(truth, fault.receiver), one(truth, fault.defender)];
      expect(apart(a, b)).toBeLessThan(2.5);
      expect(turnedFrom(one(truth, fault.position), middle(a, b))).toBeLessThan(15);
      expect(angleBetween(one(truth, fault.position), a, b)).toBeLessThan(10);
      expect(turnedFrom(one(truth, fault.partner), middle(a, b))).toBeLessThan(15);
      expect(angleBetween(one(truth, fault.partner), a, b)).toBeGreaterThan(45);
      // Nobody of A between the line judge's lane and strip and the near hash: the partner's zone is empty.
      for (const person of truth.people) {
        if (person.kind !== "player" || person.side !== "A") continue;
        const isDeep = depth(playOf(fault), person) > 5;
        expect(isDeep && person.yYards > nearHashYards + 3 && person.yYards < 35, person.id).toBe(false);
      }
    }
  });

  it("hide contact from all four: two opponents in contact, everybody's body turned away", () => {
    const fault = planted("unseen");
    for (const truth of during(fault)) {
      const [a, b] = [one(truth, fault.receiver), one(truth, fault.defender)];
      expect(apart(a, b)).toBeLessThan(1);
      for (const id of crew) expect(turnedFrom(one(truth, id), middle(a, b)), id).toBeGreaterThan(50);
    }
  });

  it("watch the ball: the body follows it through the air, far from where it will come down, and nobody else's does", () => {
    const fault = planted("ball-watching");
    const turns: number[] = [];
    for (const truth of during(fault)) {
      const official = one(truth, fault.position);
      expect(truth.ball.zYards).toBeGreaterThan(1.5);
      expect(turnedFrom(official, truth.ball)).toBeLessThan(25);
      expect(turnedFrom(official, one(truth, fault.destination))).toBeGreaterThan(40);
      turns.push(official.facingRadians);
      if (truth.sinceSnapSec < 2.5) continue;
      for (const id of crew.filter((other) => other !== fault.position))
        expect(turnedFrom(one(truth, id), one(truth, fault.destination)), id).toBeLessThan(20);
    }
    expect((Math.abs(turns.at(-1)! - turns[0]!) * 180) / Math.PI).toBeGreaterThan(15);
  });

  it("stay in an empty zone: nobody of A on that side, and a matchup beyond it that the body is turned away from", () => {
    const fault = planted("empty-zone");
    for (const truth of during(fault)) {
      const [a, b] = [one(truth, fault.receiver), one(truth, fault.defender)];
      for (const person of truth.people)
        if (person.kind === "player" && person.side === "A")
          expect(person.yYards, person.id).toBeGreaterThan(nearHashYards + 2);
      expect(apart(a, b)).toBeLessThan(2.5);
      expect(turnedFrom(one(truth, fault.position), a)).toBeGreaterThan(75);
    }
  });

  it("miscount: more of one side than play, from the first frame to the snap", () => {
    const fault = planted("miscount");
    const play = playOf(fault);
    for (const frame of [play.firstFrame, play.snapFrame]) {
      const players = scene.truthAt(frame).people.filter((person) => person.kind === "player");
      expect(players.filter((person) => person.side === fault.side)).toHaveLength(fault.count);
      expect(players.filter((person) => person.side !== fault.side)).toHaveLength(7);
    }
  });
});

describe("the demo's plays after the snap", () => {
  const watched = scene.plays.filter((play) => play.moments.length > 1);

  it("are eight, one of them without a fault, each with three to five moments in order", () => {
    expect(watched).toHaveLength(8);
    const clean = watched.filter((play) => !scene.plantedFaults.some((fault) => fault.playNumber === play.number));
    expect(clean).toHaveLength(1);
    for (const play of watched) {
      expect(play.moments.length).toBeGreaterThanOrEqual(3);
      expect(play.moments.length).toBeLessThanOrEqual(5);
      expect(play.moments[0]!.phase).toBe("pre-snap");
      const frames = play.moments.map(({ frameIndex }) => frameIndex);
      expect(frames).toEqual(frames.toSorted((a, b) => a - b));
      const seconds = play.frameCount / demoFilm.framesPerSec;
      expect(seconds).toBeGreaterThan(4);
      expect(seconds).toBeLessThanOrEqual(5);
    }
  });

  it("have every pair of opponents in somebody's full look, but for the fault's", () => {
    for (const play of watched) {
      const faults = scene.plantedFaults.filter((fault) => fault.playNumber === play.number);
      for (const { frameIndex, phase } of play.moments) {
        if (phase === "pre-snap") continue;
        const truth = scene.truthAt(frameIndex);
        const players = truth.people.filter((person) => person.kind === "player");
        const theirs = players.filter((person) => person.side === "B");
        for (const a of players.filter((person) => person.side === "A")) {
          const b = theirs.toSorted((p, q) => apart(a, p) - apart(a, q))[0]!;
          if (apart(a, b) > 2.5) continue;
          if (faults.some((fault) => "receiver" in fault && fault.receiver === a.id)) continue;
          const sees = crew.some((id) => {
            const official = one(truth, id);
            return turnedFrom(official, middle(a, b)) < 30 && angleBetween(official, a, b) > 20;
          });
          expect(sees, `play ${play.number} ${phase} ${a.id} and ${b.id}`).toBe(true);
        }
      }
    }
  });

  it("have everybody turned to where the ball comes down once it is in the air, but for the one who watches it", () => {
    const turned = watched.flatMap((play) => {
      const { ball } = demoFilm.plays.find(({ number }) => number === play.number)!;
      const watcher = scene.plantedFaults.find(
        (fault) => fault.kind === "ball-watching" && fault.playNumber === play.number,
      )?.position;
      return play.moments
        .filter(({ phase }) => phase === "ball-away" || phase === "catch")
        .flatMap(({ frameIndex }) => {
          const truth = scene.truthAt(frameIndex);
          return crew.filter((id) => id !== watcher).map((id) => turnedFrom(one(truth, id), one(truth, ball.catcher)));
        });
    });
    expect(turned.length).toBeGreaterThan(30);
    expect(Math.max(...turned)).toBeLessThan(20);
  });
});
