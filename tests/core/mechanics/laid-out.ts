import { layOut, templateById } from "#core/field/template";
import { fieldPoint } from "#core/field/units";
import type { PlayerRole, Side } from "#core/game/records";
import type { StationScene } from "#core/mechanics/anchors";
import type { Book } from "#core/mechanics/book";
import { shippedBooks } from "#core/mechanics/shipped-books";
import { bookPosition, ownSide, placings, stationRuleFor, targetCorners } from "#core/mechanics/target";

const books = shippedBooks();

export function shipped(id: string): Book {
  const book = books.find((one) => one.id === id);
  if (!book) throw new Error(`no book ${id} is shipped`);
  return book;
}

export const tackleField = layOut(templateById("ncaa")!);
export const flagField = layOut(templateById("flag-100x40")!);

type Person = readonly [id: string, side: Side, role: PlayerRole, x: number, y: number];

/**
 * A tackle play going right from x = 50 with the ball in the middle of a field 53 1/3 yd wide, the line judge on the near
 * side, two receivers on the near side and one on the far one, ends 5 yd either side of the ball.
 */
export const tackleScene: StationScene = {
  layout: tackleField,
  situation: {
    offence: "home",
    direction: "right",
    down: 1,
    scrimmageXYards: 50,
    lineToGainXYards: 60,
    ballYYards: 80 / 3,
  },
  lineJudgeSide: "near",
  players: (
    [
      ["snapper", "A", "snapper", 49, 80 / 3],
      ["end-near", "A", "blocker", 49, 80 / 3 - 5],
      ["end-far", "A", "blocker", 49, 80 / 3 + 5],
      ["passer", "A", "passer", 45, 80 / 3],
      ["back", "A", "back", 43, 80 / 3],
      ["wide-near", "A", "receiver", 49, 8],
      ["slot-near", "A", "receiver", 48, 15],
      ["wide-far", "A", "receiver", 49, 46],
      ["safety", "B", "defender", 64, 80 / 3],
    ] satisfies Person[] as readonly Person[]
  ).map(([markId, side, role, x, y]) => ({ markId, side, role, at: fieldPoint(x, y) })),
  ball: null,
};

export function at(scene: StationScene, part: Partial<StationScene["situation"]>): StationScene {
  return { ...scene, situation: { ...scene.situation, ...part } };
}

/** The rule that applies to a position, and the box on the ground that it asks for, yards: [x from, x to, y from, y to]. */
export function asked(
  bookId: string,
  position: string,
  scene: StationScene,
  phase: "pre-snap" | "zone" = "pre-snap",
): { id: string | null; boxes: (readonly number[])[] } {
  const book = shipped(bookId);
  const rule = stationRuleFor(book, position, phase, scene);
  const person = bookPosition(book, position);
  if (!rule || !person) return { id: null, boxes: [] };
  const boxes = placings(rule, ownSide(person, scene.lineJudgeSide), scene).map((placing) => {
    const corners = targetCorners(rule, placing, scene.situation.direction) ?? [];
    const xs = corners.map(({ xYards }) => xYards);
    const ys = corners.map(({ yYards }) => yYards);
    return [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)].map(
      (value) => Math.round(value * 100) / 100,
    );
  });
  return { id: rule.id, boxes };
}
