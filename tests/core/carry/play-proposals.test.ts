import { describe, expect, it } from "vitest";
import type { MotionSample } from "#core/carry/motion-bursts";
import { type FilmSignals, proposePlays } from "#core/carry/play-proposals";
import { seededRandom } from "#core/field/random";

const rate = 30;
const every = 2;

type Stretch = { readonly sec: number; readonly grey: number };

/** Signals of a film whose motion is said stretch by stretch, with cuts after some, and noise in both. */
function filmOf(clips: readonly (readonly Stretch[])[], noise = 0.05, seed = 1): FilmSignals {
  const random = seededRandom(seed);
  const greys: number[] = [];
  const cuts: number[] = [];
  for (const clip of clips) {
    cuts.push(greys.length);
    for (const { sec, grey } of clip) for (let k = 0; k < Math.round(sec * rate); k++) greys.push(grey);
  }
  const frameSec = greys.map((_, i) => i / rate);
  const changeGrey = greys.map((_, i) => (i > 0 && cuts.includes(i) ? 30 : 0.8 + 0.2 * random.uniform()));
  const motion: MotionSample[] = [];
  for (let i = every; i < greys.length; i += every) {
    const crosses = cuts.some((cut) => cut > i - every && cut <= i);
    const grey = crosses ? 40 : greys[i]! * (0.8 + 0.4 * random.uniform()) + noise * Math.abs(random.normal());
    motion.push({ fromSec: (i - every) / rate, sec: i / rate, grey });
  }
  return { frameSec, changeGrey, motion, endSec: greys.length / rate };
}

const still = (sec: number): Stretch => ({ sec, grey: 0 });
const play = (sec: number): Stretch => ({ sec, grey: 2 });
const walk = (sec: number): Stretch => ({ sec, grey: 0.7 });

describe("a film cut play by play", () => {
  const film = filmOf([
    [still(2), play(4)],
    [still(3), play(5), still(1)],
    [still(1.5), play(3)],
  ]);

  it("gives each clip as a play from cut to cut, with the snap where stillness ends", () => {
    const found = proposePlays(film);
    expect(found.map(({ startSec, endSec }) => [startSec, endSec])).toEqual([
      [0, 6],
      [6, 15],
      [15, 19.5],
    ]);
    for (const [i, snapSec] of [2, 9, 16.5].entries()) {
      expect(found[i]!.found).toBe("between-cuts");
      expect(Math.abs(found[i]!.snap!.sec - snapSec)).toBeLessThanOrEqual(every / rate + 1e-9);
      expect(found[i]!.snap!.confidence).toBeGreaterThan(0.8);
    }
  });

  it("takes the larger of two bursts for the play, and says so less surely", () => {
    const [found] = proposePlays(filmOf([[still(2), { sec: 1.4, grey: 1.3 }, still(2), play(4), still(1)]]));
    expect(Math.abs(found!.snap!.sec - 5.4)).toBeLessThanOrEqual(every / rate + 1e-9);
    expect(found!.snap!.confidence).toBeLessThan(0.9);
    expect(found!.snap!.confidence).toBeGreaterThan(0.6);
  });

  it("has no snap where nothing stood still, and is less sure where it came slowly", () => {
    const [moving] = proposePlays(filmOf([[play(6)]]));
    expect(moving).toMatchObject({ startSec: 0, endSec: 6, snap: null });
    const slow = [0.2, 0.4, 0.6, 0.8, 1, 1.4].map((grey): Stretch => ({ sec: 0.25, grey }));
    const [slowly] = proposePlays(filmOf([[still(2), ...slow, play(4)]]));
    const [quickly] = proposePlays(filmOf([[still(2), play(5.5)]]));
    expect(slowly!.snap!.confidence).toBeLessThan(0.7 * quickly!.snap!.confidence);
  });

  it("leaves out a slip of the cutting and a board on which nothing moves", () => {
    const found = proposePlays(filmOf([[still(2), play(4)], [play(1)], [still(6)], [still(2), play(4)]]));
    expect(found.map(({ startSec }) => startSec)).toEqual([0, 13]);
  });

  it("keeps a clip whose motion is in the noise of a shaken camera for a play, with no more than a guess of the snap", () => {
    const [found] = proposePlays(filmOf([[{ sec: 2, grey: 0.5 }, play(4)]], 0.3));
    expect(found).toMatchObject({ startSec: 0, endSec: 6 });
    expect(found!.snap?.confidence ?? 0).toBeLessThan(0.8);
  });
});

describe("a film that ran on", () => {
  // People let up, walk to the next formation, and stand.
  const between = [walk(9), still(4)];
  const film = filmOf([[still(6), play(6), ...between, play(5), ...between, play(7), walk(6)]]);
  const snaps = [6, 25, 43];

  it("gives a play for each burst out of stillness, and none for a walk", () => {
    const found = proposePlays(film);
    expect(found).toHaveLength(3);
    for (const [i, snapSec] of snaps.entries()) {
      const { startSec, endSec, snap, found: how } = found[i]!;
      expect(how).toBe("by-motion");
      expect(Math.abs(snap!.sec - snapSec)).toBeLessThanOrEqual(every / rate + 1e-9);
      expect(snapSec - startSec).toBeCloseTo(3, 0);
      // Six, five and seven seconds long, and a second and a half after.
      expect(Math.abs(endSec - (snapSec + [6, 5, 7][i]! + 1.5))).toBeLessThan(0.5);
      if (i > 0) expect(startSec).toBeGreaterThanOrEqual(found[i - 1]!.endSec);
    }
  });

  it("does so at every seed of the noise", () => {
    for (let seed = 2; seed <= 30; seed++) {
      const noisy = filmOf([[still(6), play(6), ...between, play(5), ...between, play(7), walk(6)]], 0.08, seed);
      const found = proposePlays(noisy);
      expect(found).toHaveLength(3);
      for (const [i, one] of found.entries()) expect(Math.abs(one.snap!.sec - snaps[i]!)).toBeLessThan(0.2);
    }
  });

  it("takes no burst that a second's stand did not go before: the rules have all of the offence stand so long", () => {
    const found = proposePlays(filmOf([[still(6), play(6), walk(8), still(0.6), play(6), walk(8)]]));
    expect(found).toHaveLength(1);
  });

  it("gives nothing for a film in which nothing happens", () => {
    expect(proposePlays(filmOf([[still(60)]], 0))).toEqual([]);
    expect(proposePlays({ frameSec: [], changeGrey: [], motion: [], endSec: 0 })).toEqual([]);
  });
});
