// refused: eslint(no-restricted-imports) TS6307
import { slice } from "../../src-main/film/slice.ts";

export const reached = slice;
