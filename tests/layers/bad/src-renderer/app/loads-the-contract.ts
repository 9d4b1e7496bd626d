// refused: eslint(no-restricted-imports)
import { operation } from "#core/contract/contract";

export const loaded = operation;
