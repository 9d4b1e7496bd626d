// refused: eslint(no-restricted-imports)
import { z } from "zod";

export const row = z.string();
