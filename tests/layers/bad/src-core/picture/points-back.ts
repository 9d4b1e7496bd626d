// refused: eslint(no-restricted-imports)
import { total } from "../season/total.ts";

export const back = total;
