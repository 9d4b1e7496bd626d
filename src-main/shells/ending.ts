/** When the program must end: a signal, or the npm that started it has gone. */
const signals = ["SIGINT", "SIGTERM", "SIGHUP"] as const;
const lookEveryMs = 500;

/**
 * Calls `end` once with the signal. npm gives a signal to its shell, and a shell may end without giving it on: a
 * program that npm started would then go on with nobody to end it.
 */
export function onEnding(end: (signal: NodeJS.Signals) => void): void {
  let told = false;
  const tell = (signal: NodeJS.Signals): void => {
    if (told) return;
    told = true;
    clearInterval(timer);
    end(signal);
  };
  for (const name of signals) process.on(name, () => tell(name));
  const parent = process.ppid;
  const timer = setInterval(() => {
    if (process.ppid !== parent) tell("SIGTERM");
  }, lookEveryMs);
  timer.unref();
  if (process.env["npm_lifecycle_event"] === undefined) clearInterval(timer);
}
