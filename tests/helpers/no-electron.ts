/** Stands in for `electron` in Node tests: whatever they load must never reach it. */
throw new Error("electron was imported outside the Electron entry");
