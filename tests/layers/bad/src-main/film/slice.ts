import { readFileSync } from "node:fs";

export const slice = readFileSync;
