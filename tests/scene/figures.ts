import type { Vector3 } from "./pinhole.ts";
import { black, glyphsOf, hairs, type Kit, paletteOf, skins, white } from "./kits.ts";
import { add, cycleYards, ease, joint, mix, up } from "./limbs.ts";
import type { Body, Cloth, Rgb, Solid } from "./solids.ts";
import { seededDraw, seedOf } from "./seeded.ts";

/**
 * Articulated people: a pose (gait, lean, stance, where the hands are) becomes the solids of a body. Lengths in yards;
 * the ground point of a pose is the middle between the two planted feet, which is what an observer clicks.
 */

export type Stance = "stand" | "ready" | "crouch" | "snap" | "hips" | "knees" | "folded";

export type Pose = {
  readonly xYards: number;
  readonly yYards: number;
  readonly facingRadians: number;
  readonly speedYardsPerSec: number;
  /** Direction of travel in the field frame; matters only while moving. */
  readonly travelRadians: number;
  /** Cycles of the gait so far; its fraction is the phase. */
  readonly gaitCycles: number;
  readonly stance: Stance;
  /** Seconds, for breathing and small shifts of weight. */
  readonly clockSec: number;
  readonly leftHandAt?: Vector3 | null;
  readonly rightHandAt?: Vector3 | null;
  /** 0–1: right arm straight up, the dead-ball signal. */
  readonly signal?: number;
  readonly flagsLeft?: number;
};

export type Looks = { readonly kit: Kit; readonly number: number | null; readonly seed: number };

type Foot = { ankle: Vector3; toe: Vector3; heel: Vector3; planted: boolean };

