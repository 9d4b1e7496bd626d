import type { Followed, LostReason } from "../carry/follow.ts";
import { groundOf, imageOf, type Seeing } from "../field/seen-through.ts";
import { type FieldPoint, fieldPoint, type ImagePoint } from "../field/units.ts";
import { sameSubject } from "../game/edits.ts";
import type { GameRecords, Mark, MarkSubject, Moment, Play } from "../game/records.ts";
import type { FilmSurveys } from "./film-surveys.ts";

/**
 * Somebody who was marked at another moment, where they would be seen in this frame had they not moved: a proposal that
 * a person confirms or corrects, never a measurement.
 */
export type Ghost = {
  /** The mark it was made from. */
  readonly id: string;
  readonly subject: MarkSubject;
  readonly ground: FieldPoint;
  readonly at: ImagePoint;
  /** The ground that was pointed at for the way faced, and where it is seen; null where none was marked. */
  readonly facing: { readonly ground: FieldPoint; readonly at: ImagePoint } | null;
  /** "followed" where the film was followed to this frame, why not where they were lost; null where it was not tried. */
  readonly followed: "followed" | LostReason | null;
};

/** Where everybody who is marked at a moment stands, by mark: those whom a film can be followed for. */
export function standingsOf(
  { marks }: Pick<GameRecords, "marks">,
  source: Moment,
  surveysOf: (filmId: string) => FilmSurveys | null,
): { readonly id: string; readonly ground: FieldPoint }[] {
  const state = surveysOf(source.filmId)?.at(source.frameIndex);
  if (state?.kind !== "solved") return [];
  return marks
    .filter(({ momentId, subject }) => momentId === source.id && subject.kind !== "ball")
    .flatMap(({ id, click }) => {
      const ground = groundOf(state.survey, click);
      return ground ? [{ id, ground }] : [];
    });
}

/** How a place of one play is carried to another's: the identity within a play. */
export type Carried = (at: FieldPoint, subject: MarkSubject) => FieldPoint;

type Given = {
  readonly records: Pick<GameRecords, "marks">;
  readonly source: Moment;
  readonly surveysOf: (filmId: string) => FilmSurveys | null;
  /** The survey of the frame that the ghosts are drawn on. */
  readonly survey: Seeing;
  /** What is marked in that frame already. */
  readonly there: readonly Placed[];
  readonly carried?: Carried;
  /** Where the film was followed to, by mark; those who were lost stay where they stood. */
  readonly followed?: ReadonlyMap<string, Followed>;
};

const unmoved: Carried = (at) => at;

/** The ghosts of a moment in another frame, without those whom a mark there already stands for, nearest first. */
export function ghostsOf({ records, source, surveysOf, survey, there, carried = unmoved, followed }: Given): Ghost[] {
  const state = surveysOf(source.filmId)?.at(source.frameIndex);
  if (state?.kind !== "solved") return [];
  const from = state.survey;
  const ghosts = records.marks
    .filter(({ momentId }) => momentId === source.id)
    .flatMap((mark): Ghost[] => {
      const seen = groundOf(from, mark.click);
      if (!seen) return [];
      const film = followed?.get(mark.id);
      const ground = film?.kind === "followed" ? film.ground : carried(seen, mark.subject);
      const at = imageOf(survey, ground);
      if (!at || !isInside(at, survey)) return [];
      const faced = mark.facing ? groundOf(from, mark.facing) : null;
      const ahead = faced && carried(faced, mark.subject);
      // Whoever moved is taken to face the same way as before.
      const moved = film?.kind === "followed" ? ahead && alongWith(ahead, seen, ground) : ahead;
      return [
        {
          id: mark.id,
          subject: mark.subject,
          ground,
          at,
          facing: facingAt(survey, ground, moved),
          followed: film ? (film.kind === "followed" ? "followed" : film.reason) : null,
        },
      ];
    });
  return inOrder(without(ghosts, there, survey));
}

