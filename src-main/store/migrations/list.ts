import type { Migration } from "../migration.ts";
import { first } from "./0010-first.ts";
import { linesAndLenses } from "./0020-lines-and-lenses.ts";
import { books } from "./0030-books.ts";
import { breakdown } from "./0040-breakdown.ts";
import { grades } from "./0050-grades.ts";
import { evaluation } from "./0060-evaluation.ts";
import { packets } from "./0070-packets.ts";

/** Every migration in order. The number of the last one is the schema this program reads and writes. */
export const migrations: readonly Migration[] = [first, linesAndLenses, books, breakdown, grades, evaluation, packets];