export function bodyOf(id: string, looks: Looks, pose: Pose): Body {
  const draw = seededDraw(looks.seed);
  const palette = paletteOf(looks.kit, draw);
  const skin = skins[Math.floor(draw() * skins.length)]!;
  const hair = hairs[Math.floor(draw() * hairs.length)]!;
  const height = 1.97 * (0.95 + 0.09 * draw());
  const girth = 0.93 + 0.16 * draw();
  const longHair = draw() < 0.3;
  const idlePhase = draw() * 10;
  const official = looks.kit === "official" || looks.kit === "referee";

  const facing: Vector3 = [Math.cos(pose.facingRadians), Math.sin(pose.facingRadians), 0];
  const left: Vector3 = [-facing[1], facing[0], 0];
  const travel: Vector3 = [Math.cos(pose.travelRadians), Math.sin(pose.travelRadians), 0];
  const speed = pose.speedYardsPerSec;
  const moving = ease(0.25, 1.3, speed);
  const running = ease(2.2, 5.5, speed);
  const base: Vector3 = [pose.xYards, pose.yYards, 0];

  const low =
    { stand: 0, ready: 0.07, crouch: 0.13, snap: 0.16, hips: 0, knees: 0.14, folded: 0 }[pose.stance] * (1 - moving);
  const bend =
    { stand: 0.03, ready: 0.35, crouch: 0.62, snap: 1.15, hips: 0.02, knees: 0.7, folded: 0.03 }[pose.stance] *
    (1 - moving);
  const spread = { stand: 0.13, ready: 0.19, crouch: 0.21, snap: 0.27, hips: 0.15, knees: 0.22, folded: 0.14 }[
    pose.stance
  ];
  const stagger = { stand: 0.03, ready: 0.12, crouch: 0.1, snap: 0.03, hips: 0.03, knees: 0.05, folded: 0.03 }[
    pose.stance
  ];

  const leg = 0.245 * height;
  const ankleZ = 0.075;
  const hold = 0.62 - 0.29 * ease(1, 7, speed);
  const stride = hold * cycleYards(speed) * moving;
  const step = (side: 1 | -1): Foot => {
    const phase = (((pose.gaitCycles + (side === 1 ? 0 : 0.5)) % 1) + 1) % 1;
    const planted = phase < hold;
    const swing = planted ? 0 : (phase - hold) / (1 - hold);
    const along = planted ? stride * (0.5 - phase / hold) : stride * (-0.5 + swing * swing * (3 - 2 * swing));
    const lift = planted ? 0 : Math.sin(Math.PI * swing) * (0.07 + 0.34 * running) * moving;
    const wide = side * (spread * (1 - moving) + 0.085 * moving);
    let at = add(add(base, left, wide), travel, along);
    at = add(at, facing, side * stagger * (1 - moving));
    const heelUp = planted
      ? 0.1 * running * ease(0.6 * hold, hold, phase) * moving
      : (0.3 * running + 0.06) * Math.sin(Math.PI * Math.min(1, swing * 1.25)) * moving;
    const toeOut = add(facing, left, side * 0.2 * (1 - moving));
    const floor = 0.045 + lift;
    const heel = add(add(at, toeOut, -0.1), up, floor + heelUp);
    const toe = add(add(at, toeOut, 0.16), up, floor * 0.92 + (planted ? 0 : 0.15 * lift));
    return { ankle: add(add(at, toeOut, -0.06), up, ankleZ + lift + heelUp), toe, heel, planted };
  };
  const feet = [step(1), step(-1)] as const;

  const sway = 0.018 * Math.sin(pose.clockSec * 0.9 + idlePhase) * (1 - moving);
  const bob = 0.035 * Math.cos(4 * Math.PI * pose.gaitCycles) * moving;
  const reachDown = Math.sqrt(Math.max(0.2, (1.97 * leg) ** 2 - (0.5 * stride) ** 2 * 0.8)) + ankleZ;
  const hipZ = Math.min(0.525 * height, reachDown) - low * height * 0.9 - 0.035 * running - bob - 0.012;
  const forward = facing[0] * travel[0] + facing[1] * travel[1];
  const lean = bend + 0.06 * moving + 0.2 * running * forward;
  const leanWay = facing;
  const hipBack = -0.32 * Math.sin(bend) * (pose.stance === "snap" ? 1 : 0.75);
  const pelvis = add(add(add(base, left, sway), facing, hipBack), up, hipZ);
  const spine: Vector3 = add([0, 0, Math.cos(lean)], leanWay, Math.sin(lean));
  const twist = 0.13 * Math.sin(2 * Math.PI * pose.gaitCycles) * moving;
  const shoulderLeft: Vector3 = add([left[0] * Math.cos(twist), left[1] * Math.cos(twist), 0], facing, Math.sin(twist));
  const chestFront: Vector3 = add([facing[0] * Math.cos(lean), facing[1] * Math.cos(lean), 0], up, -Math.sin(lean));

  const solids: Solid[] = [];
  const put = (a: Vector3, b: Vector3, ra: number, rb: number, cloth: Cloth | Rgb) =>
    solids.push({ a, b, ra, rb, cloth: "kind" in cloth ? cloth : { kind: "plain", colour: cloth } });

  const breath = 0.004 * Math.sin(pose.clockSec * 1.9 + idlePhase);
  const waist = add(pelvis, spine, 0.06 * height);
  const chest = add(pelvis, spine, 0.215 * height);
  const shoulders = add(pelvis, spine, 0.278 * height);
  const chestMiddle = add(pelvis, spine, 0.18 * height);
  const shirt: Cloth = official
    ? { kind: "stripes", colour: palette.shirt, other: palette.trim, origin: pelvis, across: left, pitchYards: 0.062 }
    : looks.number === null
      ? { kind: "plain", colour: palette.shirt }
      : {
          kind: "number",
          colour: palette.shirt,
          ink: palette.ink,
          origin: chestMiddle,
          across: shoulderLeft,
          along: spine,
          front: chestFront,
          glyphs: glyphsOf(looks.number),
        };
  for (const side of [-1, 0, 1]) {
    put(
      add(waist, left, side * 0.075 * girth),
      add(chest, shoulderLeft, side * 0.105 * girth),
      0.108 * girth,
      (side === 0 ? 0.128 : 0.115) * girth + breath,
      shirt,
    );
  }
  put(add(shoulders, shoulderLeft, 0.13), add(shoulders, shoulderLeft, -0.13), 0.082, 0.082, shirt);
  put(add(pelvis, left, 0.075), add(pelvis, left, -0.075), 0.125 * girth, 0.125 * girth, palette.shorts);

  for (const [index, side] of [
    [0, 1],
    [1, -1],
  ] as const) {
    const { ankle, toe, heel } = feet[index];
    const hip = add(pelvis, left, side * 0.085);
    const knee = joint(hip, ankle, leg, leg, add(facing, left, side * 0.25));
    if (official) {
      put(hip, knee.middle, 0.115 * girth, 0.082, palette.shorts);
      put(knee.middle, ankle, 0.08, 0.062, palette.shorts);
    } else {
      put(hip, knee.middle, 0.112 * girth, 0.07, { kind: "plain", colour: skin });
      put(hip, mix(hip, knee.middle, 0.68), 0.125 * girth, 0.112, palette.shorts);
      put(knee.middle, ankle, 0.066, 0.045, { kind: "split", colour: skin, beyond: palette.sock, at: 0.52 });
    }
    put(heel, toe, 0.047, 0.04, palette.shoe);
  }

  const head = add(shoulders, add([0, 0, 0.86], spine, 0.14 + 0.15 * (1 - moving)), 0.155);
  const skull = add(head, up, 0.02);
  put(shoulders, head, 0.055, 0.05, { kind: "plain", colour: skin });
  put(add(skull, up, -0.045), add(skull, up, 0.035), 0.082, 0.092, { kind: "plain", colour: skin });
  if (official) {
    const cap = looks.kit === "referee" ? white : black;
    put(add(add(skull, up, 0.068), facing, -0.012), add(add(skull, up, 0.058), facing, 0.012), 0.094, 0.094, cap);
    put(add(add(skull, up, 0.055), facing, 0.07), add(add(skull, up, 0.035), facing, 0.165), 0.04, 0.022, cap);
  } else {
    put(add(add(skull, up, 0.06), facing, -0.03), add(add(skull, up, 0.0), facing, -0.045), 0.09, 0.078, {
      kind: "plain",
      colour: hair,
    });
    if (longHair)
      put(add(add(skull, up, 0.02), facing, -0.09), add(add(skull, up, -0.16), facing, -0.13), 0.045, 0.02, {
        kind: "plain",
        colour: hair,
      });
  }

  arms();
  belt();
  return {
    id,
    solids,
    contacts: feet
      .filter((one) => one.toe[2] < 0.09)
      .map((one) => ({ xYards: (one.toe[0] + one.heel[0]) / 2, yYards: (one.toe[1] + one.heel[1]) / 2 })),
  };

  function arms(): void {
    const upperArm = 0.165 * height;
    const foreArm = 0.16 * height;
    for (const side of [1, -1] as const) {
      const shoulder = add(add(shoulders, shoulderLeft, side * 0.195 * girth), spine, -0.015);
      const target = side === 1 ? pose.leftHandAt : pose.rightHandAt;
      let elbow: Vector3;
      let hand: Vector3;
      if (target) {
        const solved = joint(shoulder, target, upperArm, foreArm, add(add([0, 0, -1], left, side * 0.6), facing, -0.3));
        elbow = solved.middle;
        hand = solved.tip;
      } else if (side === -1 && (pose.signal ?? 0) > 0.01) {
        const raise = ease(0, 1, pose.signal ?? 0) * 3.0;
        const way = add([0, 0, -Math.cos(raise)], facing, Math.sin(raise));
        elbow = add(shoulder, way, upperArm);
        hand = add(elbow, way, foreArm);
      } else {
        const swing =
          side * Math.sin(2 * Math.PI * (pose.gaitCycles - 0.25)) * (0.42 + 0.35 * running) * moving +
          0.08 +
          lean * 0.25;
        const out = 0.12;
        const swung = add(add([0, 0, -Math.cos(swing)], facing, Math.sin(swing)), left, side * out);
        elbow = add(shoulder, swung, upperArm);
        const fold = swing + 0.25 + 1.25 * running + 0.25 * moving + (pose.stance === "ready" ? 0.5 * (1 - moving) : 0);
        hand = add(elbow, add(add([0, 0, -Math.cos(fold)], facing, Math.sin(fold)), left, -side * 0.05), foreArm);
        if (moving < 0.6) {
          const rest = restingHand(side);
          if (rest) {
            const solved = joint(
              shoulder,
              mix(rest, hand, moving / 0.6),
              upperArm,
              foreArm,
              add(add([0, 0, -0.4], left, side), facing, -0.5),
            );
            elbow = solved.middle;
            hand = solved.tip;
          }
        }
      }
      const short = 0.4;
      put(shoulder, elbow, 0.062 * girth, 0.047, skin);
      put(
        shoulder,
        mix(shoulder, elbow, official ? 0.62 : 0.55),
        0.072 * girth,
        0.066,
        official
          ? {
              kind: "stripes",
              colour: palette.shirt,
              other: palette.trim,
              origin: pelvis,
              across: left,
              pitchYards: 0.062,
            }
          : palette.shirt,
      );
      put(elbow, mix(elbow, hand, 1 - short * 0.2), 0.045, 0.034, skin);
      put(mix(elbow, hand, 0.92), hand, 0.042, 0.036, skin);
    }
  }

  function restingHand(side: 1 | -1): Vector3 | null {
    switch (pose.stance) {
      case "hips":
        return add(add(add(pelvis, left, side * 0.19), spine, 0.09), facing, 0.05);
      case "knees":
      case "crouch":
        return add(add(add(pelvis, left, side * 0.16), facing, 0.27), up, -0.3);
      case "folded":
        return add(add(add(pelvis, left, -side * 0.06), facing, 0.22), up, 0.34);
      case "snap":
        return side === -1
          ? add(add(base, facing, 0.5), up, 0.2)
          : add(add(add(pelvis, left, 0.2), facing, 0.25), up, -0.3);
      case "stand":
      case "ready":
        return null;
    }
  }

  function belt(): void {
    if (!palette.flag) return;
    const trail = -0.28 * running - 0.02;
    const flutter = 0.05 * Math.sin(2 * Math.PI * pose.gaitCycles * 2) * moving;
    const count = pose.flagsLeft ?? 2;
    for (const side of count === 2 ? [1, -1] : count === 1 ? [1] : []) {
      const top = add(add(pelvis, left, side * 0.2 * girth), up, 0.06);
      const foot = add(
        add(add(top, up, -0.38 + 0.1 * running), facing, forward >= 0 ? trail : -trail),
        left,
        side * (0.05 + flutter),
      );
      put(top, foot, 0.03, 0.036, palette.flag);
    }
  }
}

export function looksFor(kit: Kit, number: number | null, ...words: (string | number)[]): Looks {
  return { kit, number, seed: seedOf(kit, number ?? "", ...words) };
}