/** The same person put at a click, turned the way they were: the facing moves along with the feet. */
export function placedGhost(
  ghost: Ghost,
  click: ImagePoint,
  survey: Seeing,
): { click: ImagePoint; facing: ImagePoint | null } {
  const ground = groundOf(survey, click);
  if (!ghost.facing || !ground) return { click, facing: null };
  const moved = alongWith(ghost.facing.ground, ghost.ground, ground);
  return { click, facing: facingAt(survey, ground, moved)?.at ?? null };
}

/** A point moved as the feet moved. */
function alongWith(point: FieldPoint, from: FieldPoint, to: FieldPoint): FieldPoint {
  return fieldPoint(point.xYards + to.xYards - from.xYards, point.yYards + to.yYards - from.yYards);
}

/** A facing reaches as far as the picture does. */
function facingAt(survey: Seeing, from: FieldPoint, to: FieldPoint | null): Ghost["facing"] {
  if (!to) return null;
  for (let share = 1; share > 0.15; share -= 0.1) {
    const ground = fieldPoint(
      from.xYards + share * (to.xYards - from.xYards),
      from.yYards + share * (to.yYards - from.yYards),
    );
    const at = imageOf(survey, ground);
    if (at && isInside(at, survey)) return { ground, at };
  }
  return null;
}

function isInside({ uPx, vPx }: ImagePoint, { image }: Seeing): boolean {
  return uPx >= 0 && vPx >= 0 && uPx <= image.widthPx && vPx <= image.heightPx;
}

/** Whoever stands in a frame already. */
export type Placed = Pick<Mark, "subject" | "click">;

/** Each mark that is there stands for the nearest ghost of its kind. */
function without(ghosts: readonly Ghost[], there: readonly Placed[], survey: Seeing): Ghost[] {
  const left = [...ghosts];
  for (const mark of there) {
    const at = groundOf(survey, mark.click);
    const away = ({ ground }: Ghost) => (at ? Math.hypot(at.xYards - ground.xYards, at.yYards - ground.yYards) : 0);
    const nearest = left
      .filter((ghost) => sameSubject(ghost.subject, mark.subject))
      .toSorted((a, b) => away(a) - away(b) || (a.id < b.id ? -1 : 1))[0];
    if (nearest) left.splice(left.indexOf(nearest), 1);
  }
  return left;
}

/** Officials first, then A, then B, each from left to right in the picture, and the ball last: as a person goes through. */
function inOrder(ghosts: readonly Ghost[]): Ghost[] {
  const rank = ({ subject }: Ghost) =>
    subject.kind === "official" ? 0 : subject.kind === "ball" ? 3 : subject.side === "A" ? 1 : 2;
  return ghosts.toSorted((a, b) => rank(a) - rank(b) || a.at.uPx - b.at.uPx || (a.id < b.id ? -1 : 1));
}

/** The marked moment of the same play nearest before this one in time, or else nearest after it. */
export function nearestMarked(
  records: Pick<GameRecords, "moments" | "marks">,
  play: Play,
  here: { readonly momentId: string | null; readonly playSec: number },
  playSecOf: (moment: Moment) => number,
): Moment | null {
  const marked = new Set(records.marks.map(({ momentId }) => momentId));
  const others = records.moments.filter(
    (moment) => moment.playId === play.id && moment.id !== here.momentId && marked.has(moment.id),
  );
  const away = (moment: Moment) => playSecOf(moment) - here.playSec;
  const before = others.filter((moment) => away(moment) <= 0).toSorted((a, b) => away(b) - away(a))[0];
  return before ?? others.toSorted((a, b) => away(a) - away(b))[0] ?? null;
}

/**
 * From the formation of one play to another's: players keep their places from the ball, turned with the direction of
 * play; officials keep theirs along the field from the ball, and the side that they work.
 */
export function formationCarried(from: Play["situation"], to: Play["situation"]): Carried {
  const turn = from.direction === to.direction ? 1 : -1;
  return (at, subject) => {
    const dx = at.xYards - from.scrimmageXYards;
    const dy = at.yYards - from.ballYYards;
    const xYards = to.scrimmageXYards + turn * dx;
    return subject.kind === "official" ? fieldPoint(xYards, at.yYards) : fieldPoint(xYards, to.ballYYards + turn * dy);
  };
}
