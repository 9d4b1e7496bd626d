import type { FieldLayout } from "../field/template.ts";
import { fieldDistanceYards } from "../field/units.ts";
import type { Side } from "../game/records.ts";
import type { Book } from "../mechanics/book.ts";
import { type Finding, type Verdict, wholeCrew } from "./finding.ts";
import { listed } from "./look-words.ts";
import type { MomentMarks, PlacedMark } from "./station.ts";

/**
 * How many of a side are on the field at the snap. `least` are there for certain; up to `most` may be: those too near the
 * edge to tell, those marked where no place on the ground is seen, and of two marks closer than two bodies can stand, which
 * may be one person clicked twice, the second.
 */
export type TeamCount = {
  readonly side: Side;
  readonly least: number;
  readonly most: number;
  readonly asked: number;
  /** Positions that count this side, in the book's order. */
  readonly counters: readonly string[];
  readonly markIds: readonly string[];
};

/** Nearer than two bodies stand to each other. Yards. */
const onePersonYards = 0.4;
/** Standard deviations beyond the edge for somebody to be on or off the field for certain. */
const sureDeviations = 2;

export function teamCount(
  side: Side,
  marks: MomentMarks,
  layout: FieldLayout,
  playersPerSide: number,
  book: Pick<Book, "counts">,
): TeamCount {
  const isOurs = ({ subject }: Pick<PlacedMark, "subject">) => subject.kind === "player" && subject.side === side;
  const placed = marks.placed.filter(isOurs).toSorted((a, b) => (a.markId < b.markId ? -1 : 1));
  const onField = placed.map((mark) => ({ mark, inside: deviationsInside(mark, layout) }));
  const possible = onField.filter(({ inside }) => inside > -sureDeviations).map(({ mark }) => mark);
  const certain = onField.filter(({ inside }) => inside >= sureDeviations).map(({ mark }) => mark);
  const apart = certain.filter(
    (mark, index) =>
      !certain
        .slice(0, index)
        .some((other) => fieldDistanceYards(mark.measured.position, other.measured.position) < onePersonYards),
  );
  return {
    side,
    least: apart.length,
    most: possible.length + marks.unplaced.filter(isOurs).length,
    asked: playersPerSide,
    counters: book.counts.filter(({ counts }) => counts === side).map(({ position }) => position),
    markIds: possible.map(({ markId }) => markId),
  };
}

/** How far inside the nearest edge of the field, in standard deviations of the mark across that edge. */
function deviationsInside({ measured }: PlacedMark, { totalLengthYards, widthYards }: FieldLayout): number {
  const { position, sdAlongX, sdAlongY } = measured;
  const x = Math.min(position.xYards, totalLengthYards - position.xYards) / (sdAlongX || 1e-9);
  const y = Math.min(position.yYards, widthYards - position.yYards) / (sdAlongY || 1e-9);
  return Math.min(x, y);
}

/**
 * What the marks say of the count, one finding a side that the book has counted. Too many on the field is a fault that
 * nobody in particular is blamed for; too few is never said, for a player may be unmarked.
 */
export function countFindings(
  marks: MomentMarks,
  given: { readonly layout: FieldLayout; readonly playersPerSide: number; readonly book: Book },
): Finding[] {
  return (["A", "B"] as const).flatMap((side): Finding[] => {
    const rule = given.book.counts.find(({ counts }) => counts === side);
    if (!rule) return [];
    const count = teamCount(side, marks, given.layout, given.playersPerSide, given.book);
    return [{ ...sayCount(count), ruleId: rule.id, asks: rule.sentence }];
  });
}

function sayCount(count: TeamCount): Omit<Finding, "ruleId" | "asks"> {
  const { side, least, most, asked, counters, markIds } = count;
  const who = `${listed(counters)} ${counters.length === 1 ? "counts" : "count"} ${side}`;
  const common = {
    position: wholeCrew,
    phase: "pre-snap" as const,
    help: null,
    target: null,
    markIds,
  };
  const of = (verdict: Verdict, probabilityMet: number, sentence: string): Omit<Finding, "ruleId" | "asks"> => ({
    ...common,
    verdict,
    sentence,
    score: 100 * probabilityMet,
    measure: { kind: "count", side, least, most, asked, probabilityMet },
  });
  if (least > asked) return of("missed", 0, `${side} has ${least} of ${asked}: ${who}.`);
  if (least === asked && most === asked) return of("met", 1, `${side} has ${asked} of ${asked}: ${who}.`);
  const marked = least === most ? `${least}` : `${least} to ${most}`;
  return {
    ...common,
    verdict: "cannot tell",
    sentence: `${marked} of ${side} ${most === 1 ? "is" : "are"} marked where ${asked} play.`,
    help:
      most > asked
        ? `Mark each of ${side} once, between the feet; one near the edge of the field may be off it.`
        : `Mark all of ${side} who are on the field: one who is not marked may be there.`,
    score: null,
    measure: null,
  };
}
