import { rule } from "../mechanics/rule.ts";

export const operation = rule;
