// refused: eslint(no-restricted-imports) TS6307
import { button } from "../../src-renderer/parts/button.ts";

export const reached = button;
