// refused: eslint(no-restricted-imports) TS2591
import { readFileSync } from "node:fs";

export const read = readFileSync;
