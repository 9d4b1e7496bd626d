import type { z } from "zod";
import {
  angleShape,
  carryShape,
  changeShape,
  filmShape,
  gameShape,
  gradeShape,
  markShape,
  momentShape,
  noteShape,
  playShape,
  rulingShape,
  sealShape,
  stakeShape,
} from "#core/contract/shapes";
import type { Family, RecordOf } from "#core/game/records";
import { angleRows } from "./angle-rows.ts";
import { carryRows } from "./carry-rows.ts";
import { filmRows } from "./film-rows.ts";
import { gameRows } from "./game-rows.ts";
import { gradeRows } from "./grade-rows.ts";
import { markRows } from "./mark-rows.ts";
import { momentRows } from "./moment-rows.ts";
import { noteRows } from "./note-rows.ts";
import { playRows } from "./play-rows.ts";
import { type RowTable, rowTable } from "./row-table.ts";
import { rulingRows } from "./ruling-rows.ts";
import { sealRows } from "./seal-rows.ts";
import type { Sqlite } from "./sqlite.ts";
import { stakeRows } from "./stake-rows.ts";

export type Tables = { readonly [F in Family]: RowTable<F> };

export function openTables(db: Sqlite): Tables {
  return {
    game: rowTable(db, gameRows),
    film: rowTable(db, filmRows),
    play: rowTable(db, playRows),
    angle: rowTable(db, angleRows),
    moment: rowTable(db, momentRows),
    stake: rowTable(db, stakeRows),
    carry: rowTable(db, carryRows),
    mark: rowTable(db, markRows),
    grade: rowTable(db, gradeRows),
    ruling: rowTable(db, rulingRows),
    note: rowTable(db, noteRows),
    seal: rowTable(db, sealRows),
  };
}

export const recordShapes: { readonly [F in Family]: z.ZodType<RecordOf[F]> } = {
  game: gameShape,
  film: filmShape,
  play: playShape,
  angle: angleShape,
  moment: momentShape,
  stake: stakeShape,
  carry: carryShape,
  mark: markShape,
  grade: gradeShape,
  ruling: rulingShape,
  note: noteShape,
  seal: sealShape,
};

export const changesShape = changeShape.array();
