// refused: eslint(no-restricted-imports) TS2591
import { readFile } from "node:fs/promises";

export const read = readFile;
