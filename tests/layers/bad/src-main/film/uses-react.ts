// refused: eslint(no-restricted-imports)
import { createElement } from "react";

export const make = createElement;
