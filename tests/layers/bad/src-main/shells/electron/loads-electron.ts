import { app } from "electron";

export const version = app.getVersion();
