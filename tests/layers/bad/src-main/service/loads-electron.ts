// refused: eslint(no-restricted-imports)
import { app } from "electron";

export const version = app.getVersion();
