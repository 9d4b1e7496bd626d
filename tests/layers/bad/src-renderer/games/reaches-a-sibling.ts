// refused: eslint(no-restricted-imports)
import { page } from "../fieldbook/page.ts";

export const reached = page;
