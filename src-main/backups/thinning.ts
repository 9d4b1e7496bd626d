import type { NamedBackup } from "./backup-names.ts";

const newest = 3;
const days = 7;
const weeks = 5;
const dayMs = 24 * 60 * 60 * 1000;
/** 4 January 1970 was a Sunday: weeks begin on Monday, in days since 1 January 1970. */
const firstMonday = 4;

/**
 * The backups that need not be kept any longer: all but the newest three, the last of each of the latest seven days that have any,
 * and the last of each of the latest five weeks that have any. They are taken in the order of their numbers, so that a clock
 * that jumped keeps no wrong one and drops no new one.
 */
export function backupsToDrop(backups: readonly NamedBackup[]): NamedBackup[] {
  const latestFirst = backups.toSorted((a, b) => b.number - a.number);
  const dayOf = ({ madeAt }: NamedBackup) => Math.floor(madeAt.getTime() / dayMs);
  const kept = new Set([
    ...latestFirst.slice(0, newest),
    ...lastOfEach(latestFirst, dayOf, days),
    ...lastOfEach(latestFirst, (backup) => Math.floor((dayOf(backup) - firstMonday) / 7), weeks),
  ]);
  return latestFirst.filter((backup) => !kept.has(backup));
}

function lastOfEach(
  latestFirst: readonly NamedBackup[],
  of: (backup: NamedBackup) => number,
  count: number,
): NamedBackup[] {
  const last = new Map<number, NamedBackup>();
  for (const backup of latestFirst) if (!last.has(of(backup))) last.set(of(backup), backup);
  return [...last.values()].slice(0, count);
}
