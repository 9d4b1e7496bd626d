// refused: eslint(no-restricted-imports)
import { operation } from "../contract/operation.ts";

export const back = operation;
