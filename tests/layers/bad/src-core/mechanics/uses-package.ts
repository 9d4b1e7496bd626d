// refused: eslint(no-restricted-imports)
import { oc } from "@orpc/contract";

export const operation = oc;
