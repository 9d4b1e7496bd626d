import { fieldOf, type FieldLayout, type FieldOfGame } from "../field/template.ts";
import { type Change, put, remove } from "./changes.ts";
import type { Game, GameRecords, Situation, Stake } from "./records.ts";

/** What another field under a game does to what was staked and written on the old one. */
export type FieldChange = {
  readonly changes: readonly Change[];
  /** Stakes on points and lines that the new field does not have; they are removed. */
  readonly lost: readonly Stake[];
  /** The names of those points and lines, each once, in the order of the old field. */
  readonly lostNames: readonly string[];
  /** Stakes that keep their names, on points and lines that lie elsewhere on the new field. */
  readonly moved: readonly Stake[];
  /** Numbers of the plays with a spot outside the new field. */
  readonly playsOff: readonly number[];
};

/** Plans the change of a game's field. Nothing is changed when the field stays as it is. */
export function planFieldChange(records: GameRecords, field: FieldOfGame): FieldChange {
  const { game } = records;
  const [before, after] = [fieldOf(game), fieldOf(field)];
  const lost = records.stakes.filter((stake) => placeOf(before, stake) !== null && placeOf(after, stake) === null);
  const lostIds = new Set(lost.map(idOf));
  const next: Game = { ...game, templateId: field.templateId, fieldChoices: field.fieldChoices };
  const same =
    JSON.stringify([game.templateId, game.fieldChoices]) === JSON.stringify([next.templateId, next.fieldChoices]);
  return {
    changes: same ? [] : [...lost.map((stake) => remove("stake", stake)), put("game", game, next)],
    lost,
    lostNames: [...before.lines, ...before.landmarks].filter(({ id }) => lostIds.has(id)).map(({ name }) => name),
    moved: records.stakes.filter((stake) => {
      const [was, is] = [placeOf(before, stake), placeOf(after, stake)];
      return was !== null && is !== null && was.some((yards, i) => Math.abs(yards - is[i]!) > 1e-6);
    }),
    playsOff: records.plays.filter((play) => !isInside(after, play.situation)).map((play) => play.number),
  };
}

const idOf = (stake: Stake): string => (stake.kind === "point" ? stake.landmarkId : stake.lineId);

/** Where what is staked lies, yards: a point's x and y, a line's two ends; null where the field has no such name. */
function placeOf(layout: FieldLayout, stake: Stake): readonly number[] | null {
  if (stake.kind === "point") {
    const at = layout.landmarks.find(({ id }) => id === stake.landmarkId)?.at;
    return at ? [at.xYards, at.yYards] : null;
  }
  const line = layout.lines.find(({ id }) => id === stake.lineId);
  return line ? [line.from.xYards, line.from.yYards, line.to.xYards, line.to.yYards] : null;
}

function isInside(layout: FieldLayout, { scrimmageXYards, lineToGainXYards, ballYYards }: Situation): boolean {
  const along = (xYards: number): boolean => xYards >= -1e-6 && xYards <= layout.totalLengthYards + 1e-6;
  return (
    along(scrimmageXYards) &&
    (lineToGainXYards === null || along(lineToGainXYards)) &&
    ballYYards >= -1e-6 &&
    ballYYards <= layout.widthYards + 1e-6
  );
}
