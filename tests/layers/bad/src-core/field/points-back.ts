// refused: eslint(no-restricted-imports)
import { rule } from "../mechanics/rule.ts";

export const back = rule;
