import { directionSign } from "../field/frames.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { FieldSide, Phase } from "../game/records.ts";
import { outwardSign, type StationScene } from "../mechanics/anchors.ts";
import { type Book, type RuleList, ruleLists } from "../mechanics/book.ts";
import { conditionHolds } from "../mechanics/conditions.ts";
import { keyPlayers } from "../mechanics/key-players.ts";
import { bookPosition, missingFor, ownSide, placings, stationRuleFor, targetCorners } from "../mechanics/target.ts";
import { zoneArea, zoneRuleAt } from "../mechanics/zone-area.ts";
import { planPoint, planSituationShapes } from "./plan-picture.ts";
import type { Shape } from "./shape.ts";

export type RulePicture = {
  readonly shapes: readonly Shape[];
  /** What the picture shows, or why it shows nothing: what a person who cannot see it is told. */
  readonly caption: string;
};

export type FoundRule = { [L in RuleList]: { readonly list: L; readonly rule: Book[L][number] } }[RuleList];

export function findRule(book: Book, ruleId: string): FoundRule | null {
  for (const list of ruleLists) {
    const rule = book[list].find(({ id }) => id === ruleId);
    if (rule) return { list, rule } as FoundRule;
  }
  return null;
}

const sideOf = (book: Book, position: string, scene: StationScene): FieldSide | null => {
  const found = bookPosition(book, position);
  return found ? ownSide(found, scene.lineJudgeSide) : null;
};

function middle(corners: readonly FieldPoint[]): FieldPoint {
  const sum = (of: (point: FieldPoint) => number) =>
    corners.reduce((total, point) => total + of(point), 0) / corners.length;
  return fieldPoint(
    sum((point) => point.xYards),
    sum((point) => point.yYards),
  );
}

/** Where a position stands at a phase by its book: the middle of what it asks for; null where it asks for nothing. */
export function standingOf(book: Book, position: string, phase: Phase, scene: StationScene): FieldPoint | null {
  const rule = stationRuleFor(book, position, phase, scene);
  const placing = rule ? placings(rule, sideOf(book, position, scene), scene)[0] : undefined;
  const corners = rule && placing ? targetCorners(rule, placing, scene.situation.direction) : null;
  return corners ? middle(corners) : null;
}

/** One rule in one situation on the plan: the target, the key, the zone or the way moved, and where the crew stands. */
export function rulePicture(book: Book, ruleId: string, scene: StationScene): RulePicture {
  const found = findRule(book, ruleId);
  const base = planSituationShapes(scene.layout, scene.situation);
  if (!found) return { shapes: base, caption: "" };
  const own = "position" in found.rule ? found.rule.position : null;
  const crew = book.positions.flatMap(({ id }): Shape[] => {
    const at = id === own ? null : standingOf(book, id, "pre-snap", scene);
    return at ? [{ kind: "label", ink: "note", at: planPoint(scene.layout, at), text: id, place: "on" }] : [];
  });
  const { shapes, caption } = drawn(book, found, scene);
  return { shapes: [...shapes, ...base, ...crew], caption };
}

function drawn(book: Book, found: FoundRule, scene: StationScene): RulePicture {
  const { rule } = found;
  if ("when" in rule && !conditionHolds(rule.when, sideOf(book, rule.position, scene), scene))
    return { shapes: [], caption: "It does not apply in this situation: change the down, the distance or the spot." };
  switch (found.list) {
    case "stations":
      return stationDrawn(book, found.rule, scene);
    case "facings":
      return facingDrawn(book, found.rule, scene);
    case "keys":
      return keyDrawn(book, found.rule, scene);
    case "zones":
      return zoneDrawn(book, found.rule, scene);
    case "counts":
      return countDrawn(found.rule.counts, scene);
    case "handoffs":
    case "looks":
    case "duties":
      return { shapes: [], caption: "It has no place of its own on the field." };
  }
}

function official(scene: StationScene, at: FieldPoint, text: string): Shape {
  return { kind: "label", ink: "official", at: planPoint(scene.layout, at), text, place: "on" };
}

