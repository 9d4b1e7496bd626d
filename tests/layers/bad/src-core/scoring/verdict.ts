import { rule } from "../mechanics/rule.ts";

export const verdict = rule;
