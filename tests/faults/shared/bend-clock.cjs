// Loaded before the program (NODE_OPTIONS=--require): its clock is off by as many milliseconds as the file named by
// BENT_CLOCK_FILE says now. The program knows nothing of it.
"use strict";
const { readFileSync } = require("node:fs");
const RealDate = Date;
const offsetMs = () => {
  try {
    return Number(readFileSync(process.env.BENT_CLOCK_FILE, "utf8")) || 0;
  } catch {
    return 0;
  }
};
class BentDate extends RealDate {
  constructor(...args) {
    if (args.length === 0) super(RealDate.now() + offsetMs());
    else super(...args);
  }
  static now() {
    return RealDate.now() + offsetMs();
  }
}
globalThis.Date = BentDate;