const said = ({ xYards, yYards }: FieldPoint) =>
  `${xYards.toFixed(1)} yd from the left end line and ${yYards.toFixed(1)} yd from the near sideline`;

function stationDrawn(book: Book, rule: Book["stations"][number], scene: StationScene): RulePicture {
  const { layout, situation } = scene;
  const open = placings(rule, sideOf(book, rule.position, scene), scene);
  const missing = open[0] ? missingFor(open[0]) : null;
  if (missing !== null) return { shapes: [], caption: `It cannot be placed without ${missing}.` };
  const targets = open.flatMap((placing) => {
    const corners = targetCorners(rule, placing, situation.direction);
    return corners ? [corners] : [];
  });
  const [first] = targets;
  if (!first) return { shapes: [], caption: "" };
  const at = middle(first);
  const from = rule.phase === "pre-snap" ? null : standingOf(book, rule.position, "pre-snap", scene);
  const moved = from !== null && Math.hypot(from.xYards - at.xYards, from.yYards - at.yYards) > 0.5;
  const shadowed = stationRuleFor(book, rule.position, rule.phase, scene);
  const other =
    shadowed && shadowed.id !== rule.id ? ` Here ${shadowed.id} comes before it and is the one that counts.` : "";
  return {
    shapes: [
      ...targets.map((corners): Shape => {
        return { kind: "path", ink: "target", points: corners.map((point) => planPoint(layout, point)), closed: true };
      }),
      ...(from && moved
        ? [
            {
              kind: "arrow" as const,
              ink: "step" as const,
              from: planPoint(layout, from),
              to: planPoint(layout, before(at, from)),
            },
          ]
        : []),
      official(scene, at, rule.position),
    ],
    caption: `${rule.position} at ${said(at)}${targets[1] ? `, or on the other side at ${said(middle(targets[1]))}` : ""}.${other}`,
  };
}

/** A little short of a place on the way to it, so that an arrow's head is not under the letters there. */
function before(at: FieldPoint, from: FieldPoint): FieldPoint {
  const away = Math.hypot(at.xYards - from.xYards, at.yYards - from.yYards);
  const share = Math.min(lettersYards, away / 2) / (away || 1);
  return fieldPoint(at.xYards + (from.xYards - at.xYards) * share, at.yYards + (from.yYards - at.yYards) * share);
}

/** Half the width of an official's letters on the plan. */
const lettersYards = 2;

function facingDrawn(book: Book, rule: Book["facings"][number], scene: StationScene): RulePicture {
  const { layout, situation, players } = scene;
  const at = standingOf(book, rule.position, rule.phase, scene) ?? standingOf(book, rule.position, "pre-snap", scene);
  if (!at) return { shapes: [], caption: `The book does not say where ${rule.position} stands then.` };
  const watched = players.find((player) => player.side === "A" && player.role === rule.toward)?.at;
  const to =
    rule.toward === "downfield"
      ? fieldPoint(at.xYards + directionSign(situation.direction), at.yYards)
      : rule.toward === "ball"
        ? scene.ball?.at
        : watched;
  if (!to) return { shapes: [], caption: `There is no ${rule.toward} on the plan.` };
  const away = Math.hypot(to.xYards - at.xYards, to.yYards - at.yYards) || 1;
  const bearing = Math.atan2(to.yYards - at.yYards, to.xYards - at.xYards);
  const lengthYards = Math.min(8, Math.max(4, away));
  const half = (rule.withinDegrees * Math.PI) / 180;
  const ray = (turn: number) =>
    fieldPoint(at.xYards + lengthYards * Math.cos(bearing + turn), at.yYards + lengthYards * Math.sin(bearing + turn));
  const arc = Array.from({ length: 13 }, (_, index) => ray(((index - 6) / 6) * half));
  return {
    shapes: [
      { kind: "path", ink: "zone", points: [at, ...arc].map((point) => planPoint(layout, point)), closed: true },
      { kind: "arrow", ink: "official", from: planPoint(layout, at), to: planPoint(layout, ray(0)) },
      official(scene, at, rule.position),
    ],
    caption: `${rule.position} at ${said(at)}, turned within ${rule.withinDegrees}° of the ${rule.toward === "downfield" ? "way the play goes" : rule.toward}.`,
  };
}

