/** Somebody who may be put forward at a position, with what they are worth there: the greater, the better. */
export type Candidate = { readonly officialId: string; readonly position: string; readonly worth: number };

/** Two who are not to work together. */
export type Conflict = readonly [string, string];

export type ProposedCrew = {
  readonly members: readonly { readonly position: string; readonly officialId: string | null }[];
  /** Sum of the worths of those who are in it. */
  readonly worth: number;
};

/** How many ways are tried before the best so far is taken: a proposal has to come while one waits. */
const mostTries = 200_000;

/**
 * Crews for so many games, the best first: each position filled once, nobody twice, no two who are in conflict together. The first
 * crew is the best there is, the second the best of who is left, and so on. A position that nobody can fill stays open. It is an aid: a
 * person changes it as they like.
 */
export function proposeCrews(
  candidates: readonly Candidate[],
  positions: readonly string[],
  crews: number,
  conflicts: readonly Conflict[],
): ProposedCrew[] {
  const clashes = new Set(conflicts.flatMap(([a, b]) => [`${a} ${b}`, `${b} ${a}`]));
  const used = new Set<string>();
  return Array.from({ length: crews }, () => {
    const crew = bestCrew(
      candidates.filter(({ officialId }) => !used.has(officialId)),
      positions,
      (a, b) => clashes.has(`${a} ${b}`),
    );
    for (const { officialId } of crew.members) if (officialId !== null) used.add(officialId);
    return crew;
  });
}

/** Branch and bound over the positions: what is left can add no more than the best candidate of each. */
function bestCrew(
  candidates: readonly Candidate[],
  positions: readonly string[],
  clash: (a: string, b: string) => boolean,
): ProposedCrew {
  const at = positions.map((position) =>
    candidates
      .filter((candidate) => candidate.position === position)
      .toSorted((a, b) => b.worth - a.worth || (a.officialId < b.officialId ? -1 : 1)),
  );
  // Filling a position is worth more than anything that can be had by leaving it open.
  const filled = 1 + candidates.reduce((sum, { worth }) => sum + Math.abs(worth), 0);
  const most = positions.map((_, from) =>
    at.slice(from).reduce((sum, those) => sum + (those[0] ? filled + those[0].worth : 0), 0),
  );
  let best: { readonly chosen: readonly (Candidate | null)[]; readonly score: number } = {
    chosen: positions.map(() => null),
    score: Number.NEGATIVE_INFINITY,
  };
  let tries = 0;
  const go = (index: number, chosen: readonly (Candidate | null)[], score: number): void => {
    if (tries++ > mostTries) return;
    if (score + (most[index] ?? 0) <= best.score) return;
    if (index === positions.length) {
      best = { chosen, score };
      return;
    }
    for (const candidate of at[index] ?? []) {
      const isFree = chosen.every(
        (one) =>
          one === null || (one.officialId !== candidate.officialId && !clash(one.officialId, candidate.officialId)),
      );
      if (isFree) go(index + 1, [...chosen, candidate], score + filled + candidate.worth);
    }
    go(index + 1, [...chosen, null], score);
  };
  go(0, [], 0);
  const { chosen } = best;
  return {
    members: positions.map((position, index) => ({ position, officialId: chosen[index]?.officialId ?? null })),
    worth: chosen.reduce((sum, one) => sum + (one?.worth ?? 0), 0),
  };
}
