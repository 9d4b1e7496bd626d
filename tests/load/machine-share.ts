/**
 * How much longer work takes here than on a machine that does nothing else: the time by the clock of a piece of work, over the
 * processor time that it used. 1 where a core is free; figures in milliseconds are worth little from 1.5 on.
 */
export function timesSlower(workMs = 300): number {
  const [began, before] = [performance.now(), process.cpuUsage()];
  const usedMs = () => {
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 1000;
  };
  for (let x = 0; usedMs() < workMs;) for (let at = 0; at < 10_000; at++) x = (x + at) % 7;
  return (performance.now() - began) / usedMs();
}