function keyDrawn(book: Book, rule: Book["keys"][number], scene: StationScene): RulePicture {
  const { layout, situation } = scene;
  const at = standingOf(book, rule.position, "pre-snap", scene);
  const side = sideOf(book, rule.position, scene);
  const isFar = outwardSign("far") * ((at?.yYards ?? Infinity) - situation.ballYYards) > 0;
  const players = keyPlayers(rule.on, side, isFar ? "far" : "near", scene);
  if (players.length === 0) return { shapes: [], caption: "Nobody in this formation is that key." };
  return {
    shapes: players
      .flatMap((player): Shape[] => [
        ...(at
          ? [
              {
                kind: "path" as const,
                ink: "key-line" as const,
                points: [planPoint(layout, at), planPoint(layout, player.at)],
                closed: false,
              },
            ]
          : []),
        { kind: "ring", ink: "key-line", at: planPoint(layout, player.at) },
      ])
      .concat(at ? [official(scene, at, rule.position)] : []),
    caption: `${rule.position} has ${players.map(({ markId }) => markId).join(", ")}.`,
  };
}

/** The zone as it falls out between all the others: what an earlier rule holds is not hatched. */
function zoneDrawn(book: Book, rule: Book["zones"][number], scene: StationScene): RulePicture {
  const { layout } = scene;
  const phase = rule.phases[0] ?? "zone";
  const holding = rule.holds === "runner" ? "runner" : "all-but-runner";
  const areas = book.zones.flatMap((other) => {
    const area = zoneArea(other, sideOf(book, other.position, scene), scene);
    return area ? [area] : [];
  });
  const cuts = (most: number, ends: readonly number[]) =>
    [...new Set([0, most, ...ends.filter((end) => end > 0 && end < most)])].toSorted((a, b) => a - b);
  const xs = cuts(
    layout.totalLengthYards,
    areas.flatMap(({ xYards }) => [xYards.from, xYards.to]),
  );
  const ys = cuts(
    layout.widthYards,
    areas.flatMap(({ yYards }) => [yYards.from, yYards.to]),
  );
  const shapes: Shape[] = [];
  let squareYards = 0;
  for (const [i, x0] of xs.slice(0, -1).entries()) {
    for (const [j, y0] of ys.slice(0, -1).entries()) {
      const [x1, y1] = [xs[i + 1] ?? x0, ys[j + 1] ?? y0];
      const holder = zoneRuleAt(book, phase, fieldPoint((x0 + x1) / 2, (y0 + y1) / 2), scene, holding);
      if (holder?.id !== rule.id) continue;
      squareYards += (x1 - x0) * (y1 - y0);
      const corners = [fieldPoint(x0, y0), fieldPoint(x1, y0), fieldPoint(x1, y1), fieldPoint(x0, y1)];
      shapes.push({
        kind: "path",
        ink: "zone",
        points: corners.map((point) => planPoint(layout, point)),
        closed: true,
      });
    }
  }
  const at = standingOf(book, rule.position, "zone", scene) ?? standingOf(book, rule.position, "pre-snap", scene);
  if (at) shapes.push(official(scene, at, rule.position));
  const caption =
    squareYards > 0
      ? `${rule.position} has ${Math.round(squareYards)} square yards of the field, hatched.`
      : "Nothing of the field falls to it in this situation.";
  return { shapes, caption };
}

function countDrawn(counts: "A" | "B", { players, layout }: StationScene): RulePicture {
  const counted = players.filter(({ side }) => side === counts);
  return {
    shapes: counted.map(({ at }): Shape => ({ kind: "ring", ink: "key-line", at: planPoint(layout, at) })),
    caption: `${counted.length} of ${counts} to count.`,
  };
}
