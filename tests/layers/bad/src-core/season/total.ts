import { verdict } from "../scoring/verdict.ts";

export const total = verdict;
